//! Runs a program on the virtual lathe: the control reads ahead, the lathe follows, and every
//! moment is told.

mod recur;

use crate::action::Action;
use crate::count::CountKind;
use crate::event::{EndedBy, Spot};
use crate::instant::Instant;
use crate::interpreter::{Interpreter, Reading};
use crate::lathe::{Lathe, Shown, State, Teller};
use crate::setup::Setup;
use nc::program::Library;
use recur::Recurrence;
use std::collections::VecDeque;
use std::ops::ControlFlow;

/// Blocks without any action after which a program is taken to go in circles.
const MOST_IDLE_BLOCKS: u64 = 200_000;
/// Actions without a part after which a program is taken to go in circles.
const MOST_ACTIONS_A_PART: u64 = 200_000;
/// Parts after which a run is broken off: more than any bar or order has.
const MOST_PARTS: u32 = 20_000_000;

/// How far the control reads ahead of the lathe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Order {
    /// As little as the control file allows.
    Latest,
    /// As much as the control file allows.
    Earliest,
}

/// One step of a variable, such as `#500=#500+1`, and what was true on the lathe at that moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CountStep {
    /// The statement.
    pub spot: Spot,
    /// The variable.
    pub variable: u32,
    /// Its new value.
    pub value: f64,
    /// Parts that had fallen.
    pub parts: u32,
    /// The cycle.
    pub cycle: u32,
    /// When.
    pub at: Instant,
}

/// What a run came to.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// What ended it.
    pub ended_by: EndedBy,
    /// The word that ended it.
    pub ended_at: Spot,
    /// The lathe at the end.
    pub state: State,
    /// Steps of variables by themselves, the first [`Outcome::KEPT_STEPS`] of them.
    pub steps: Vec<CountStep>,
    /// How often each variable was stepped.
    pub step_totals: Vec<(u32, u32)>,
    /// The last value of each variable that was stepped.
    pub last_values: Vec<(u32, f64)>,
    /// Statements that set a variable to something not made from itself, and how often each ran.
    pub sets: Vec<(Spot, u32, u32)>,
    /// Variables that some condition has looked at.
    pub looked_at: Vec<u32>,
    /// The most repeats that a call asked for.
    pub most_repeats: u32,
    /// The word that last started the program, or a stretch of it, again.
    pub loops_at: Option<Spot>,
    /// When each of the first and last cycles began.
    pub cycle_starts: Vec<Instant>,
    /// Blocks read.
    pub blocks: u64,
}

impl Outcome {
    /// How many steps are kept one by one.
    pub const KEPT_STEPS: usize = 4096;
    /// How many starts of cycles are kept.
    const KEPT_STARTS: usize = 64;

    /// The value of a count at the end.
    pub fn count_value(&self, kind: CountKind) -> f64 {
        match kind {
            CountKind::Variable(variable) => self
                .last_values
                .iter()
                .find(|(number, _)| *number == variable)
                .map_or(0.0, |last| last.1),
            CountKind::Counter => self.state.counter,
            CountKind::Repeat => f64::from(self.state.partings),
            CountKind::None => 0.0,
        }
    }
}

/// A program on its way through the control and the lathe.
#[derive(Debug, Clone)]
pub struct Run<'s> {
    /// The control.
    pub interpreter: Interpreter<'s>,
    /// The lathe.
    pub lathe: Lathe<'s>,
    waiting: VecDeque<Vec<Action>>,
    depth: usize,
    reading: Reading,
    spare: Vec<Vec<Action>>,
    circles: Circles<'s>,
    idle_blocks: u64,
    actions_since_part: u64,
    parts_seen: u32,
    /// Parts at the last jump back behind a part, and whether the block read last made one more.
    mark_parts: u32,
    made_a_pass: bool,
    recurrence: Option<Recurrence<'s>>,
    outcome: Outcome,
    /// How many blocks may wait before the lathe must do one.
    keep: usize,
    /// The end that reading came to; the run is over when the lathe has caught up.
    read_to_end: Option<(Spot, EndedBy)>,
    over: Option<(Spot, EndedBy)>,
}

/// How control and lathe stand, whatever time it is.
#[derive(Debug, Clone)]
pub(crate) struct Stand<'s> {
    interpreter: Interpreter<'s>,
    state: State,
    waiting: VecDeque<Vec<Action>>,
    until: u32,
}

impl Stand<'_> {
    /// Whether all that follows is the same as from where a run stands, its `state` counted from now.
    pub(crate) fn is(&self, run: &Run<'_>, state: &State, until: u32) -> bool {
        self.state == *state
            && self.until == until
            && self.interpreter.same_state(&run.interpreter)
            && self.waiting == run.waiting
    }
}

