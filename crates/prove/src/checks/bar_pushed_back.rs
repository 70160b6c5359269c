#![doc = include_str!("bar_pushed_back.md")]

use crate::event::{Moment, What};
use crate::report::{Out, shown};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if let What::Pulled { by, .. } = moment.what
        && by.is_negative()
    {
        out.found(
            format!("The gripper pushes the bar back by {} while the chuck is open.", shown(moment.setup, by.abs())),
            "Check the sign of this move: the pull goes away from the chuck.",
        );
    }
}
