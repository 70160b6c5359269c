//! Passes of a loop that are like the one before are not gone through one by one.
//!
//! Behind each pass that made a part the run is looked at. When two passes grew by the same and
//! were read by the same values ([`crate::recurrence`]), all values of the lathe go on evenly, and
//! whatever is asked of them (is there grip enough, is the bar used up, are there more parts than
//! ordered) changes its answer at one pass and never back. So the last pass that is still like
//! these is found by halving: each try runs that one pass. The passes between are counted, told in
//! one, and not run; the last two before a change are run again.

use super::{CountStep, Outcome, Run};
use crate::action::Action;
use crate::checks;
use crate::event::{Moment, Spot, What};
use crate::interpreter::{ControlGrowth, Interpreter};
use crate::lathe::{State, StateGrowth, Teller};
use crate::recurrence::Trail;
use crate::report::{Report, Said};
use std::collections::VecDeque;

/// Passes before a change that are run all the same, so that a stop in the last cycles is tried at
/// every block.
const RUN_BEFORE_CHANGE: u32 = 2;
/// Fewer passes are sooner run than looked for.
const FEWEST: u32 = 4;
/// Steps of a pass that is tried, at most.
const MOST_STEPS: u32 = 1_000_000;

/// Looks for passes that are alike.
#[derive(Debug, Clone, Default)]
pub(super) struct Recurrence<'s> {
    last: Option<Box<Pass<'s>>>,
    /// Passes to let go by before the next look, and how many more after one in vain.
    wait: u32,
    next_wait: u32,
}

/// A run as it stood behind a pass, with what that pass was.
#[derive(Debug, Clone)]
struct Pass<'s> {
    at: Standing<'s>,
    growth: Option<Growth>,
    trail: Trail,
}

/// All of a run that decides how it goes on, and how much of its outcome there is.
#[derive(Debug, Clone)]
struct Standing<'s> {
    interpreter: Interpreter<'s>,
    state: State,
    waiting: VecDeque<Vec<Action>>,
    keep: usize,
    blocks: u64,
    jumps: u64,
    kept_steps: usize,
    kept_starts: usize,
    step_totals: Vec<(u32, u32)>,
    sets: Vec<(Spot, u32, u32)>,
}

/// What a pass adds to a run that is otherwise as it was.
#[derive(Debug, Clone, PartialEq)]
struct Growth {
    control: ControlGrowth,
    lathe: StateGrowth,
    blocks: u64,
    jumps: u64,
}

