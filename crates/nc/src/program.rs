//! The programs of some files: where each starts and ends, and where jumps and loops go.

mod fractions;
mod jumps;

pub use fractions::{FractionStep, fraction_steps};

use crate::tree::{Block, Item, ItemKind, Tree};
use model::files::control::JumpSearch;
use model::{Source, Span};
use std::ops::Range;

/// Index of a program in a [`Library`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct ProgramId(pub u32);

/// One program: from its number to the next one, the end sign or the end of the file.
#[derive(Debug, Clone)]
pub struct Program {
    /// Its number; none where the file starts without one.
    pub number: Option<u32>,
    /// Index of its file.
    pub tree: usize,
    /// Its blocks in that file.
    pub blocks: Range<usize>,
    /// Block numbers, each with its block; equal ones in the order of the text.
    targets: Vec<(u32, u32)>,
    /// `WHILE` or `DO` block and its `END`, in the order of the starts.
    ends: Vec<(u32, u32)>,
    /// `END` block and its start, in the order of the ends.
    starts: Vec<(u32, u32)>,
}

/// All programs of the files given.
#[derive(Debug, Clone)]
pub struct Library {
    trees: Vec<Tree>,
    programs: Vec<Program>,
    /// Program numbers in order, each with the first program that has it.
    numbers: Vec<(u32, ProgramId)>,
    troubles: Vec<FlowTrouble>,
}

/// What is wrong with the numbers, jumps and loops of a program.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlowTrouble {
    /// Index of the file.
    pub tree: usize,
    /// The stretch it is about.
    pub span: Span,
    /// What is wrong.
    pub kind: FlowTroubleKind,
}

/// What can be wrong with numbers, jumps and loops.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FlowTroubleKind {
    /// `END` of a loop that was not started; it does nothing.
    EndWithoutDo,
    /// `DO` of a loop that has no `END`.
    DoWithoutEnd,
    /// A loop that ends inside another one that started inside it.
    LoopsCross,
    /// A loop number other than 1, 2 or 3, or one whose loop is still open; the loop is not
    /// followed.
    LoopNumber,
    /// A program number that an earlier program has; the earlier one is called.
    ProgramTwice,
    /// A block number that stands several times in a program and is jumped to.
    TargetTwice,
    /// A jump to this block number, which the program does not have.
    TargetMissing(u32),
}

impl Library {
    /// Finds the programs of some files. The first program of the first file is the main one.
    pub fn new(mut trees: Vec<Tree>) -> Library {
        if trees.is_empty() {
            trees.push(crate::read::read(&Source::new("", "")));
        }
        let (mut programs, mut troubles) = (Vec::new(), Vec::new());
        for (index, tree) in trees.iter().enumerate() {
            let mut starts = starts(tree);
            if starts.is_empty() && index == 0 {
                starts.push((None, tree.blocks.len()));
            }
            for (place, (number, start)) in starts.iter().enumerate() {
                let next = starts.get(place + 1).map_or(tree.blocks.len(), |(_, next)| *next);
                let blocks = *start..end_of(tree, *start, next);
                programs.push(Program::new(*number, index, blocks, tree, &mut troubles));
            }
        }
        let numbers = numbers(&programs, &trees, &mut troubles);
        troubles.sort_by_key(|trouble| (trouble.tree, trouble.span));
        Library { trees, programs, numbers, troubles }
    }

    /// The files, as given.
    pub fn trees(&self) -> &[Tree] {
        &self.trees
    }

    /// All programs, in the order of the files.
    pub fn programs(&self) -> &[Program] {
        &self.programs
    }

    /// What is wrong with numbers, jumps and loops, in the order of the files.
    pub fn troubles(&self) -> &[FlowTrouble] {
        &self.troubles
    }

    /// The main program.
    pub fn main(&self) -> ProgramId {
        ProgramId(0)
    }

    /// A program.
    pub fn program(&self, id: ProgramId) -> &Program {
        &self.programs[(id.0 as usize).min(self.programs.len() - 1)]
    }

    /// The first program with this number.
    pub fn find(&self, number: u32) -> Option<ProgramId> {
        value_of(&self.numbers, number)
    }

    /// The block with a number: searched from `from` to the program's end, then from its top.
    pub fn search(&self, id: ProgramId, from: u32, number: u32) -> Option<u32> {
        let places = self.program(id).targets(number);
        let behind = places.partition_point(|(_, place)| *place < from);
        places.get(behind).or(places.first()).map(|(_, place)| *place)
    }

