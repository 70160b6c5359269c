#![doc = include_str!("count_lost_at_reset.md")]

use crate::count::CountKind;
use crate::event::{EndedBy, Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let (What::Ended(EndedBy::Count), Some(whole)) = (moment.what, moment.whole) else { return };
    let count = &whole.count;
    if count.survives_reset || count.kind == CountKind::None || whole.latest.state.parts < 2 {
        return;
    }
    let run = &whole.latest;
    let (spot, why) = match count.kind {
        CountKind::Variable(variable) => {
            let set = run.sets.iter().find(|(_, number, _)| *number == variable);
            let step = run.steps.iter().find(|step| step.variable == variable);
            match (set, step) {
                (Some((spot, _, _)), _) => (*spot, "a start from the top sets the count anew"),
                (None, Some(step)) => (step.spot, "this control clears its variable at a reset"),
                (None, None) => (moment.spot, "a start from the top counts anew"),
            }
        }
        _ => {
            let spot = run.loops_at.unwrap_or(moment.spot);
            (spot, "the repeats of a call are lost at a reset")
        }
    };
    out.found_at(
        spot,
        format!(
            "After a reset the count is wrong by up to {} parts: {why}. The program would then go on past the end of the bar.",
            count.worst_error
        ),
        "Keep the count in a variable that survives a reset and set it only when a bar is loaded, or set it by hand before each start.",
    );
}
