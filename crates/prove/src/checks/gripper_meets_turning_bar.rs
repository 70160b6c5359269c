#![doc = include_str!("gripper_meets_turning_bar.md")]

use crate::event::{Moment, What};
use crate::lathe::turning;
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if !matches!(moment.what, What::GripperOn { .. }) {
        return;
    }
    // The way onto the stub takes time too: what counts is whether the bar turns at its end.
    let (after, setup) = (moment.after, moment.setup);
    let speed = turning(after, setup).rpm();
    let remedy = "Stop the spindle (M5) and wait until it stands before the gripper goes onto the stub.";
    if after.spindle.told.is_some() {
        out.found("The gripper goes onto the stub while the spindle is told to turn.", remedy);
    } else if speed > 0.5 {
        out.found(
            format!("The gripper goes onto the stub while the spindle still runs down, at about {speed:.0} rev/min."),
            remedy,
        );
    } else if setup.lathe.is_none() && after.spindle.speed.is_some() && !setup.stop_is_confirmed() {
        out.unproven(
            "whether the spindle stands when the gripper goes onto the stub",
            "the lathe file, with its run-down time, is not given",
        );
    }
}
