#![doc = include_str!("gripper_wrong_size.md")]

use crate::event::{Moment, What};
use crate::report::{Out, shown};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if !matches!(moment.what, What::GripperOn { .. }) {
        return;
    }
    let setup = moment.setup;
    let what = "whether the gripper fits the stub";
    let Some(gripper) = out.known(setup.gripper.as_ref(), what, "the gripper file") else { return };
    let Some(bar) = out.known(setup.bar.as_ref(), what, "the bar") else { return };
    let (min, max) = gripper.diameter;
    if bar.size < min || bar.size > max {
        out.found(
            format!(
                "The gripper holds {} to {}; the bar is {}.",
                shown(setup, min),
                shown(setup, max),
                shown(setup, bar.size)
            ),
            "Fit other fingers, or take another gripper.",
        );
    }
}
