#![doc = include_str!("feed_crawls.md")]

use crate::event::{Moment, What};
use crate::lathe::turning;
use crate::report::Out;
use model::files::tools::ToolKind;

/// No edge cuts a chip this thin, in millimeters a turn.
const LEAST: f64 = 0.002;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Cut(motion) = moment.what else { return };
    let turns = moment.before.spindle.told.is_some() && motion.from != motion.to;
    let (Some(speed), true) = (motion.speed, turns) else { return };
    if moment.before.tool.kind == Some(ToolKind::BarStop) {
        return;
    }
    let rpm = turning(moment.after, moment.setup).rpm();
    if rpm <= 0.0 {
        return;
    }
    let feed = speed / rpm;
    if feed < LEAST {
        out.found(
            format!(
                "This cut is fed {speed:.2} mm a minute, less than {LEAST} mm a turn: a feed per revolution is taken per minute."
            ),
            "Choose feed per revolution before this cut, or write the feed that is meant.",
        );
    }
}
