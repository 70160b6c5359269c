#![doc = include_str!("null_compared.md")]

use crate::event::{Moment, What};
use crate::report::Out;
use model::files::control::NullInOrder;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::NullCompared(variable) = moment.what else { return };
    let control = &moment.setup.control;
    let (first, last) = control.variables.kept;
    let taken = match control.terms.null_in_order {
        // A kept variable is empty but once, and then as good as zero.
        NullInOrder::Zero if (first..=last).contains(&variable) => return,
        NullInOrder::Zero => "zero",
        NullInOrder::AboveAll => "more than every number",
    };
    let which = if variable == 0 { "A variable".to_owned() } else { format!("#{variable}") };
    out.found(
        format!(
            "{which} is empty here; in a comparison that counts as {taken} on this control, on others as something else."
        ),
        "Set the variable before, or test it first by EQ #0.",
    );
}
