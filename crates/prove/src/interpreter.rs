//! Reads a program block by block as the control does: variables and jumps at once, and for the
//! lathe a list of what each block asks.

mod axes;
mod corner;
mod cycles;
mod flow;
mod macro_call;
mod modal;
mod variables;
mod words;

pub use modal::Modal;
pub use variables::Variables;

use crate::action::Action;
use crate::event::{EndedBy, Spot, What};
use crate::lathe::State;
use crate::setup::Setup;
use model::files::control::Code;
use model::{Source, Span};
use nc::program::{Library, ProgramId};
use nc::tree::{Block, Item, ItemKind, Tree};

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
    /// The called program.
    program: ProgramId,
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
}

impl Reading {
    fn clear(&mut self) {
        self.actions.clear();
        self.notes.clear();
        (self.step, self.set, self.counter) = (None, None, None);
        (self.jumped_back, self.ended) = (None, None);
        self.stops_reading = false;
    }
}

/// The control at work on one program.
#[derive(Debug, Clone)]
pub struct Interpreter<'p> {
    library: &'p Library,
    setup: &'p Setup,
    at: At,
    calls: Vec<Call>,
    /// The variables.
    pub variables: Variables,
    modal: Modal,
    /// Variables that some condition has looked at, in the order first seen.
    pub looked_at: Vec<u32>,
    /// The most repeats that a call asked for.
    pub most_repeats: u32,
}

impl<'p> Interpreter<'p> {
    /// The control at the top of the main program, as after power-on.
    pub fn new(library: &'p Library, setup: &'p Setup) -> Interpreter<'p> {
        Interpreter {
            library,
            setup,
            at: top(library),
            calls: Vec::new(),
            variables: Variables::default(),
            modal: Modal::new(setup),
            looked_at: Vec::new(),
            most_repeats: 0,
        }
    }

    /// What a reset leaves of it, with the program back at its top.
    pub fn reset(&mut self) {
        self.at = top(self.library);
        self.calls.clear();
        self.variables.reset(&self.setup.control);
        let units = self.modal.units;
        let position = self.modal.position;
        self.modal = Modal::new(self.setup);
        (self.modal.units, self.modal.position) = (units, position);
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
        let block = tree.blocks[self.at.block as usize];
        let here = Here { tree, tree_index: tree_index as u32, block_index: self.at.block, block };
        self.at.block += 1;
        if block.skip.is_some() {
            reading.stops_reading |= self.setup.control.read_ahead.skip_sign_stops;
            let what = "what the block skip switch changes when it is on";
            reading.notes.push((here.spot(block.span), What::NotModelled(what)));
        }
        self.statements(&here, state, reading);
    }

    fn stops(&self, code: Code) -> bool {
        self.setup.control.read_ahead.stoppers.contains(&code)
    }
}

/// The block being read.
struct Here<'t> {
    tree: &'t Tree,
    tree_index: u32,
    block_index: u32,
    block: Block,
}

impl<'t> Here<'t> {
    fn spot(&self, span: Span) -> Spot {
        Spot { tree: self.tree_index, block: self.block_index, span }
    }

    fn items(&self) -> &'t [Item] {
        self.tree.items_of(&self.block)
    }

    fn has_words(&self) -> bool {
        self.items().iter().any(|item| matches!(item.kind, ItemKind::Word(_)))
    }
}

fn top(library: &Library) -> At {
    let program = library.main();
    At { program, block: library.program(program).blocks.start as u32 }
}
