#![doc = include_str!("part_not_parted.md")]

use crate::event::{Moment, What};
use crate::report::{Out, shown};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::NotParted { core, breaks } = moment.what else { return };
    let across = shown(moment.setup, core * 2);
    let message = if breaks {
        format!(
            "The blade stops before the axis: a core {across} across holds the part. It is taken to break off here; that is not sure."
        )
    } else {
        format!(
            "The parting cut ends with a core {across} across: the part still hangs on the bar when the program goes on without it."
        )
    };
    out.found(message, "Let the blade go to the axis and a little past it before the bar is drawn.");
}
