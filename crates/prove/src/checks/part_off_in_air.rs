#![doc = include_str!("part_off_in_air.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what == What::PartedAir {
        out.found(
            "The parting tool goes to the axis where no bar stands: the bar was not drawn, or the part is off already.",
            "Draw the bar before each part, and check the place of this cut.",
        );
    }
}
