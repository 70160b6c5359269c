#![doc = include_str!("jump_target_missing.md")]

use crate::event::{Moment, What};
use crate::report::Out;
use model::Level;
use nc::program::FlowTroubleKind;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let remedy = "Number the block that is meant, or mend the jump.";
    match moment.what {
        What::NoTarget(number) => out.found(
            format!("There is no block N{number} in this program; the control stops here with an alarm."),
            remedy,
        ),
        What::Flow(FlowTroubleKind::TargetMissing(number)) => out.lesser(
            Level::Caution,
            format!("There is no block N{number} in this program; the control stops with an alarm when this jump is taken."),
            remedy,
        ),
        _ => {}
    }
}
