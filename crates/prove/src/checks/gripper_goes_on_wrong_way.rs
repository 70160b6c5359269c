#![doc = include_str!("gripper_goes_on_wrong_way.md")]

use crate::event::{Moment, Way, What};
use crate::report::Out;
use model::files::gripper::Style;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::GripperOn { way, .. } = moment.what else { return };
    let what = "which way the gripper must go onto the stub";
    let Some(gripper) = out.known(moment.setup.gripper.as_ref(), what, "the gripper file") else { return };
    match (gripper.style, way) {
        (Style::Radial, Way::Across) | (Style::Axial, Way::Along) => {}
        (Style::Radial, _) => out.found(
            "This gripper is made to go down in X over the stub; here it is driven on along Z.",
            "Place it beside the stub in Z, then feed it in X to the center.",
        ),
        (Style::Axial, _) => out.found(
            "This gripper is made to go on along Z; here it is driven across the stub.",
            "Place it in front of the stub at X0, then feed it on in Z.",
        ),
    }
}
