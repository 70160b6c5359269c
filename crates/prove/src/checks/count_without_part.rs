#![doc = include_str!("count_without_part.md")]

use crate::event::{EndedBy, Moment, What};
use crate::report::Out;
use crate::run::{CountStep, Outcome};
use model::Level;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let (What::Ended(ended_by), Some(whole)) = (moment.what, moment.whole) else { return };
    let run = &whole.latest;
    let remedy = "Check that every part is parted off, and that its count is stepped once.";
    // A single pull may be a program of its own.
    let goes_round = moment.after.advances > 1 || moment.after.advances > 0 && counts(run, moment);
    if moment.after.parts == 0 && goes_round {
        let spot = moment.after.pulled_at.unwrap_or(moment.spot);
        out.found_at(
            spot,
            format!(
                "The bar is drawn {} times here, and no part ever falls from it.",
                moment.after.advances
            ),
            remedy,
        );
    } else if let (EndedBy::Count, Some(step)) = (ended_by, idle_step(run)) {
        let message = format!(
            "#{} is stepped here, and no part has fallen since it was stepped before.",
            step.variable
        );
        out.lesser_at(Level::Caution, step.spot, message, remedy);
    }
}

/// Whether the run looked at something that it stepped, or at the control's counter.
fn counts(run: &Outcome, moment: &Moment<'_>) -> bool {
    let counter = moment.setup.control.counter.as_ref().map(|counter| counter.made);
    let stepped = |number: &u32| run.step_totals.iter().any(|(variable, _)| variable == number);
    run.looked_at.iter().any(|number| stepped(number) || counter == Some(*number))
}

/// The first step of a count with no part between it and the step before it. What is set again
/// and again counts something within a pass.
fn idle_step(run: &Outcome) -> Option<CountStep> {
    run.step_totals.iter().find_map(|(variable, _)| {
        let sets = run.sets.iter().filter(|(_, number, _)| number == variable);
        let set_again = sets.map(|(_, _, times)| times).sum::<u32>() > 1;
        if set_again || !run.looked_at.contains(variable) {
            return None;
        }
        let of_it: Vec<&CountStep> =
            run.steps.iter().filter(|step| step.variable == *variable).collect();
        // Before the first part something else may be counted, such as the layers of a cut.
        let no_part = |pair: &&[&CountStep]| pair[0].parts == pair[1].parts && pair[0].parts > 0;
        let pair = of_it.windows(2).find(no_part)?;
        Some(*pair[1])
    })
}
