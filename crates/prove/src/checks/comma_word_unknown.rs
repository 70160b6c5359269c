#![doc = include_str!("comma_word_unknown.md")]

use crate::event::{Moment, TextTrouble, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if let What::Text(TextTrouble::CommaWord(letter)) = moment.what {
        out.unproven(
            format!("what {letter} behind a comma does"),
            "only A, C and R have a meaning behind a comma",
        );
        out.found(
            format!("{letter} has no meaning behind a comma; A is an angle there, C a chamfer, R a corner radius."),
            "Take the comma out, or write the letter that is meant.",
        );
    }
}
