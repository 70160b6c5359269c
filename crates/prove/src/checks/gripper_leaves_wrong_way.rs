#![doc = include_str!("gripper_leaves_wrong_way.md")]

use crate::event::{Moment, Way, What};
use crate::report::Out;
use model::Level;
use model::files::gripper::Style;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::GripperOff { way } = moment.what else { return };
    if !moment.before.opened_while_on && way == Way::Along {
        // A pull with the chuck closed: that is a finding of its own.
        return;
    }
    let what = "which way the gripper must leave the stub";
    let Some(gripper) = out.known(moment.setup.gripper.as_ref(), what, "the gripper file") else { return };
    match (gripper.style, way) {
        (Style::Radial, Way::Across) | (Style::Axial, Way::Along) => {}
        (Style::Radial, _) => out.lesser(
            Level::Caution,
            "This gripper is made to leave in X; here it slides off along the bar.",
            "Take it off in X first, then move away.",
        ),
        (Style::Axial, _) => out.found(
            "This gripper is made to leave along Z; here it is driven across the bar it holds.",
            "Take it off in Z first, in front of the bar, then move in X.",
        ),
    }
}
