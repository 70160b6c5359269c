#![doc = include_str!("cut_spindle_stopped.md")]

use crate::event::{Moment, What};
use crate::report::Out;
use model::files::tools::ToolKind;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Cut(motion) = moment.what else { return };
    let before = moment.before;
    if before.spindle.told.is_some() || before.tool.kind == Some(ToolKind::BarStop) {
        return;
    }
    let setup = moment.setup;
    let what = "whether a feed move with the spindle stopped meets the bar";
    let Some(bar) = out.known(setup.bar.as_ref(), what, "the bar") else { return };
    let Some(front) = out.known(before.bar.front, what, "where the bar's face stands (a job)") else { return };
    let crosses = motion.from.r.is_negative() != motion.to.r.is_negative();
    let nearest = if crosses { model::Length::ZERO } else { motion.from.r.abs().min(motion.to.r.abs()) };
    if nearest < bar.reach() && motion.from.z.min(motion.to.z) < front {
        out.found(
            "The tool is fed into the bar while the spindle stands.",
            "Start the spindle (M3 or M4) before this cut.",
        );
    }
}
