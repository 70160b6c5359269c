#![doc = include_str!("null_compared.md")]

use crate::event::{Moment, What};
use crate::report::Out;
use model::files::control::NullInOrder;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what != What::NullCompared {
        return;
    }
    let taken = match moment.setup.control.terms.null_in_order {
        NullInOrder::Zero => "as zero",
        NullInOrder::AboveAll => "as more than every number",
    };
    out.found(
        format!("A variable is empty here, and controls differ in what that is in a comparison; it is taken {taken}."),
        "Set the variable before, or test it first by EQ #0.",
    );
}