    /// The block with a number, as a control looks for it whose next block is `from`.
    pub fn search_from(
        &self,
        id: ProgramId,
        from: u32,
        number: u32,
        search: JumpSearch,
    ) -> Option<u32> {
        let from = match search {
            JumpSearch::Forward => from,
            JumpSearch::Top => 0,
        };
        self.search(id, from, number)
    }

    /// The `END` of the loop that starts at a block.
    pub fn loop_end(&self, id: ProgramId, block: u32) -> Option<u32> {
        value_of(&self.program(id).ends, block)
    }

    /// The start of the loop that ends at a block.
    pub fn loop_start(&self, id: ProgramId, block: u32) -> Option<u32> {
        value_of(&self.program(id).starts, block)
    }
}

impl Program {
    fn new(
        number: Option<u32>,
        tree_index: usize,
        blocks: Range<usize>,
        tree: &Tree,
        troubles: &mut Vec<FlowTrouble>,
    ) -> Program {
        let numbered = blocks.clone().filter_map(|index| {
            let (number, _) = tree.blocks[index].number?;
            Some((number, index as u32))
        });
        let mut targets: Vec<_> = numbered.collect();
        // Blocks are already in order: a stable sort keeps equal numbers as they stand.
        targets.sort_by_key(|(number, _)| *number);
        let mut told = |span, kind| troubles.push(FlowTrouble { tree: tree_index, span, kind });
        let (ends, starts) = jumps::loops(tree, &blocks, &mut told);
        let program = Program { number, tree: tree_index, blocks, targets, ends, starts };
        jumps::targets_twice(&program, tree, &mut told);
        jumps::targets_missing(&program, tree, &mut told);
        program
    }

    /// The blocks with a number, each with it, in the order of the text.
    fn targets(&self, number: u32) -> &[(u32, u32)] {
        let first = self.targets.partition_point(|(other, _)| *other < number);
        let rest = &self.targets[first..];
        &rest[..rest.partition_point(|(other, _)| *other == number)]
    }
}

/// Looks a key up in pairs that are in the order of their keys.
fn value_of<T: Copy>(pairs: &[(u32, T)], key: u32) -> Option<T> {
    let place = pairs.binary_search_by_key(&key, |(key, _)| *key).ok()?;
    Some(pairs[place].1)
}

fn numbers(
    programs: &[Program],
    trees: &[Tree],
    troubles: &mut Vec<FlowTrouble>,
) -> Vec<(u32, ProgramId)> {
    let mut numbers: Vec<(u32, ProgramId)> = programs
        .iter()
        .enumerate()
        .filter_map(|(index, program)| Some((program.number?, ProgramId(index as u32))))
        .collect();
    numbers.sort_by_key(|(number, _)| *number);
    numbers.dedup_by(|later, first| {
        let twice = later.0 == first.0;
        if twice {
            let program = &programs[later.1.0 as usize];
            let tree = &trees[program.tree];
            let span = number_span(tree.items_of(&tree.blocks[program.blocks.start]));
            let kind = FlowTroubleKind::ProgramTwice;
            troubles.push(FlowTrouble { tree: program.tree, span, kind });
        }
        twice
    });
    numbers
}

fn number_span(items: &[Item]) -> Span {
    let number = items.iter().find(|item| matches!(item.kind, ItemKind::Program(_)));
    number.map_or(Span::default(), |item| item.span)
}

/// Where programs start: at each program number, and at the top where none stands there.
fn starts(tree: &Tree) -> Vec<(Option<u32>, usize)> {
    let mut starts: Vec<(Option<u32>, usize)> = Vec::new();
    for (index, block) in tree.blocks.iter().enumerate() {
        let number = tree.items_of(block).iter().find_map(|item| match item.kind {
            ItemKind::Program(number) => Some(number),
            _ => None,
        });
        if number.is_some() || starts.is_empty() && says_something(tree, block) {
            starts.push((number, index));
        }
    }
    starts
}

fn says_something(tree: &Tree, block: &Block) -> bool {
    let silent = |item: &Item| {
        matches!(item.kind, ItemKind::Percent | ItemKind::Comment | ItemKind::Ignored)
    };
    block.number.is_some() || !tree.items_of(block).iter().all(silent)
}

/// The end sign behind the first block of a program, at most the start of the next one.
fn end_of(tree: &Tree, start: usize, next: usize) -> usize {
    let sign = |block: &Block| {
        tree.items_of(block).first().is_some_and(|item| item.kind == ItemKind::Percent)
    };
    let rest = tree.blocks.get(start + 1..next).unwrap_or(&[]);
    rest.iter().position(sign).map_or(next, |rest| start + 1 + rest)
}
