#![doc = include_str!("program_missing.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if let What::NoProgram(number) = moment.what {
        out.found(
            format!("Program O{number} is called here, but none of the files given holds it."),
            "Give its file too, or put it in the same folder as the main program.",
        );
    }
}
