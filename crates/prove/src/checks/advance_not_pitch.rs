#![doc = include_str!("advance_not_pitch.md")]

use crate::event::{Moment, What};
use crate::report::{Out, shown};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if !matches!(moment.what, What::SpindleStarted | What::Cut(_)) {
        return;
    }
    let (before, setup) = (moment.before, moment.setup);
    let (Some(spot), Some(part)) = (before.pulled_at, setup.part.as_ref()) else { return };
    let drawn = before.bar.front.filter(|_| before.bar.front_is_drawn);
    let Some(front) = drawn.filter(|front| !front.is_negative()) else { return };
    if front == part.face_stock {
        return;
    }
    let off = front - part.face_stock;
    let effect = if off.is_negative() { "less stock is left to face than planned" } else { "more stock must be faced than planned, and metal is lost" };
    out.found_at(
        spot,
        format!(
            "The bar is drawn {} instead of {}: {} of face stock instead of {}, so {effect}.",
            shown(setup, before.bar.drawn_since_part),
            shown(setup, part.advance()),
            shown(setup, front),
            shown(setup, part.face_stock)
        ),
        format!("Draw the bar {}, or change the face stock of the job.", shown(setup, part.advance())),
    );
}
