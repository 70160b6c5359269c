#![doc = include_str!("unreadable_word.md")]

use crate::event::{Moment, What};
use crate::report::Out;
use nc::tree::TroubleKind;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Unreadable(kind) = moment.what else { return };
    let (message, remedy) = match kind {
        // Told by checks of their own.
        TroubleKind::LetterOForZero | TroubleKind::UnknownName => return,
        TroubleKind::NoValue if is_digit_one(out) => (
            "This letter has no number; the digit 1 was likely meant.",
            "Write the digit 1.",
        ),
        TroubleKind::NoValue => ("This letter has no number.", "Write its number, or take the letter out."),
        TroubleKind::StrayCharacter => {
            ("This character belongs to no word.", "Take it out, or put the text in a comment.")
        }
        TroubleKind::BadNumber => ("This is no number, or one beyond any lathe.", "Write digits with at most one sign and one point."),
        TroubleKind::BadExpression => {
            ("This term is not complete, or a bracket lacks its other half.", "Close every [ with a ].")
        }
        TroubleKind::OpenComment => ("This comment is not closed.", "End it with ) on the same line."),
        TroubleKind::IncompleteStatement => {
            ("This statement lacks its other half.", "Write what is to happen, such as GOTO and a block number.")
        }
        TroubleKind::TooDeep => ("These brackets are nested too deep.", "Work the term out in several lines."),
    };
    out.found(message, remedy);
}

/// Whether this is a letter that looks like a 1, right behind a digit or a letter.
fn is_digit_one(out: &Out<'_>) -> bool {
    let behind = out.beside()[0].is_some_and(|before| before.is_ascii_alphanumeric());
    behind && matches!(out.written().as_str(), "I" | "i" | "L" | "l")
}
