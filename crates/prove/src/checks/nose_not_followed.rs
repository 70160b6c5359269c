#![doc = include_str!("nose_not_followed.md")]

use crate::event::{Moment, What};
use crate::form::tell;
use crate::report::{Out, shown};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::NoseNotFollowed(found) = moment.what else { return };
    let setup = moment.setup;
    let does = if found.missing { "takes" } else { "leaves" };
    out.found_at(
        found.left.spot(moment.spot),
        format!(
            "The nose radius {} is not followed on this slope: it {does} {} too much, square to the line, {} beyond what the drawing allows; {}. {}",
            shown(setup, found.nose),
            shown(setup, found.known),
            shown(setup, found.left.by),
            tell::place(setup, &found.left),
            tell::feature(setup, &found.left)
        ),
        "Cut slopes and rounds with G41 or G42, or put the nose radius into the path.",
    );
}
