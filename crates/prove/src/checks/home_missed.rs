#![doc = include_str!("home_missed.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what == What::NotHome {
        out.found(
            "This block checks for the home position, and the place it goes to is another: the control stops here with an alarm.",
            "Check the work offset, the tool offset and the place named here.",
        );
    }
}
