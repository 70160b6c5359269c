#![doc = include_str!("null_compared.md")]

use crate::event::{Moment, What};
use crate::report::Out;
use model::Level;
use model::files::control::NullInOrder;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::NullCompared(variable) = moment.what else { return };
    let control = &moment.setup.control;
    let taken = match control.terms.null_in_order {
        NullInOrder::Zero => "zero",
        NullInOrder::AboveAll => "more than every number",
    };
    let (first, last) = control.variables.kept;
    let remedy = "Set the variable before, or test it first by EQ #0.";
    if (first..=last).contains(&variable) {
        let message = format!(
            "#{variable} is empty here until it is set for the first time; in a comparison that counts as {taken} on this control, on others as something else."
        );
        return out.lesser(Level::Note, message, remedy);
    }
    let which = if variable == 0 { "A variable".to_owned() } else { format!("#{variable}") };
    let message = format!(
        "{which} is empty here; in a comparison that counts as {taken} on this control, on others as something else."
    );
    out.found(message, remedy);
}
