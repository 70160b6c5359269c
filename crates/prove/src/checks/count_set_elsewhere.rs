#![doc = include_str!("count_set_elsewhere.md")]

use crate::count::CountKind;
use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let (What::Ended(_), Some(whole)) = (moment.what, moment.whole) else { return };
    let CountKind::Variable(variable) = whole.count.kind else { return };
    let run = &whole.latest;
    if whole.set_by_a_program {
        return;
    }
    let spot = run.steps.iter().find(|step| step.variable == variable).map_or(moment.spot, |step| step.spot);
    out.found_at(
        spot,
        format!("#{variable} counts the parts and no program given sets it: the proof takes it to be zero when a bar is loaded."),
        format!("Set #{variable} to zero each time a bar is loaded."),
    );
}
