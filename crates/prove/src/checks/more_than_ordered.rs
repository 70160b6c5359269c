#![doc = include_str!("more_than_ordered.md")]

use crate::event::{EndedBy, Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what != What::Ended(EndedBy::Count) {
        return;
    }
    let Some(part) = moment.setup.part.as_ref() else { return };
    let made = moment.after.parts;
    if made > part.quantity {
        out.found(
            format!("One run makes {made} parts; {} are ordered.", part.quantity),
            "End the program at the quantity of the order.",
        );
    }
}
