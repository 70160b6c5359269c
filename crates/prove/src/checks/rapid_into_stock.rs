#![doc = include_str!("rapid_into_stock.md")]

use crate::event::{Moment, What};
use crate::metal::{Against, Part};
use crate::report::{Out, shown};
use model::{Length, Level};

/// What a leaning edge leaves of a shoulder.
const SLIVER: Length = Length::from_um(200);

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Struck { strike, rapid: true } = moment.what else { return };
    if strike.against != Against::Bar {
        return;
    }
    let setup = moment.setup;
    let part = match strike.part {
        Part::Edge => "The tool",
        Part::Holder => "The holder",
        _ => return,
    };
    let level = if strike.depth > SLIVER { Level::Stop } else { Level::Caution };
    out.lesser(
        level,
        format!(
            "{part} goes {} deep into the bar at rapid, at X{} Z{}.",
            shown(setup, strike.depth),
            strike.at.r.text(setup.units, setup.units.decimals()),
            strike.at.z.text(setup.units, setup.units.decimals()),
        ),
        "Move clear of the metal first, or go there at feed.",
    );
}
