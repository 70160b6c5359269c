#![doc = include_str!("loop_not_closed.md")]

use crate::event::{Moment, What};
use crate::report::Out;
use nc::program::FlowTroubleKind;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Flow(kind) = moment.what else { return };
    let message = match kind {
        FlowTroubleKind::EndWithoutDo => "This END belongs to no DO.",
        FlowTroubleKind::DoWithoutEnd => "This DO has no END.",
        FlowTroubleKind::LoopsCross => "This loop ends inside another one that started inside it.",
        FlowTroubleKind::LoopNumber => "Loops are numbered 1, 2 or 3, and none inside itself.",
        FlowTroubleKind::ProgramTwice
        | FlowTroubleKind::TargetTwice
        | FlowTroubleKind::TargetMissing(_) => return,
    };
    out.found(message, "Close every DO with the END of the same number, the inner ones first.");
}