/// Recognizes that a program goes in circles: it stands once more exactly as it stood at a mark,
/// which is moved on in ever longer steps (Brent's cycle finding).
#[derive(Debug, Clone)]
struct Circles<'s> {
    mark: Option<Box<(Interpreter<'s>, State)>>,
    jumps: u64,
    next: u64,
}

impl<'s> Circles<'s> {
    fn again(&mut self, interpreter: &Interpreter<'s>, state: &State) -> bool {
        if let Some(mark) = &self.mark
            && mark.0.same_state(interpreter)
            && same_place(&mark.1, state)
        {
            return true;
        }
        self.jumps += 1;
        if self.jumps >= self.next {
            self.next = self.jumps * 2;
            self.mark = Some(Box::new((interpreter.clone(), *state)));
        }
        false
    }
}

impl Circles<'_> {
    /// So many jumps at once, to places where the run never stands again.
    fn jump(&mut self, jumps: u64) {
        self.jumps += jumps;
        while self.next <= self.jumps {
            self.next *= 2;
            self.mark = None;
        }
    }
}

/// Whether the lathe stands as it stood, whatever time passed and however many parts were made.
fn same_place(one: &State, other: &State) -> bool {
    one.position == other.position
        && one.tool == other.tool
        && one.chuck.open == other.chuck.open
        && one.spindle.told == other.spindle.told
        && one.spindle.speed == other.spindle.speed
        && one.gripped == other.gripped
        && one.shape == other.shape
        && one.bar.front == other.bar.front
        && one.bar.rear == other.bar.rear
        && one.counter.to_bits() == other.counter.to_bits()
        // Where the bar's length is not known, only the length drawn tells that it is used.
        && (one.bar.rear.is_some() || one.partings != other.partings || one.bar.drawn == other.bar.drawn)
}

