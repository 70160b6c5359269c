//! Reads a program block by block as the control does: variables and jumps at once, and for the
//! lathe a list of what each block asks.

mod axes;
mod block;
mod corner;
mod cycles;
mod flow;
mod frame;
mod growth;
mod macro_call;
mod modal;
mod nose;
mod variables;
mod words;

pub(crate) use growth::ControlGrowth;
pub use modal::Modal;
pub use variables::Variables;

use crate::action::{Action, Ask};
use crate::event::{CycleTrouble, EndedBy, Spot, What};
use crate::lathe::State;
use crate::recurrence::Trail;
use crate::setup::Setup;
use macro_call::AfterMoves;
use model::files::control::Code;
use model::{Source, Span};
use nc::blocks::{Blocks, Said};
use nc::program::{Library, ProgramId};
use std::sync::Arc;

/// Where reading goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct At {
    /// In which program.
    pub program: ProgramId,
    /// At which block of its file.
    pub block: u32,
}

/// A call that is under way.
#[derive(Debug, Clone, PartialEq)]
struct Call {
    /// Where the caller goes on.
    back: At,
    /// Where each run of what is called begins.
    start: At,
    /// How often it is still to be run after this time.
    repeats_left: u32,
    /// Whether it has local variables of its own.
    own_locals: bool,
}

/// What reading one block gave.
#[derive(Debug, Clone, Default)]
pub struct Reading {
    /// What it asks of the lathe, in order.
    pub actions: Vec<Action>,
    /// What happened while it was read: faults, and things no file explains.
    pub notes: Vec<(Spot, What)>,
    /// A variable that was stepped by itself, such as `#500=#500+1`, and its new value.
    pub step: Option<(Spot, u32, f64)>,
    /// A variable that was set to something not made from itself.
    pub set: Option<(Spot, u32)>,
    /// A new value for the control's part counter.
    pub counter: Option<f64>,
    /// Whether reading waits here until the lathe has done everything.
    pub stops_reading: bool,
    /// The word that jumped back in the same program, or started it again.
    pub jumped_back: Option<Spot>,
    /// Whether the program is over, and how.
    pub ended: Option<(Spot, EndedBy)>,
    /// What reading goes by, where that is kept.
    pub(crate) trail: Option<Trail>,
}

impl Reading {
    fn clear(&mut self) {
        self.actions.clear();
        self.notes.clear();
        (self.step, self.set, self.counter) = (None, None, None);
        (self.jumped_back, self.ended) = (None, None);
        self.stops_reading = false;
    }

    /// Whether the block has ended the program, or asks for more than any block does, which ends
    /// it too: what it still repeats is left out.
    fn is_over(&mut self, spot: Spot) -> bool {
        if self.actions.len() >= MOST_ACTIONS && self.ended.is_none() {
            self.fault(spot, What::Cycle(CycleTrouble::TooManyMoves));
        }
        self.ended.is_some()
    }

    /// Keeps a value that decides more than a sum.
    fn goes_by(&mut self, value: Option<f64>) {
        if let Some(trail) = &mut self.trail {
            trail.bent(value);
        }
    }

    /// Notes something that reading itself shows.
    fn note(&mut self, spot: Spot, what: What) {
        self.notes.push((spot, what));
    }

    /// Notes something that the control stops at with an alarm.
    fn fault(&mut self, spot: Spot, what: What) {
        self.notes.push((spot, what));
        self.ended = Some((spot, EndedBy::Fault));
    }
}

/// The control at work on one program.
#[derive(Debug, Clone)]
pub struct Interpreter<'p> {
    library: &'p Library,
    setup: &'p Setup,
    /// The blocks of every file, made ready for this control.
    ready: Arc<[Blocks]>,
    at: At,
    calls: Vec<Call>,
    after_moves: Vec<AfterMoves>,
    /// The variables.
    pub variables: Variables,
    modal: Modal,
    /// Variables that some condition has looked at, in the order first seen.
    pub looked_at: Vec<u32>,
    /// The most repeats that a call asked for.
    pub most_repeats: u32,
    /// Whether this is a look at a contour only, without any offset of the nose.
    reads_contour: bool,
    /// Room for the next follower of a nose.
    follower_room: Option<Box<crate::nose::Follower>>,
    /// Room for what the offset of the nose decides.
    told: nose::Told,
    /// Room for words whose values are worked out.
    room: Vec<Said>,
}

