#![doc = include_str!("advance_too_short.md")]

use crate::event::{Moment, What};
use crate::report::{Out, shown};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if !matches!(moment.what, What::SpindleStarted | What::Cut(_)) {
        return;
    }
    let before = moment.before;
    let Some(spot) = before.pulled_at.filter(|_| before.bar.front_is_drawn) else { return };
    let setup = moment.setup;
    let what = "whether the bar is drawn far enough for a whole part";
    let Some(part) = out.known(setup.part.as_ref(), what, "the part and its advance (a job)") else { return };
    let Some(front) = before.bar.front.filter(|front| front.is_negative()) else { return };
    out.found_at(
        spot,
        format!(
            "After this pull the bar ends {} behind the finished face: the part comes out short. It was drawn {}, one advance is {}.",
            shown(setup, front.abs()),
            shown(setup, before.bar.drawn_since_part),
            shown(setup, part.advance())
        ),
        format!("Draw the bar {}.", shown(setup, part.advance())),
    );
}
