#![doc = include_str!("calls_too_deep.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what == What::TooDeep {
        let most = moment.setup.control.variables.call_depth;
        out.found(
            format!("This call is nested deeper than the {most} levels that the control allows."),
            "Call subprograms from fewer levels, or repeat with a loop.",
        );
    }
}
