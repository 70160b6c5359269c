#![doc = include_str!("number_twice.md")]

use crate::event::{Moment, What};
use crate::report::Out;
use nc::program::FlowTroubleKind;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Flow(kind) = moment.what else { return };
    let message = match kind {
        FlowTroubleKind::ProgramTwice => "An earlier program has this number already: the earlier one is called.",
        FlowTroubleKind::TargetTwice => {
            "This block number stands more than once and is jumped to: which one is found depends on where the search starts."
        }
        _ => return,
    };
    out.found(message, "Give each of them a number of its own.");
}