impl<'s> Standing<'s> {
    fn of(run: &Run<'s>) -> Standing<'s> {
        let outcome = &run.outcome;
        Standing {
            interpreter: run.interpreter.clone(),
            state: run.lathe.state,
            waiting: run.waiting.clone(),
            keep: run.keep,
            blocks: outcome.blocks,
            jumps: run.circles.jumps,
            kept_steps: outcome.steps.len(),
            kept_starts: outcome.cycle_starts.len(),
            step_totals: outcome.step_totals.clone(),
            sets: outcome.sets.clone(),
        }
    }

    fn growth_since(&self, before: &Standing<'s>) -> Option<Growth> {
        if self.waiting != before.waiting || self.keep != before.keep {
            return None;
        }
        Some(Growth {
            lathe: self.state.growth_since(&before.state)?,
            control: self.interpreter.growth_since(&before.interpreter)?,
            blocks: self.blocks - before.blocks,
            jumps: self.jumps - before.jumps,
        })
    }

    /// A run that stands here as it will stand so many passes later.
    fn later(&self, growth: &Growth, passes: u32, run: &Run<'s>) -> Run<'s> {
        let (depth, mut lathe) = (run.depth, run.lathe.clone());
        lathe.state = self.state.grown(&growth.lathe, passes);
        let mut run = Run::at(self.interpreter.clone(), lathe, super::Order::Latest);
        run.interpreter.grow(&growth.control, passes);
        run.waiting.clone_from(&self.waiting);
        (run.depth, run.keep) = (depth, self.keep);
        run.reading.trail = Some(Trail::default());
        run
    }
}

impl<'s> Run<'s> {
    /// The same run, which does not go through passes that are like those before: findings,
    /// counts and times are the same.
    #[must_use]
    pub fn recurring(mut self) -> Run<'s> {
        self.recurrence = Some(Recurrence::default());
        self.reading.trail = Some(Trail::default());
        self
    }

    /// Behind a pass that made parts: leaves out the passes to come that are like it.
    pub(super) fn leave_out_alike(&mut self, tell: &mut Teller<'_>) {
        let Some(mut recurrence) = self.recurrence.take() else { return };
        self.tell_of_passes(What::PassOver, tell);
        if recurrence.wait > 0 {
            recurrence.wait -= 1;
        } else {
            self.look(&mut recurrence, tell);
        }
        let looks = recurrence.wait == 0;
        match &mut self.reading.trail {
            Some(trail) if looks => trail.clear(),
            trail => *trail = looks.then(Trail::default),
        }
        self.recurrence = Some(recurrence);
    }

    fn look(&mut self, recurrence: &mut Recurrence<'s>, tell: &mut Teller<'_>) {
        let at = Standing::of(self);
        let trail = self.reading.trail.take().unwrap_or_default();
        let Some(before) = recurrence.last.take() else {
            recurrence.last = Some(Box::new(Pass { at, growth: None, trail }));
            return;
        };
        let pass = Pass { growth: at.growth_since(&before.at), at, trail };
        let Some(growth) = &before.growth else {
            if pass.growth.is_none() {
                recurrence.wait_longer();
            } else {
                recurrence.last = Some(Box::new(pass));
            }
            return;
        };
        let passes = self.passes_alike(&before, &pass, growth).saturating_sub(RUN_BEFORE_CHANGE);
        if passes < FEWEST {
            recurrence.wait_longer();
            return;
        }
        self.grow(&before.at, growth, passes);
        let advances = growth.lathe.advances() * passes;
        self.tell_of_passes(What::PassesLeftOut { passes, advances }, tell);
        recurrence.next_wait = 0;
    }

    /// How many passes behind this one are like it.
    fn passes_alike(&self, before: &Pass<'s>, pass: &Pass<'s>, growth: &Growth) -> u32 {
        let alike = pass.growth.as_ref() == Some(growth);
        let Some(passes) = pass.trail.passes_alike(&before.trail).filter(|_| alike) else {
            return 0;
        };
        let lathe = pass.at.state.most_passes(&growth.lathe, super::MOST_PARTS);
        let most = passes.min(lathe).min(pass.at.interpreter.most_passes(&growth.control));
        let Some(said) = self.tried(pass, growth, 1).filter(|_| most >= FEWEST) else { return 0 };
        let is_like = |number: u32| self.tried(pass, growth, number).as_ref() == Some(&said);
        if is_like(most) {
            return most;
        }
        let (mut like, mut unlike) = (1, most);
        while unlike - like > 1 {
            let middle = like + (unlike - like) / 2;
            if is_like(middle) {
                like = middle;
            } else {
                unlike = middle;
            }
        }
        like
    }

    /// Runs the pass that comes so many passes behind one; gives what the checks say of it, none
    /// where it is another pass.
    fn tried(&self, pass: &Pass<'s>, growth: &Growth, number: u32) -> Option<Said> {
        let mut run = pass.at.later(growth, number - 1, self);
        let start = Standing::of(&run);
        let mut report = Report::new(run.interpreter.sources());
        let mut tell = |moment: &Moment<'_>| checks::watch(moment, &mut report);
        for _ in 0..MOST_STEPS {
            if run.go_on(&mut tell).is_break() {
                return None;
            }
            if run.made_a_pass {
                let end = Standing::of(&run);
                let trail = run.reading.trail.unwrap_or_default();
                let compared = pass.trail.passes_alike(&trail).is_some();
                let grown = end.growth_since(&start).as_ref() == Some(growth);
                return (compared && grown).then(|| report.said());
            }
        }
        None
    }

    /// Adds what so many passes add; `before` is where the last pass began.
    fn grow(&mut self, before: &Standing<'s>, growth: &Growth, passes: u32) {
        self.interpreter.grow(&growth.control, passes);
        self.lathe.state = self.lathe.state.grown(&growth.lathe, passes);
        self.circles.jump(growth.jumps * u64::from(passes));
        self.parts_seen = self.lathe.state.parts;
        self.mark_parts = self.lathe.state.parts;
        self.outcome.grow(before, growth, passes);
    }

    fn tell_of_passes(&mut self, what: What, tell: &mut Teller<'_>) {
        if let Some(spot) = self.outcome.loops_at {
            let state = self.lathe.state;
            self.lathe.tell(what, spot, &state, tell);
        }
    }
}

impl Recurrence<'_> {
    fn wait_longer(&mut self) {
        self.wait = self.next_wait;
        self.next_wait = (self.next_wait * 2 + 1).min(1 << 20);
    }
}

impl Outcome {
    fn grow(&mut self, before: &Standing<'_>, growth: &Growth, passes: u32) {
        self.blocks += growth.blocks * u64::from(passes);
        for (variable, total) in &mut self.step_totals {
            let then = before.step_totals.iter().find(|(number, _)| number == variable);
            *total += (*total - then.map_or(0, |then| then.1)).saturating_mul(passes);
        }
        for (spot, _, times) in &mut self.sets {
            let then = before.sets.iter().find(|(known, _, _)| known == spot);
            *times += (*times - then.map_or(0, |then| then.2)).saturating_mul(passes);
        }
        self.grow_steps(before, growth, passes);
        let starts = self.cycle_starts[before.kept_starts..].to_vec();
        let more = (1..=i64::from(passes))
            .flat_map(|pass| starts.iter().map(move |at| at.later(growth.lathe.time(), pass)));
        let room = Outcome::KEPT_STARTS.saturating_sub(self.cycle_starts.len());
        self.cycle_starts.extend(more.take(room));
    }

    fn grow_steps(&mut self, before: &Standing<'_>, growth: &Growth, passes: u32) {
        let steps = self.steps[before.kept_steps..].to_vec();
        // The same step one pass earlier tells by how much its value goes up.
        let earlier = before.kept_steps.checked_sub(steps.len());
        let earlier =
            earlier.map_or(Vec::new(), |from| self.steps[from..before.kept_steps].to_vec());
        let room = Outcome::KEPT_STEPS.saturating_sub(self.steps.len());
        let more = (1..=passes).flat_map(|pass| {
            steps.iter().zip(&earlier).map(move |(step, earlier)| CountStep {
                value: step.value + (step.value - earlier.value) * f64::from(pass),
                parts: step.parts + growth.lathe.parts() * pass,
                cycle: step.cycle + growth.lathe.advances() * pass,
                at: step.at.later(growth.lathe.time(), i64::from(pass)),
                ..*step
            })
        });
        self.steps.extend(more.take(room));
    }
}
