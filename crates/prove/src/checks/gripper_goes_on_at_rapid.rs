#![doc = include_str!("gripper_goes_on_at_rapid.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if matches!(moment.what, What::GripperOn { rapid: true, .. }) {
        out.found(
            "The gripper goes onto the stub at rapid.",
            "Stop at a safe point, then feed it on.",
        );
    }
}
