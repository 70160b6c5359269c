#![doc = include_str!("pull_too_fast.md")]

use crate::event::{Moment, What};
use crate::report::Out;
use model::Level;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Pulled { motion, .. } = moment.what else { return };
    if motion.rapid {
        return out.found(
            "The bar is drawn at rapid: a spring gripper slips, and a bar set in motion so fast does not stop where the gripper does.",
            "Draw the bar at feed, no faster than the gripper allows.",
        );
    }
    let what = "whether the pull is slow enough";
    let Some(gripper) = out.known(moment.setup.gripper.as_ref(), what, "the gripper file") else { return };
    let most = gripper.pull_speed.mm_per_min();
    if let Some(speed) = motion.speed.filter(|speed| *speed > most + 1e-6) {
        out.lesser(
            Level::Caution,
            format!("The bar is drawn at {speed:.0} mm/min; this gripper is made for {most:.0} mm/min at most."),
            "Lower the feed of the pull.",
        );
    }
}
