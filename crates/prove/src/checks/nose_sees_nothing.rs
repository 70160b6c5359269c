#![doc = include_str!("nose_sees_nothing.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what == What::NoseSeesNothing {
        out.found(
            "This is the third block without a move while the nose offset is on: the control no longer sees the next corner.",
            "Put blocks without a move before or behind the contour.",
        );
    }
}
