#![doc = include_str!("gripper_into_bar.md")]

use crate::event::{Moment, What};
use crate::metal::{Against, Part};
use crate::report::{Out, shown};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Struck { strike, .. } = moment.what else { return };
    if strike.part == Part::Gripper && strike.against == Against::Bar {
        out.found(
            format!(
                "The gripper goes {} deep into the bar on this move.",
                shown(moment.setup, strike.depth)
            ),
            "Keep it clear of the bar until it goes on its own way: a radial gripper in X only, an axial one along Z at X0 and no further than its throat.",
        );
    }
}
