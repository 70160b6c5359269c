#![doc = include_str!("engagement_too_short.md")]

use crate::event::{Moment, What};
use crate::report::{Out, shown};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what != What::ChuckOpened {
        return;
    }
    let Some(engaged) = moment.before.gripped else { return };
    let setup = moment.setup;
    let what = "how much of the stub the gripper must hold";
    let Some(gripper) = out.known(setup.gripper.as_ref(), what, "the gripper file") else { return };
    if engaged < gripper.least_engagement {
        out.found(
            format!(
                "The gripper holds {} of the stub when the chuck opens; it needs {}.",
                shown(setup, engaged),
                shown(setup, gripper.least_engagement)
            ),
            "Take the gripper further onto the stub, or leave more stub with a larger jaw clearance.",
        );
    }
}
