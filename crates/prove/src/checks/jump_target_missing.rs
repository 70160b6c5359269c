#![doc = include_str!("jump_target_missing.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if let What::NoTarget(number) = moment.what {
        out.found(
            format!("There is no block N{number} in this program; the control stops here with an alarm."),
            "Number the block that is meant, or mend the jump.",
        );
    }
}
