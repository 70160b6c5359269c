#![doc = include_str!("bar_used_up.md")]

use crate::event::{EndedBy, Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what == What::Ended(EndedBy::Bar) {
        out.found(
            format!(
                "This pull draws the end of the bar out of the chuck, after {} parts, and the program goes on.",
                moment.after.parts
            ),
            "Count the parts and end the program before the bar ends.",
        );
    }
}
