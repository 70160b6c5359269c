#![doc = include_str!("chuck_opens_unheld.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let taken_for_on = moment.before.gripped.is_none() && moment.after.gripped.is_some();
    if moment.what == What::ChuckOpened && taken_for_on {
        let why = "where the bar's face stands is not known without a job; the gripper is taken to be on";
        out.unproven("whether the gripper is on the stub when the chuck opens", why);
    }
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
