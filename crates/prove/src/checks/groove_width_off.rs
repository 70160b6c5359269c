#![doc = include_str!("groove_width_off.md")]

use crate::event::{Moment, What};
use crate::report::{Out, shown};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::GrooveOff(off) = moment.what else { return };
    let setup = moment.setup;
    let message = format!(
        "The groove of the drawing (feature {}) is {} wide on the part that falls here; its limits are {} and {}.",
        off.feature + 1,
        shown(setup, off.width),
        shown(setup, off.least),
        shown(setup, off.most)
    );
    out.found(message, "Check the width of the blade, its offset, and how far it is moved aside.");
}
