#![doc = include_str!("count_steps_early.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let (What::Ended(_), Some(whole)) = (moment.what, moment.whole) else { return };
    let remedy = "Put a word at which this control stops reading (its file lists them) between the part-off and the count.";
    if let Some(step) = whole.early {
        let blocks = moment.setup.control.read_ahead.most;
        out.found_at(
            step.spot,
            format!(
                "The control reads up to {blocks} blocks ahead and steps this count before the part is off: after a stop in that cut the count is one too high."
            ),
            remedy,
        );
    } else if let Some(what) = crate::count::differ(&whole.latest, &whole.earliest) {
        out.found(format!("How far the control reads ahead changes {what}."), remedy);
    }
    if !moment.setup.control_named {
        out.unproven("whether the count steps early", "the control file, with its reading ahead, is not given");
    }
}
