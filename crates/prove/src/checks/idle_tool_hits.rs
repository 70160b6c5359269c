#![doc = include_str!("idle_tool_hits.md")]

use crate::event::{Moment, What};
use crate::metal::{Against, Part};
use crate::report::{Out, shown};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Struck { strike, .. } = moment.what else { return };
    let into = match strike.against {
        Against::Bar => "the bar",
        Against::Jaws => "the jaws or the chuck",
    };
    let what = match strike.part {
        Part::Turret => "The turret".to_owned(),
        Part::Idle(station) => format!("The tool on station {station}, which does not work,"),
        _ => return,
    };
    out.found(
        format!("{what} goes {} deep into {into} on this move.", shown(moment.setup, strike.depth)),
        "Put the long tool on another station, or let the working tool reach further out.",
    );
}
