#![doc = include_str!("parts_not_counted.md")]

use crate::count::CountKind;
use crate::event::{EndedBy, Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Ended(EndedBy::Bar | EndedBy::Never) = moment.what else { return };
    let Some(whole) = moment.whole else { return };
    if whole.count.kind != CountKind::None || whole.latest.state.parts == 0 {
        return;
    }
    let spot = whole.latest.loops_at.unwrap_or(moment.spot);
    out.found_at(
        spot,
        "The program starts again here and nothing counts its parts: it runs until the bar is gone or someone comes.",
        "Count the parts and end the program before the bar ends.",
    );
}
