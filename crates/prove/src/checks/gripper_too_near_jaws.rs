#![doc = include_str!("gripper_too_near_jaws.md")]

use crate::event::{Moment, What};
use crate::metal::{Against, Part};
use crate::report::{Out, shown};
use model::Level;

const REMEDY: &str =
    "Take the gripper further out, or leave more stub with a larger jaw clearance.";

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if let What::Struck { strike, .. } = moment.what
        && strike.part == Part::Gripper
        && strike.against == Against::Jaws
    {
        let message = format!(
            "The gripper is driven {} into the jaws or the chuck.",
            shown(moment.setup, strike.depth)
        );
        return out.found(message, REMEDY);
    }
    if !matches!(moment.what, What::GripperOn { .. } | What::Slid(_)) {
        return;
    }
    let setup = moment.setup;
    let what = "how near the gripper comes to the jaws";
    let Some(jaw) = out.known(setup.jaw_face(), what, "the part and its advance (a job)") else { return };
    let gap = moment.after.position.z - jaw;
    if gap.is_negative() {
        let message = format!("The gripper is driven {} into the jaws.", shown(setup, gap.abs()));
        return out.found(message, REMEDY);
    }
    let Some(gripper) = out.known(setup.gripper.as_ref(), what, "the gripper file") else { return };
    if gap < gripper.jaw_gap {
        let message = format!(
            "The gripper comes to {} from the jaws; it is to keep {}.",
            shown(setup, gap),
            shown(setup, gripper.jaw_gap)
        );
        out.lesser(Level::Caution, message, REMEDY);
    }
}
