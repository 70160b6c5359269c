#![doc = include_str!("station_empty.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::OffsetCalled { station, .. } = moment.what else { return };
    let Some(tools) = &moment.setup.tools else { return };
    if tools.station(station).is_none() {
        out.found(
            format!("The tools file says of no tool at station {station}: nothing is known of what works here."),
            "Check this T word, or say in the tools file what stands at this station.",
        );
    }
}
