#![doc = include_str!("nose_offset_left_on.md")]

use crate::event::{Moment, What};
use crate::nose::Trouble;
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what == What::Nose(Trouble::LeftOn) {
        out.found(
            "A tool is called while the nose offset of the one before is still on.",
            "End the nose offset (G40) with a straight move through air before the tool goes away.",
        );
    }
}
