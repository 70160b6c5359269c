#![doc = include_str!("holder_into_stock.md")]

use crate::event::{Moment, What};
use crate::metal::{Against, Part};
use crate::report::{Out, shown};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Struck { strike, rapid: false } = moment.what else { return };
    if strike.against == Against::Bar && strike.part == Part::Holder {
        out.found(
            format!(
                "The holder goes {} deep into the bar on this cut.",
                shown(moment.setup, strike.depth)
            ),
            "Take a tool that reaches, or make room with another one first.",
        );
    }
}
