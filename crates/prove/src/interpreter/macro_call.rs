//! Macro calls: a program called with values for its local variables.

use super::words::Words;
use super::{Interpreter, Reading};
use crate::event::Spot;
use nc::language::ARGUMENTS;

/// The first variable of the first triple I, J, K, and how many triples there may be.
const FIRST_OF_TRIPLES: u32 = 4;
const TRIPLES: u32 = 10;

/// A macro that is called behind every move.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct AfterMoves {
    /// How many calls were open where it was asked for: it is called at that depth only.
    depth: usize,
    program: u32,
    repeats: u32,
    arguments: Vec<(u32, f64)>,
}

impl AfterMoves {
    pub(super) const fn depth(&self) -> usize {
        self.depth
    }
}

impl Interpreter<'_> {
    /// `G65 P… L… arguments`.
    pub(super) fn macro_call(&mut self, words: Words<'_>, spot: Spot, reading: &mut Reading) {
        let (program, repeats) = called(words);
        if self.enter(program, repeats, true, spot, reading) {
            for (variable, value) in arguments(words) {
                self.variables.set(variable, Some(value));
            }
        }
    }

    /// `G66 P… L… arguments`: the block itself calls nothing.
    pub(super) fn macro_call_after_moves(&mut self, words: Words<'_>) {
        /// Deeper than any control nests them.
        const MOST: usize = 16;
        let (program, repeats) = called(words);
        if self.after_moves.len() < MOST {
            let arguments = arguments(words).collect();
            let depth = self.calls.len();
            self.after_moves.push(AfterMoves { depth, program, repeats, arguments });
        }
    }

    /// `G67`: the macro asked for last is called no more.
    pub(super) fn end_calls_after_moves(&mut self) {
        self.after_moves.pop();
    }

    /// Calls what is to be called behind a move at this depth of calls.
    pub(super) fn call_after_move(&mut self, spot: Spot, reading: &mut Reading) {
        let depth = self.calls.len();
        let Some(after) = self.after_moves.iter().rfind(|after| after.depth == depth) else {
            return;
        };
        let after = after.clone();
        if self.enter(after.program, after.repeats, true, spot, reading) {
            for (variable, value) in after.arguments {
                self.variables.set(variable, Some(value));
            }
        }
    }
}

/// Which program a call names, and how often it is to be run.
fn called(words: Words<'_>) -> (u32, u32) {
    (words.whole(b'P').unwrap_or(0), words.whole(b'L').unwrap_or(1))
}

/// The local variables that the words of a call set, in the order of the words: where two set the
/// same, the later counts.
fn arguments(words: Words<'_>) -> impl Iterator<Item = (u32, f64)> {
    let (mut triple, mut before) = (0, None);
    words.all().iter().filter_map(move |said| {
        if let Some(place) = b"IJK".iter().position(|letter| *letter == said.letter) {
            // A letter that does not come after the last one starts the next triple.
            if before.is_some_and(|before| place <= before) {
                triple += 1;
            }
            before = Some(place);
            let variable = FIRST_OF_TRIPLES + 3 * triple + place as u32;
            return (triple < TRIPLES).then_some((variable, said.value));
        }
        let (_, variable) = ARGUMENTS.iter().find(|(letter, _)| *letter == said.letter)?;
        Some((*variable, said.value))
    })
}
