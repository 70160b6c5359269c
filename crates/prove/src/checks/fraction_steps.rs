#![doc = include_str!("fraction_steps.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::FractionStep(variable) = moment.what else { return };
    out.found(
        format!("This loop steps #{variable} by a fraction that binary numbers do not hold, and compares it: it may run once more than it says, or miss its end."),
        "Count in whole numbers, and multiply by the fraction where the value is used.",
    );
}
