#![doc = include_str!("feed_too_high.md")]

use crate::event::{Moment, What};
use crate::report::Out;
use model::{Length, Units};

/// Rounding of a feed per minute to whole millimeters is no trouble.
const ROUNDING: f64 = 1.01;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Cut(motion) = moment.what else { return };
    let Some(feed) = motion.per_turn else { return };
    let (tool, setup) = (moment.before.tool, moment.setup);
    let station = setup.tools.as_ref().zip(tool.station);
    let most = station.and_then(|(tools, number)| tools.station(number)?.takes.most_feed);
    let Some(most) = most.map(model::quantity::FeedPerRev::mm) else { return };
    if feed <= most * ROUNDING || moment.cuts_metal() == Some(false) {
        return;
    }
    let decimals = if setup.units == Units::Inch { 4 } else { 3 };
    let text = |mm: f64| Length::nearest_mm(mm).text(setup.units, decimals);
    let unit = if setup.units == Units::Inch { "in/rev" } else { "mm/rev" };
    out.found(
        format!("The feed is {} {unit} here; the tool takes {} {unit}.", text(feed), text(most)),
        "Lower F, and check whether it is meant per turn or per minute.",
    );
}
