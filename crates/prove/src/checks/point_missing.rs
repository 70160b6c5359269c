#![doc = include_str!("point_missing.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what == What::NoPoint {
        out.found(
            "This number has no decimal point while others of the program do: this control counts it in least increments, a thousandth or less of what it seems to say.",
            "Write the point, even after a whole number.",
        );
    }
}
