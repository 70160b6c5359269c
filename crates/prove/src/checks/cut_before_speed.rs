#![doc = include_str!("cut_before_speed.md")]

use crate::event::{Moment, What};
use crate::lathe::turning;
use crate::report::Out;

/// Share of the speed called for at which a cut may begin.
const NEAR_ENOUGH: f64 = 0.9;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if !matches!(moment.what, What::Cut(_)) {
        return;
    }
    let (before, setup) = (moment.before, moment.setup);
    if before.spindle.told.is_none() || moment.cuts_metal() == Some(false) {
        return;
    }
    let what = "whether the spindle is up to speed when a cut begins";
    let Some(lathe) = out.known(setup.lathe.as_ref(), what, "the lathe file") else { return };
    if lathe.spindle.waits_for_speed {
        return;
    }
    let (turns, called) = (turning(before, setup).rpm(), before.spindle.called_for());
    if turns < NEAR_ENOUGH * called {
        out.found(
            format!("The cut begins at {turns:.0} rev/min; {called:.0} rev/min are called for, and this lathe does not wait."),
            "Dwell (G4) before the cut until the spindle is up to speed, or start it earlier.",
        );
    }
}
