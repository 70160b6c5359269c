#![doc = include_str!("letter_o_for_zero.md")]

use crate::event::{Moment, What};
use crate::report::Out;
use nc::tree::TroubleKind;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what != What::Unreadable(TroubleKind::LetterOForZero) {
        return;
    }
    let goto = matches!(out.beside(), [Some('G' | 'g'), Some('T' | 't')]);
    out.found(
        "The letter O stands here where a zero is meant; the control reads it as a program number.",
        if goto { "Write the digit 0, or GOTO where that is meant." } else { "Write the digit 0." },
    );
}
