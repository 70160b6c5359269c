//! What a stop with reset leads to: for every block of a cycle, what a start from the top would
//! do to the count and the bar, and what to do instead.

mod again;

use crate::count::{CountKind, Counting};
use crate::event::{EndedBy, Spot};
use crate::lathe::{State, Teller};
use crate::run::{Outcome, Run};
use again::{Starts, Usual};
use model::Length;

/// Blocks that a start from the top is followed for, at most.
const FOLLOWED: u32 = 20_000;
/// Blocks that all these starts are followed for together, at most.
const FOLLOWED_IN_ALL: u64 = 4_000_000;

/// What to do where a part is off and another is to come.
pub const DRAW_FIRST: &str =
    "The part is off and the bar is not drawn: draw the bar before cutting.";

/// What a stop at one block leads to.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The block that was not done when the lathe stopped.
    pub spot: Spot,
    /// The cycle.
    pub cycle: u32,
    /// Parts made so far.
    pub parts: u32,
    /// Whether the chuck is open.
    pub chuck_open: bool,
    /// Whether the gripper is on the bar.
    pub gripped: bool,
    /// Whether the present part is off and the bar not yet drawn.
    pub part_is_off: bool,
    /// Parts that the count would miss (above zero) or invent (below) after a start from the top.
    pub count_error: i64,
    /// Stop findings that a start from the top would meet.
    pub troubles: Vec<&'static str>,
}

impl Entry {
    /// What to do after a stop here, in plain sentences; the person on site decides.
    pub fn advice(&self) -> String {
        self.advice_counting(&self.parts.to_string())
    }

    /// The same for several stops that lead to the same, where `parts` says how many are made.
    pub fn advice_counting(&self, parts: &str) -> String {
        let mut steps = Vec::new();
        match (self.chuck_open, self.gripped) {
            (true, true) => steps.push(
                "Only the gripper holds the bar: close the chuck by hand function first, then take the gripper off its own way.",
            ),
            (true, false) => {
                steps.push("Nothing holds the bar: close the chuck by hand function before anything else.");
            }
            (false, true) => steps.push("Take the gripper off its own way by hand, then move clear."),
            (false, false) => steps.push("Move the tool clear by hand."),
        }
        if self.part_is_off {
            steps.push(DRAW_FIRST);
        } else {
            steps.push(
                "Check where the bar's face stands before cutting; the part begun is cut again.",
            );
        }
        let count = format!("The count must then stand at {parts}.");
        if self.count_error != 0 {
            steps.push(&count);
        }
        steps.join(" ")
    }
}

/// The entries of two cycles of a run: the second (or the only), and the last; and whether all
/// their blocks were tried.
pub fn entries<'s>(
    fresh: &dyn Fn() -> Run<'s>,
    counting: &Counting,
    whole: &Outcome,
) -> (Vec<Entry>, bool) {
    if !matches!(whole.ended_by, EndedBy::Count | EndedBy::Bar) {
        return (Vec::new(), false);
    }
    let cycles = [2.min(whole.state.cycle()), whole.state.cycle()];
    let mut left = FOLLOWED_IN_ALL;
    let mut first = fresh();
    let usual = Usual {
        at_parting: {
            follow(&mut first, &mut |_| {});
            counting.behind(&first, &whole_start(&first))
        },
        at_end: counting.behind_at(whole.state.parts, whole.count_value(counting.kind)),
    };
    let mut run = fresh();
    let mut starts = Starts::new(counting, usual, run.interpreter.sources());
    let mut entries: Vec<Entry> = Vec::new();
    loop {
        let cycle = run.lathe.state.cycle();
        if cycles.contains(&cycle)
            && let Some(spot) = run.next_spot()
            && entries.last().is_none_or(|last| last.spot != spot || last.cycle != cycle)
        {
            let (mut entry, followed) = entry(&run, spot, &mut starts);
            // The bar is done, and the count is as the program leaves it for the next one.
            if run.has_read_to_the_count() && run.lathe.state.partings == whole.state.partings {
                entry.count_error = 0;
            }
            entries.push(entry);
            left = left.saturating_sub(followed);
            if left == 0 {
                return (entries, false);
            }
        }
        if run.go_on(&mut |_| {}).is_break() {
            return (entries, true);
        }
    }
}

fn whole_start(run: &Run<'_>) -> State {
    State { parts: 0, partings: 0, ..run.lathe.state }
}

fn entry<'s>(stopped: &Run<'s>, spot: Spot, starts: &mut Starts<'_, 's>) -> (Entry, u64) {
    let state = stopped.lathe.state;
    let led = starts.from(stopped);
    let entry = Entry {
        spot,
        cycle: state.cycle(),
        parts: state.parts,
        chuck_open: state.chuck.open,
        gripped: state.gripped.is_some(),
        part_is_off: state.partings > 0 && state.bar.drawn_since_part == Length::ZERO,
        count_error: led.count_error,
        troubles: led.troubles,
    };
    (entry, led.followed)
}

/// Goes on until two more partings, or the end.
fn follow(run: &mut Run<'_>, tell: &mut Teller<'_>) -> u64 {
    let enough = run.lathe.state.partings + 2;
    for followed in 0..FOLLOWED {
        if run.lathe.state.partings >= enough || run.go_on(tell).is_break() {
            return u64::from(followed);
        }
    }
    u64::from(FOLLOWED)
}

/// The worst count error and whether a count survives resets.
pub fn judge(entries: &[Entry], kind: CountKind, parts_per_advance: u32) -> (bool, u32) {
    let worst = entries.iter().map(|entry| entry.count_error.unsigned_abs()).max().unwrap_or(0);
    let worst = u32::try_from(worst).unwrap_or(u32::MAX);
    (kind != CountKind::None && worst <= parts_per_advance, worst)
}
