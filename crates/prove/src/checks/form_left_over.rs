#![doc = include_str!("form_left_over.md")]

use crate::event::{Moment, What};
use crate::form::tell;
use crate::report::{Out, shown};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::LeftOver(left) = moment.what else { return };
    let setup = moment.setup;
    let who = match left.cut {
        Some(_) => "This cut leaves",
        None => "No cut comes to a place of the part that falls here: it keeps",
    };
    out.found_at(
        left.spot(moment.spot),
        format!(
            "{who} {} more than the drawing allows: {}. {}",
            shown(setup, left.by),
            tell::place(setup, &left),
            tell::feature(setup, &left)
        ),
        "Check the diameter and the length of this cut, and that no cut of the contour is missing.",
    );
}
