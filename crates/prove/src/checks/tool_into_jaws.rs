#![doc = include_str!("tool_into_jaws.md")]

use crate::event::{Moment, What};
use crate::metal::{Against, Part};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Struck { strike, .. } = moment.what else { return };
    if strike.against == Against::Jaws && matches!(strike.part, Part::Edge | Part::Holder) {
        out.found(
            "The tool goes into the jaws, or behind their face where the chuck is.",
            "Check Z of this move, the work offset and the jaw clearance of the job.",
        );
    }
}
