#![doc = include_str!("cut_too_deep.md")]

use crate::event::{Moment, What};
use crate::report::{Out, shown};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Deep(depth) = moment.what else { return };
    let (tool, setup) = (moment.before.tool, moment.setup);
    let station = setup.tools.as_ref().zip(tool.station);
    let most = station.and_then(|(tools, number)| tools.station(number)?.takes.most_depth);
    let Some(most) = most.filter(|most| depth > *most) else { return };
    out.found(
        format!(
            "This cut is {} deep; the tool takes {}.",
            shown(setup, depth),
            shown(setup, most)
        ),
        "Cut in more passes, or check the diameter that the cuts before leave.",
    );
}
