//! The programs of some files: where each starts and ends, and where jumps and loops go.

use crate::tree::{ItemKind, Tree};
use std::collections::HashMap;
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
    /// Where each block number stands, in the order of the text.
    targets: HashMap<u32, Vec<u32>>,
    /// `WHILE` or `DO` block to its `END`, and back.
    ends: HashMap<u32, u32>,
    starts: HashMap<u32, u32>,
}

/// All programs of the files given.
#[derive(Debug, Clone)]
pub struct Library {
    trees: Vec<Tree>,
    programs: Vec<Program>,
}

impl Library {
    /// Finds the programs of some files. The first program of the first file is the main one.
    pub fn new(trees: Vec<Tree>) -> Library {
        let mut programs = Vec::new();
        for (index, tree) in trees.iter().enumerate() {
            let starts = starts(tree);
            for (place, (number, start)) in starts.iter().enumerate() {
                let end = starts.get(place + 1).map_or(end_of(tree, *start), |(_, next)| *next);
                programs.push(Program::new(*number, index, *start..end, tree));
            }
        }
        if programs.is_empty() {
            let empty = Tree {
                source: model::Source::new("", ""),
                blocks: Vec::new(),
                items: Vec::new(),
                expressions: Vec::new(),
                troubles: Vec::new(),
            };
            let first = trees.first().unwrap_or(&empty);
            programs.push(Program::new(None, 0, 0..0, first));
        }
        let trees = if trees.is_empty() {
            vec![crate::read::read(&model::Source::new("", ""))]
        } else {
            trees
        };
        Library { trees, programs }
    }

    /// The files, as given.
    pub fn trees(&self) -> &[Tree] {
        &self.trees
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
        let index = self.programs.iter().position(|program| program.number == Some(number))?;
        Some(ProgramId(index as u32))
    }

    /// The block with a number: searched from `from` to the program's end, then from its top.
    pub fn search(&self, id: ProgramId, from: u32, number: u32) -> Option<u32> {
        let places = self.program(id).targets.get(&number)?;
        places.iter().find(|place| **place >= from).or(places.first()).copied()
    }

    /// The `END` of the loop that starts at a block.
    pub fn loop_end(&self, id: ProgramId, block: u32) -> Option<u32> {
        self.program(id).ends.get(&block).copied()
    }

    /// The start of the loop that ends at a block.
    pub fn loop_start(&self, id: ProgramId, block: u32) -> Option<u32> {
        self.program(id).starts.get(&block).copied()
    }
}

/// Where programs start: at each program number, and at the top where none stands there.
fn starts(tree: &Tree) -> Vec<(Option<u32>, usize)> {
    let mut starts: Vec<(Option<u32>, usize)> = Vec::new();
    for (index, block) in tree.blocks.iter().enumerate() {
        let items = tree.items_of(block);
        let number = items.iter().find_map(|item| match item.kind {
            ItemKind::Program(number) => Some(number),
            _ => None,
        });
        if number.is_some() {
            starts.push((number, index));
        } else if starts.is_empty() && says_something(items) {
            starts.push((None, index));
        }
    }
    starts
}

fn says_something(items: &[crate::tree::Item]) -> bool {
    !items.iter().all(|item| matches!(item.kind, ItemKind::Percent | ItemKind::Comment))
}

/// The end sign after a start, or the end of the file.
fn end_of(tree: &Tree, start: usize) -> usize {
    let percent = |block: &crate::tree::Block| {
        tree.items_of(block).first().is_some_and(|item| item.kind == ItemKind::Percent)
    };
    let rest = tree.blocks[start..].iter().position(percent);
    rest.map_or(tree.blocks.len(), |rest| start + rest)
}

impl Program {
    fn new(number: Option<u32>, tree_index: usize, blocks: Range<usize>, tree: &Tree) -> Program {
        let mut targets: HashMap<u32, Vec<u32>> = HashMap::new();
        let (mut ends, mut starts) = (HashMap::new(), HashMap::new());
        let mut open: Vec<(u32, u32)> = Vec::new();
        for index in blocks.clone() {
            let block = &tree.blocks[index];
            if let Some((number, _)) = block.number {
                targets.entry(number).or_default().push(index as u32);
            }
            for item in tree.items_of(block) {
                match item.kind {
                    ItemKind::Do(label) => open.push((label, index as u32)),
                    ItemKind::End(label) => {
                        if let Some(place) = open.iter().rposition(|(open, _)| *open == label) {
                            let (_, start) = open[place];
                            open.truncate(place);
                            ends.insert(start, index as u32);
                            starts.insert(index as u32, start);
                        }
                    }
                    _ => {}
                }
            }
        }
        Program { number, tree: tree_index, blocks, targets, ends, starts }
    }
}
