#![doc = include_str!("offset_of_another_tool.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::OffsetCalled { station, offset } = moment.what else { return };
    let Some(tools) = moment.setup.tools.as_ref().filter(|_| offset > 0) else { return };
    let Some(known) = tools.station(station).filter(|known| known.offset != offset) else { return };
    out.found(
        format!(
            "Station {station} ({}) is called with offset {offset}; its own is {}.",
            known.name, known.offset
        ),
        "Check this T word: a wrong offset puts the tip where another tool's would be.",
    );
}
