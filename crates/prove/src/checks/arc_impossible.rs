#![doc = include_str!("arc_impossible.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what == What::NoArc {
        out.found(
            "No arc goes from here to there: the radius is too small, or start and end lie at different distances from the center.",
            "Check the end point, and R or I and K.",
        );
    }
}
