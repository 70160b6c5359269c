#![doc = include_str!("spindle_starts_chuck_open.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what != What::SpindleStarted {
        return;
    }
    let chuck = moment.before.chuck;
    let remedy = "Close the chuck, wait its closing time, and only then start the spindle.";
    if chuck.open {
        out.found("The spindle starts while the chuck is open.", remedy);
    } else if moment.before.now < chuck.done_at {
        let short = chuck.done_at - moment.before.now;
        out.found(
            format!("The spindle starts {short:.1} s before the chuck has closed; it takes its time to grip."),
            remedy,
        );
    }
}
