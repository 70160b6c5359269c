#![doc = include_str!("mixed_block.md")]

use crate::event::{Moment, TextTrouble, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what == What::Text(TextTrouble::Mixed) {
        out.found(
            "This block sets a variable and has words too: the control stops here, or reads the words with the old value.",
            "Write two blocks, the variable first.",
        );
    }
}
