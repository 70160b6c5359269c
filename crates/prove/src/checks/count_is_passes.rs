#![doc = include_str!("count_is_passes.md")]

use crate::count::{CountKind, Counting};
use crate::event::{EndedBy, Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let (What::Ended(EndedBy::Count), Some(whole)) = (moment.what, moment.whole) else { return };
    let CountKind::Variable(variable) = whole.count.kind else { return };
    let run = &whole.latest;
    let units = Counting::of(run, moment.setup).parts_per_unit.abs();
    if (units - 1.0).abs() < 1e-9 {
        return;
    }
    let spot = run
        .steps
        .iter()
        .find(|step| step.variable == variable)
        .map_or(moment.spot, |step| step.spot);
    let parts = run.state.parts;
    out.found_at(
        spot,
        format!("One unit of #{variable} stands for {units} parts: it counts passes, and {parts} parts fall."),
        "Check that the number it is compared with is in passes too.",
    );
}
