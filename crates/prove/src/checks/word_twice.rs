#![doc = include_str!("word_twice.md")]

use crate::event::{Moment, TextTrouble, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    match moment.what {
        What::Text(TextTrouble::LetterTwice(letter)) => out.found(
            format!("{letter} stands twice in this block: controls take the last and drop the first without a word."),
            "Write one of them, or write two blocks.",
        ),
        What::Text(TextTrouble::Replaced { first, last }) => out.found(
            format!("{last} takes the place of {first} in the same block: only {last} acts."),
            format!("Write {first} or {last}, or write two blocks."),
        ),
        _ => {}
    }
}
