#![doc = include_str!("feed_waits_for_spindle.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if !matches!(moment.what, What::Stuck(_)) {
        return;
    }
    let words = match moment.setup.control.code_system {
        model::files::control::CodeSystem::A => "G98",
        _ => "G94",
    };
    out.found(
        "This move has no feed that can run: none was given, or it is per revolution while the spindle stands. The block waits for ever.",
        format!("Give a feed, or switch to feed per minute ({words}) with a new F before the spindle stops."),
    );
}
