#![doc = include_str!("spindle_starts_gripped.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what == What::SpindleStarted && moment.before.gripped.is_some() {
        out.found(
            "The spindle starts while the gripper is still on the bar.",
            "Take the gripper off the stock and to a safe point first.",
        );
    }
}
