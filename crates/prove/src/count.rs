//! What counts the parts of a bar, and what a stop with reset does to that count.

use crate::event::EndedBy;
use crate::lathe::State;
use crate::reentry::Entry;
use crate::run::{CountStep, Outcome, Run};
use crate::setup::Setup;
use nc::expression::variables_read;
use nc::program::Library;
use nc::tree::{ExpressionKind, ItemKind};

/// What counts the parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CountKind {
    /// A variable of the program.
    Variable(u32),
    /// The control's part counter.
    Counter,
    /// The repeats of a subprogram call.
    Repeat,
    /// Nothing.
    None,
}

impl CountKind {
    /// The word that scripts read.
    pub const fn word(self) -> &'static str {
        match self {
            CountKind::Variable(_) => "variable",
            CountKind::Counter => "counter",
            CountKind::Repeat => "repeat",
            CountKind::None => "none",
        }
    }
}

/// How a program counts, and how well.
#[derive(Debug, Clone, PartialEq)]
pub struct Count {
    /// What counts.
    pub kind: CountKind,
    /// Whether the count goes on rightly after a reset at any block of a cycle.
    pub survives_reset: bool,
    /// The most parts by which the count is wrong after a reset and a start from the top.
    pub worst_error: u32,
}

/// What a whole proof came to, for the checks that judge the whole.
#[derive(Debug)]
pub struct Whole {
    /// The run with as little read ahead as the control allows.
    pub latest: Outcome,
    /// The run with as much read ahead as the control allows.
    pub earliest: Outcome,
    /// How the program counts.
    pub count: Count,
    /// What a stop at each block leads to.
    pub entries: Vec<Entry>,
    /// Whether any program given sets the counting variable, run or not.
    pub set_by_a_program: bool,
    /// Steps of the count that came before their part was off, in the earliest order.
    pub early: Option<CountStep>,
}

/// What counts, and how its value goes with the parts made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Counting {
    /// What counts.
    pub kind: CountKind,
    /// Parts for one unit of its value; negative where it counts down.
    pub parts_per_unit: f64,
}

impl Counting {
    /// Finds out what counts, from what a run did.
    pub fn of(outcome: &Outcome, setup: &Setup) -> Counting {
        let kind = kind(outcome, setup);
        let parts_per_unit = match kind {
            CountKind::Variable(variable) => parts_per_unit(outcome, variable),
            _ => 1.0,
        };
        Counting { kind, parts_per_unit }
    }

    /// How far the parts made run ahead of a value of the count.
    pub fn behind_at(&self, parts: u32, value: f64) -> i64 {
        i64::from(parts) - (value * self.parts_per_unit).round() as i64
    }

    /// How far the parts made run ahead of the count of a run that was started at `start`.
    pub fn behind(&self, run: &Run<'_>, start: &State) -> i64 {
        let state = &run.lathe.state;
        match self.kind {
            CountKind::Variable(variable) => {
                self.behind_at(state.parts, run.interpreter.variables.get(variable).unwrap_or(0.0))
            }
            CountKind::Counter => self.behind_at(state.parts, state.counter),
            // A call counts its own passes: whatever was made before it does not count.
            CountKind::Repeat => {
                i64::from(state.parts) - i64::from(state.partings - start.partings)
            }
            CountKind::None => 0,
        }
    }
}

/// Parts for one unit of a variable's value, from two steps of it; one where there is one step.
fn parts_per_unit(outcome: &Outcome, variable: u32) -> f64 {
    let of_it: Vec<_> = outcome.steps.iter().filter(|step| step.variable == variable).collect();
    let steps = outcome.step_totals.iter().find(|(number, _)| *number == variable);
    let steps = steps.map_or(1, |(_, steps)| *steps).max(1);
    let parts_a_step = ((outcome.state.partings + steps / 2) / steps).max(1);
    let units_a_step = match of_it.as_slice() {
        [first, second, ..] => second.value - first.value,
        _ => 1.0,
    };
    if units_a_step == 0.0 { 1.0 } else { f64::from(parts_a_step) / units_a_step }
}

impl Outcome {
    /// Variables that go with the parts, each with how often it was stepped: looked at, and not set
    /// again and again, as what counts within a pass is.
    pub fn counts(&self) -> impl Iterator<Item = (u32, u32)> {
        let parts = self.state.partings.max(1);
        self.step_totals.iter().copied().filter(move |(variable, steps)| {
            self.looked_at.contains(variable)
                && goes_with(*steps, parts)
                && !is_set_again(self, *variable)
        })
    }
}

fn kind(outcome: &Outcome, setup: &Setup) -> CountKind {
    let control = &setup.control;
    let counter = control.counter.as_ref().map(|counter| counter.made);
    if counter.is_some_and(|made| outcome.looked_at.contains(&made)) {
        return CountKind::Counter;
    }
    let parts = outcome.state.partings.max(1);
    let counting = outcome
        .step_totals
        .iter()
        .filter(|(variable, _)| outcome.looked_at.contains(variable))
        .filter(|(_, steps)| goes_with(*steps, parts))
        // What is set again and again counts within a pass; it is the count only for want of another.
        .min_by_key(|(variable, steps)| (is_set_again(outcome, *variable), steps.abs_diff(parts)));
    if let Some((variable, _)) = counting {
        return CountKind::Variable(*variable);
    }
    if outcome.most_repeats > 1 && outcome.ended_by == EndedBy::Count {
        return CountKind::Repeat;
    }
    CountKind::None
}

/// Whether a run set a variable more than once to a value of its own.
fn is_set_again(outcome: &Outcome, variable: u32) -> bool {
    let of_it = outcome.sets.iter().filter(|(_, number, _)| *number == variable);
    of_it.map(|(_, _, times)| times).sum::<u32>() > 1
}

/// Whether something that was stepped so often may count the parts: once a part, or once an
/// advance of several parts.
fn goes_with(steps: u32, parts: u32) -> bool {
    let m = (parts + steps / 2) / steps.max(1);
    steps > 0 && m >= 1 && parts.abs_diff(steps * m) <= m
}

/// The first step of a variable that came earlier, by parts fallen, in one run than in the other.
pub fn first_early(kind: CountKind, latest: &Outcome, earliest: &Outcome) -> Option<CountStep> {
    let CountKind::Variable(variable) = kind else { return None };
    let of = |outcome: &Outcome| -> Vec<CountStep> {
        outcome.steps.iter().filter(|step| step.variable == variable).copied().collect()
    };
    let pairs = of(latest).into_iter().zip(of(earliest));
    pairs.into_iter().find(|(late, early)| early.parts < late.parts).map(|(_, early)| early)
}

/// Whether any of these programs sets a variable to a value of its own.
pub fn is_set(library: &Library, variable: u32) -> bool {
    library.trees().iter().any(|tree| {
        tree.items.iter().any(|item| {
            let ItemKind::Assign { target, value } = item.kind else { return false };
            let number = ExpressionKind::Number(f64::from(variable));
            tree.expression(target).kind == number
                && !variables_read(tree, value).contains(&variable)
        })
    })
}

/// Whether both orders of reading come to the same.
pub fn differ(latest: &Outcome, earliest: &Outcome) -> Option<&'static str> {
    if latest.state.parts != earliest.state.parts {
        Some("the number of parts")
    } else if latest.ended_by != earliest.ended_by {
        Some("what ends the program")
    } else if latest.state.chuck.open != earliest.state.chuck.open {
        Some("the chuck at the end")
    } else {
        None
    }
}
