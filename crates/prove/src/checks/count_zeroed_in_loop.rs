#![doc = include_str!("count_zeroed_in_loop.md")]

use crate::event::{EndedBy, Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Ended(EndedBy::Bar | EndedBy::Never) = moment.what else { return };
    let Some(whole) = moment.whole else { return };
    let run = &whole.latest;
    for (spot, variable, times) in &run.sets {
        let stepped = run.step_totals.iter().any(|(number, _)| number == variable);
        if *times > 1 && stepped && run.looked_at.contains(variable) {
            out.found_at(
                *spot,
                format!("#{variable} counts, and is set again here in every pass: the count is never reached."),
                "Set the count once, when a bar is loaded, outside the loop.",
            );
        }
    }
}
