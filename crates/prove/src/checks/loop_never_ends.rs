#![doc = include_str!("loop_never_ends.md")]

use crate::event::{EndedBy, Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what == What::Ended(EndedBy::Never) {
        out.found(
            "From here the program goes round without end: nothing in it ever changes what this jump decides.",
            "Count the parts, and end the program with M30 when the count is reached.",
        );
    }
}
