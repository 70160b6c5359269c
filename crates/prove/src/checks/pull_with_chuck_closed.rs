#![doc = include_str!("pull_with_chuck_closed.md")]

use crate::event::{Moment, Way, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let before = moment.before;
    let outward = moment.after.position.z > before.position.z;
    let along = matches!(moment.what, What::Slid(_) | What::GripperOff { way: Way::Along });
    if along && outward && !before.opened_while_on && !before.chuck.open {
        out.found(
            "The gripper pulls here while the chuck is closed: it slides off and the bar stays where it is.",
            "Open the chuck, and wait until it is open, before the pull.",
        );
    }
}
