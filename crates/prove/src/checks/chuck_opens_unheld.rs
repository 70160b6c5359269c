#![doc = include_str!("chuck_opens_unheld.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let goes_on = matches!(
        moment.what,
        What::Move(_)
            | What::Cut(_)
            | What::ChuckClosed
            | What::Indexed { .. }
            | What::SpindleStarted
            | What::GripperOn { .. }
    );
    if let (true, Some(spot)) = (goes_on, moment.before.opened_unheld) {
        out.found_at(
            spot,
            "The chuck opens here while the gripper is not on the stub: nothing holds the bar.",
            "Put the gripper on the stub first. If a person loads the bar here, stop the program with M0.",
        );
    }
}
