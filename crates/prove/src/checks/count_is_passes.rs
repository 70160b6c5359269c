#![doc = include_str!("count_is_passes.md")]

use crate::count::CountKind;
use crate::event::{EndedBy, Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let (What::Ended(EndedBy::Count), Some(whole)) = (moment.what, moment.whole) else { return };
    let CountKind::Variable(variable) = whole.count.kind else { return };
    let run = &whole.latest;
    let steps = run.step_totals.iter().find(|(number, _)| *number == variable).map_or(0, |(_, steps)| *steps);
    let parts = run.state.parts;
    if steps == 0 || steps == parts {
        return;
    }
    let spot = run.steps.iter().find(|step| step.variable == variable).map_or(moment.spot, |step| step.spot);
    out.found_at(
        spot,
        format!("#{variable} steps {steps} times while {parts} parts fall: it counts passes, not parts."),
        "Check that the number it is compared with is in passes too.",
    );
}
