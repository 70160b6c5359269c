#![doc = include_str!("form_left_over.md")]

use crate::event::{Moment, What};
use crate::form::tell;
use crate::report::{Out, shown};
use model::files::job::FeatureKind;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let setup = moment.setup;
    if matches!(moment.what, What::Fell { .. }) {
        let drawing = setup.drawing.iter().flat_map(|drawing| &drawing.features);
        if drawing.into_iter().any(|it| it.kind == FeatureKind::Knurl && !it.later) {
            let why = "rolling is not followed: only the diameters before and after it are known";
            out.unproven("whether the knurl of the drawing is rolled", why);
        }
    }
    let What::LeftOver(left) = moment.what else { return };
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
