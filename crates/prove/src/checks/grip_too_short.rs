#![doc = include_str!("grip_too_short.md")]

use crate::event::{Moment, What};
use crate::report::{Out, shown};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if !matches!(moment.what, What::Cut(_)) || moment.before.spindle.told.is_none() {
        return;
    }
    let setup = moment.setup;
    let what = "the length of bar in the jaws";
    let Some(lathe) = out.known(setup.lathe.as_ref(), what, "the lathe file") else { return };
    let Some(_) = out.known(setup.jaw_face(), what, "the part and its advance (a job)") else { return };
    let tolerance = setup.bar.as_ref().map_or(model::Length::ZERO, |bar| bar.length_tolerance);
    // Worst case: the shortest blank that the tolerance allows.
    let grip = moment.before.grip(setup, tolerance);
    let Some(grip) = out.known(grip, what, "the bar's length") else { return };
    if grip >= lathe.chuck.least_grip {
        return;
    }
    let spot = moment.before.pulled_at.unwrap_or(moment.spot);
    out.found_at(
        spot,
        format!(
            "Part {} is cut with {} of bar in the jaws; this chuck needs {}.",
            moment.before.parts + 1,
            shown(setup, grip),
            shown(setup, lathe.chuck.least_grip),
        ),
        "End the bar sooner: lower the number of parts a bar, or load a longer blank.",
    );
}
