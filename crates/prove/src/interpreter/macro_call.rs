//! Macro calls: a program called with values for its local variables.

use super::words::{Said, Words};
use super::{Interpreter, Reading};
use crate::event::Spot;

/// Letters that give their value to a local variable of their own, in both argument types.
/// Source: common macro practice; the letters A to F, H, I to K, M, Q to Z (found in public
/// references), G, L, N, O and P having other work.
const LETTERS: [(u8, u32); 18] = [
    (b'A', 1),
    (b'B', 2),
    (b'C', 3),
    (b'D', 7),
    (b'E', 8),
    (b'F', 9),
    (b'H', 11),
    (b'M', 13),
    (b'Q', 17),
    (b'R', 18),
    (b'S', 19),
    (b'T', 20),
    (b'U', 21),
    (b'V', 22),
    (b'W', 23),
    (b'X', 24),
    (b'Y', 25),
    (b'Z', 26),
];

/// The first variable of the first triple I, J, K, and how many triples there may be.
const FIRST_OF_TRIPLES: u32 = 4;
const TRIPLES: u32 = 10;

impl Interpreter<'_> {
    /// `G65 P… L… arguments`.
    pub(super) fn macro_call(&mut self, words: &Words, spot: Spot, reading: &mut Reading) {
        let number = |letter| words.get(letter).and_then(Said::whole);
        let arguments = arguments(words);
        let (program, repeats) = (number(b'P').unwrap_or(0), number(b'L').unwrap_or(1));
        if self.enter(program, repeats, true, spot, reading) {
            for (variable, value) in arguments {
                self.variables.set(variable, Some(value));
            }
        }
    }
}

/// The local variables that the words of a call set, in the order of the words: where two set the
/// same, the later counts.
fn arguments(words: &Words) -> Vec<(u32, f64)> {
    let mut arguments = Vec::new();
    let (mut triple, mut before) = (0, None);
    for said in words.all() {
        if let Some(place) = b"IJK".iter().position(|letter| *letter == said.letter()) {
            // A letter that does not come after the last one starts the next triple.
            if before.is_some_and(|before| place <= before) {
                triple += 1;
            }
            before = Some(place);
            if triple < TRIPLES {
                arguments.push((FIRST_OF_TRIPLES + 3 * triple + place as u32, said.value()));
            }
        } else if let Some((_, variable)) =
            LETTERS.iter().find(|(letter, _)| *letter == said.letter())
        {
            arguments.push((*variable, said.value()));
        }
    }
    arguments
}
