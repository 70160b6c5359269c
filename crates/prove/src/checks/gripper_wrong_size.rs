#![doc = include_str!("gripper_wrong_size.md")]

use crate::event::{Moment, What};
use crate::report::{Out, shown};
use model::Level;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::GripperOn { stub, .. } = moment.what else { return };
    let setup = moment.setup;
    let what = "whether the gripper fits the stub";
    let Some(gripper) = out.known(setup.gripper.as_ref(), what, "the gripper file") else { return };
    let Some(bar) = out.known(setup.bar.as_ref(), what, "the bar") else { return };
    let (min, max) = gripper.diameter;
    // Where the outside was not cut the bar has its size, across flats too.
    let size = |diameter| if diameter == bar.reach() * 2 { bar.size } else { diameter };
    let (least, most) = stub.map_or((bar.size, bar.size), |(least, most)| (size(least), size(most)));
    let range = format!("The gripper holds {} to {}", shown(setup, min), shown(setup, max));
    let remedy = "Fit other fingers, take another gripper, or leave another stub.";
    if most < min || most > max {
        out.found(format!("{range}; the stub is {}.", shown(setup, most)), remedy);
    } else if least < min {
        let message = format!(
            "{range}; a part of the stub between its fingers is only {}.",
            shown(setup, least)
        );
        out.lesser(Level::Caution, message, remedy);
    }
}