impl<'p> Interpreter<'p> {
    /// The control at the top of the main program, as after power-on.
    pub fn new(library: &'p Library, setup: &'p Setup) -> Interpreter<'p> {
        let ready = library.trees().iter().map(|tree| Blocks::new(tree, &setup.control));
        Interpreter {
            library,
            setup,
            ready: ready.collect(),
            at: top(library),
            calls: Vec::new(),
            after_moves: Vec::new(),
            variables: Variables::default(),
            modal: Modal::new(setup),
            looked_at: Vec::new(),
            most_repeats: 0,
            reads_contour: false,
            follower_room: None,
            told: nose::Told::default(),
            room: Vec::new(),
        }
    }

    /// What a reset leaves of it, with the program back at its top.
    pub fn reset(&mut self) {
        self.at = top(self.library);
        self.calls.clear();
        self.after_moves.clear();
        self.variables.reset(&self.setup.control);
        self.modal = Modal::after_reset(&self.modal, self.setup);
    }

    /// Tells the control where the tool really stands, after a stop in mid-block.
    pub fn stands_at(&mut self, state: &State) {
        self.modal.position = state.position;
    }

    /// The texts of all files.
    pub fn sources(&self) -> Vec<Source> {
        self.library.trees().iter().map(|tree| tree.source.clone()).collect()
    }

    /// Where reading goes on.
    pub const fn at(&self) -> At {
        self.at
    }

    /// Everything that decides how reading goes on, for recognizing that it goes in circles.
    pub fn same_state(&self, other: &Interpreter<'_>) -> bool {
        self.at == other.at
            && self.calls == other.calls
            && self.after_moves == other.after_moves
            && self.variables == other.variables
            && self.modal == other.modal
    }

    /// Reads the next block. `state` is the lathe as far as it has got.
    pub fn read(&mut self, state: &State, reading: &mut Reading) {
        reading.clear();
        let program = self.library.program(self.at.program);
        let tree_index = program.tree;
        let tree = &self.library.trees()[tree_index];
        if self.at.block as usize >= program.blocks.end {
            let last = program.blocks.end.saturating_sub(1);
            let span = tree.blocks.get(last).map_or(Span::default(), |block| block.span);
            let spot = Spot { tree: tree_index as u32, block: last as u32, span };
            return self.end_of_program(spot, reading);
        }
        let block = &tree.blocks[self.at.block as usize];
        let here = Here { tree: tree_index as u32, block: self.at.block, span: block.span };
        self.at.block += 1;
        if let Some(level) = block.skip {
            reading.stops_reading |= self.setup.control.read_ahead.skip_sign_stops;
            if self.skips(level, here.spot(block.span), reading) {
                return;
            }
        }
        self.block(here, state, reading);
    }

    /// Whether a skip sign of this level takes effect; the other stand of the switch stays
    /// unproven.
    fn skips(&self, level: u8, spot: Spot, reading: &mut Reading) -> bool {
        let on = self.setup.skip_switches.contains(&level);
        let what = if on {
            "what the block skip switch changes when it is off"
        } else {
            "what the block skip switch changes when it is on"
        };
        reading.note(spot, What::NotModelled(what));
        on
    }

    fn stops(&self, code: Code) -> bool {
        self.setup.control.read_ahead.stoppers.contains(&code)
    }
}

/// The block being read.
#[derive(Debug, Clone, Copy)]
struct Here {
    tree: u32,
    block: u32,
    span: Span,
}

impl Here {
    const fn spot(self, span: Span) -> Spot {
        Spot { tree: self.tree, block: self.block, span }
    }
}

fn top(library: &Library) -> At {
    let program = library.main();
    At { program, block: library.program(program).blocks.start as u32 }
}

/// More than one block of a program that makes parts ever asks for.
const MOST_ACTIONS: usize = 100_000;

/// Adds what a word asks of the lathe.
fn ask(spot: Spot, ask: Ask, reading: &mut Reading) {
    if !reading.is_over(spot) {
        reading.actions.push(Action { spot, ask });
    }
}
