#![doc = include_str!("gripper_leaves_before_closed.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if !matches!(moment.what, What::GripperOff { .. } | What::Slid(_)) {
        return;
    }
    let (chuck, now) = (moment.before.chuck, moment.before.now);
    let remedy = "Close the chuck and dwell for its closing time while the gripper still holds the bar.";
    if chuck.open {
        out.found("The gripper leaves the bar while the chuck is open: nothing holds it.", remedy);
    } else if now < chuck.done_at {
        let short = chuck.done_at - now;
        out.found(
            format!("The gripper leaves {short:.1} s before the chuck has closed: the bar can shift."),
            remedy,
        );
    }
}
