#![doc = include_str!("nose_offset_start.md")]

use crate::event::{Moment, What};
use crate::nose::Trouble;
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Nose(trouble) = moment.what else { return };
    let message = match trouble {
        Trouble::StartTooShort => {
            "The move that switches the nose offset on is shorter than the nose radius."
        }
        Trouble::StartOnArc => "The nose offset is switched on by an arc.",
        Trouble::EndOnArc => "The nose offset is switched off by an arc.",
        _ => return,
    };
    out.found(
        message,
        "Switch the offset on and off with straight moves through air, longer than the radius.",
    );
}