impl<'s> Run<'s> {
    /// A program at its top, with a new bar in the lathe.
    pub fn new(library: &'s Library, setup: &'s Setup, shown: Shown, order: Order) -> Run<'s> {
        let interpreter = Interpreter::new(library, setup);
        let lathe = Lathe::with_new_bar(setup, shown);
        Run::at(interpreter, lathe, order)
    }

    /// A program and a lathe as they stand.
    pub fn at(interpreter: Interpreter<'s>, lathe: Lathe<'s>, order: Order) -> Run<'s> {
        let ahead = &lathe.setup.control.read_ahead;
        let depth = match order {
            Order::Latest => ahead.least,
            Order::Earliest => ahead.most,
        };
        let nowhere = Spot { tree: 0, block: 0, span: model::Span::default() };
        let outcome = Outcome {
            ended_by: EndedBy::Fault,
            ended_at: nowhere,
            state: lathe.state,
            steps: Vec::new(),
            step_totals: Vec::new(),
            last_values: Vec::new(),
            sets: Vec::new(),
            looked_at: Vec::new(),
            most_repeats: 0,
            loops_at: None,
            cycle_starts: vec![Instant::START],
            blocks: 0,
        };
        Run {
            parts_seen: lathe.state.parts,
            mark_parts: lathe.state.parts,
            made_a_pass: false,
            recurrence: None,
            interpreter,
            lathe,
            waiting: VecDeque::new(),
            depth,
            reading: Reading::default(),
            spare: Vec::new(),
            circles: Circles { mark: None, jumps: 0, next: 1 },
            idle_blocks: 0,
            actions_since_part: 0,
            outcome,
            keep: depth,
            read_to_end: None,
            over: None,
        }
    }

    /// Runs to the end.
    pub fn finish(mut self, tell: &mut Teller<'_>) -> Outcome {
        while self.go_on(tell).is_continue() {}
        self.outcome()
    }

    /// Whether reading has not come to an end.
    pub(crate) const fn reads_on(&self) -> bool {
        self.read_to_end.is_none() && self.over.is_none()
    }

    /// How it stands, to be followed until so many partings; none when reading has come to an end.
    pub(crate) fn stand(&self, until: u32) -> Option<Stand<'s>> {
        self.reads_on().then(|| Stand {
            interpreter: self.interpreter.clone(),
            state: self.lathe.whenever(),
            waiting: self.waiting.clone(),
            until,
        })
    }

    /// Takes one step: the lathe does one block where enough are waiting, else the control reads
    /// one. Breaks when the run is over.
    pub fn go_on(&mut self, tell: &mut Teller<'_>) -> ControlFlow<()> {
        if self.over.is_none() {
            if self.waiting.len() > self.keep {
                self.do_one(tell);
            } else if self.read_to_end.is_some() {
                self.over = self.read_to_end;
            } else {
                self.read_one(tell);
            }
        }
        if self.over.is_some() { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    }

    fn read_one(&mut self, tell: &mut Teller<'_>) {
        let mut reading = std::mem::take(&mut self.reading);
        self.interpreter.read(&self.lathe.state, &mut reading);
        self.outcome.blocks += 1;
        self.note(&reading, tell);
        if let Some(trail) = &mut reading.trail {
            trail.asked(&reading.actions);
        }
        if reading.actions.is_empty() {
            self.idle_blocks += 1;
        } else {
            self.idle_blocks = 0;
            let room = self.spare.pop().unwrap_or_default();
            self.waiting.push_back(std::mem::replace(&mut reading.actions, room));
        }
        let waits = reading.stops_reading || reading.ended.is_some();
        self.keep = if waits { 0 } else { self.depth };
        if let Some(spot) = reading.jumped_back {
            self.outcome.loops_at = Some(spot);
        }
        self.read_to_end = reading.ended.or_else(|| self.in_circles(&reading));
        self.made_a_pass = reading.jumped_back.is_some()
            && self.lathe.state.parts > self.mark_parts
            && self.read_to_end.is_none();
        self.reading = reading;
        if self.made_a_pass {
            self.mark_parts = self.lathe.state.parts;
            self.leave_out_alike(tell);
        }
    }

    /// What the run came to so far.
    pub fn outcome(mut self) -> Outcome {
        if let Some((spot, ended_by)) = self.over {
            (self.outcome.ended_at, self.outcome.ended_by) = (spot, ended_by);
        }
        self.outcome.state = self.lathe.state;
        let values = |(number, _): &(u32, u32)| {
            (*number, self.interpreter.variables.get(*number).unwrap_or(0.0))
        };
        self.outcome.last_values = self.outcome.step_totals.iter().map(values).collect();
        self.outcome.looked_at = std::mem::take(&mut self.interpreter.looked_at);
        self.outcome.most_repeats = self.interpreter.most_repeats;
        self.outcome
    }

    fn note(&mut self, reading: &Reading, tell: &mut Teller<'_>) {
        let state = self.lathe.state;
        for (spot, what) in &reading.notes {
            self.lathe.tell(*what, *spot, &state, tell);
        }
        if let Some(counter) = reading.counter {
            self.lathe.state.counter = counter;
        }
        if let Some((spot, variable)) = reading.set {
            match self.outcome.sets.iter_mut().find(|(known, _, _)| *known == spot) {
                Some((_, _, times)) => *times += 1,
                None => self.outcome.sets.push((spot, variable, 1)),
            }
        }
        let Some((spot, variable, value)) = reading.step else { return };
        let totals = &mut self.outcome.step_totals;
        match totals.iter_mut().find(|(number, _)| *number == variable) {
            Some((_, total)) => *total += 1,
            None => totals.push((variable, 1)),
        }
        if self.outcome.steps.len() < Outcome::KEPT_STEPS {
            self.outcome.steps.push(CountStep {
                spot,
                variable,
                value,
                parts: state.parts,
                cycle: state.cycle(),
                at: state.now,
            });
        }
    }

    /// Lets the lathe do the block that waits longest.
    fn do_one(&mut self, tell: &mut Teller<'_>) {
        let Some(mut actions) = self.waiting.pop_front() else { return };
        for action in &actions {
            let cycle = self.lathe.state.cycle();
            self.actions_since_part += 1;
            if let ControlFlow::Break(ended_by) = self.lathe.act(action, tell) {
                self.over = Some((action.spot, ended_by));
                break;
            }
            if self.lathe.state.cycle() != cycle
                && self.outcome.cycle_starts.len() < Outcome::KEPT_STARTS
            {
                self.outcome.cycle_starts.push(self.lathe.state.now);
            }
        }
        actions.clear();
        self.spare.push(actions);
        if self.lathe.state.parts != self.parts_seen {
            self.parts_seen = self.lathe.state.parts;
            self.actions_since_part = 0;
        }
    }

    fn in_circles(&mut self, reading: &Reading) -> Option<(Spot, EndedBy)> {
        let spot = reading.jumped_back?;
        let endless = self.idle_blocks > MOST_IDLE_BLOCKS
            || self.actions_since_part > MOST_ACTIONS_A_PART
            || self.lathe.state.parts > MOST_PARTS
            || self.circles.again(&self.interpreter, &self.lathe.state);
        endless.then_some((spot, EndedBy::Never))
    }

    /// Whether the run is over, and why.
    pub const fn over(&self) -> Option<(Spot, EndedBy)> {
        self.over
    }

    /// Whether reading came to the program's own end; the lathe may still be on its way there.
    pub fn has_read_to_the_count(&self) -> bool {
        self.read_to_end.is_some_and(|(_, ended_by)| ended_by == EndedBy::Count)
    }

    /// The block that the lathe does next: the first that waits, else the one read next.
    pub fn next_spot(&self) -> Option<Spot> {
        self.waiting.front().and_then(|actions| actions.first()).map(|action| action.spot)
    }
}
