#![doc = include_str!("count_steps_early.md")]

use crate::event::{Moment, What};
use crate::report::Out;
use crate::run::{CountStep, Outcome};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let (What::Ended(_), Some(whole)) = (moment.what, moment.whole) else { return };
    let remedy = "Put a word at which this control stops reading (its file lists them) between the part-off and the count.";
    if let Some(step) = whole.early {
        let blocks = moment.setup.control.read_ahead.most;
        out.found_at(
            step.spot,
            format!(
                "The control reads up to {blocks} blocks ahead and steps this count before the part is off: after a stop in that cut the count is one too high."
            ),
            remedy,
        );
    } else if let Some(step) = before_its_part(&whole.latest) {
        out.found_at(
            step.spot,
            "The program steps this count before the part is off: after a stop in between the count is one too high.",
            "Step the count behind the part-off.",
        );
    } else if let Some(what) = crate::count::differ(&whole.latest, &whole.earliest) {
        out.found(format!("How far the control reads ahead changes {what}."), remedy);
    }
    if !moment.setup.control_named {
        out.unproven("whether the count steps early", "the control file, with its reading ahead, is not given");
    }
}

/// The first step of a count that comes before its part has fallen, by the program's own order.
fn before_its_part(run: &Outcome) -> Option<CountStep> {
    run.counts().find_map(|(variable, steps)| {
        let parts_a_step = ((run.state.partings + steps / 2) / steps.max(1)).max(1);
        let mut due = 0;
        run.steps.iter().filter(|step| step.variable == variable).copied().find(|step| {
            due += parts_a_step;
            step.parts < due
        })
    })
}
