#![doc = include_str!("thread_lead_changed.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Cut(motion) = moment.what else { return };
    let (Some(lead), Some(last)) = (motion.lead, moment.before.thread) else { return };
    let station = moment.before.tool.station;
    if last.is_run_again(station, &motion) && last.lead.to_bits() != lead.to_bits() {
        out.found(
            format!(
                "This pass has a lead of {lead:.3} mm and the one before {:.3} mm: they cut each other's flanks away.",
                last.lead
            ),
            "Give every pass of a thread the same lead.",
        );
    }
}
