#![doc = include_str!("corner_impossible.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what == What::NoCorner {
        out.found(
            "This corner cannot be cut: no straight cut follows it, or one of its two lines is too short.",
            "Follow the corner with a straight cut that is longer than the corner, in the next block with axis words.",
        );
    }
}
