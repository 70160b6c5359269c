#![doc = include_str!("form_gouged.md")]

use crate::event::{Moment, What};
use crate::form::tell;
use crate::report::{Out, shown};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Gouged(gouged) = moment.what else { return };
    let setup = moment.setup;
    out.found_at(
        gouged.spot(moment.spot),
        format!(
            "This cut goes {} deeper than the drawing allows: {}. {}",
            shown(setup, gouged.by),
            tell::place(setup, &gouged),
            tell::feature(setup, &gouged)
        ),
        "Check the diameter and the length of this cut, the tool, its nose and its offset.",
    );
}
