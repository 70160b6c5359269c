#![doc = include_str!("part_falls_while_gripped.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if matches!(moment.what, What::PartedOff(_)) && moment.before.gripped.is_some() {
        out.found(
            "The part is cut off while the gripper is on the bar.",
            "Take the gripper off and away before the parting tool comes.",
        );
    }
}
