#![doc = include_str!("thread_speed_changed.md")]

use crate::event::{Moment, What};
use crate::lathe::turning;
use crate::report::Out;

/// Speeds nearer than this are the same, in rev/min.
const SAME: f64 = 1.0;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Cut(motion) = moment.what else { return };
    let (Some(lead), Some(last)) = (motion.lead, moment.before.thread) else { return };
    let station = moment.before.tool.station;
    let same_thread =
        last.is_run_again(station, &motion) && last.lead.to_bits() == lead.to_bits();
    let speed = turning(moment.after, moment.setup).rpm();
    if same_thread && (speed - last.speed.rpm()).abs() > SAME {
        out.found(
            format!(
                "This pass turns at {speed:.0} rev/min and the one before at {:.0}: it does not meet it.",
                last.speed.rpm()
            ),
            "Keep one speed for all passes of a thread.",
        );
    }
}
