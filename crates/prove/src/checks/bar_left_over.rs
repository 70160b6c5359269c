#![doc = include_str!("bar_left_over.md")]

use crate::event::{EndedBy, Moment, What};
use crate::report::{Out, shown};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what != What::Ended(EndedBy::Count) || moment.after.parts == 0 {
        return;
    }
    let (setup, state) = (moment.setup, moment.after);
    let (Some(part), Some(lathe)) = (&setup.part, &setup.lathe) else { return };
    let Some(rear) = state.bar.rear else { return };
    if state.parts >= part.quantity || !part.advance().is_positive() {
        return;
    }
    // Worst case: the shortest blank that the tolerance allows.
    let tolerance = setup.bar.as_ref().map_or(model::Length::ZERO, |bar| bar.length_tolerance);
    // A bar that is drawn already has one advance in front of the jaws.
    let drawn = state.bar.drawn_since_part.is_positive();
    let inside = part.jaw_face() - rear - tolerance - lathe.chuck.least_grip;
    let advances = if inside.is_negative() { 0 } else { inside / part.advance() + i64::from(drawn) };
    let more = advances * i64::from(part.parts_per_advance);
    if more > 0 {
        let rest = state.bar.front.map_or(rear, |front| front - rear);
        out.found(
            format!("The program ends with {} of bar left, enough for {more} more parts.", shown(setup, rest)),
            "Raise the number of parts a bar, if nothing else stands against it.",
        );
    }
}
