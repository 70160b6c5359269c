#![doc = include_str!("thread_too_shallow.md")]

use crate::event::{Moment, What};
use crate::report::{Out, shown};
use model::Length;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::ThreadShallow(off) = moment.what else { return };
    let setup = moment.setup;
    let feature = off.feature + 1;
    let message = if off.depth == Length::ZERO {
        format!("The thread of the drawing (feature {feature}) is not on the part that falls here.")
    } else {
        format!(
            "The thread of the drawing (feature {feature}) is {} deep at its shallowest on the part that falls here; its profile needs {}.",
            shown(setup, off.depth),
            shown(setup, off.least)
        )
    };
    out.found(message, "Check the depth of the last pass, and from where to where the thread is cut.");
}
