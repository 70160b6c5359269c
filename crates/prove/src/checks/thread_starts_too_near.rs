#![doc = include_str!("thread_starts_too_near.md")]

use crate::event::{Moment, What};
use crate::lathe::turning;
use crate::report::{Out, shown};

/// How far from the lead a turn may be.
const ALLOWED: f64 = 0.01;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Cut(motion) = moment.what else { return };
    let Some(lead) = motion.lead else { return };
    let setup = moment.setup;
    let what = "whether a thread starts far enough before the bar";
    let front = moment.before.bar.front;
    let Some(front) = out.known(front, what, "where the bar's face stands (a job)") else { return };
    if motion.from.z <= front || motion.to.z >= front {
        return;
    }
    let speed = turning(moment.after, setup);
    let Ok(needed) = calc::thread::wrong_at_start(lead, speed, ALLOWED) else { return };
    let there = motion.from.z - front;
    if there < needed {
        out.found(
            format!(
                "This pass starts {} before the bar's face; the axis needs about {} to come up to the lead.",
                shown(setup, there),
                shown(setup, needed)
            ),
            "Start the thread further away, or turn it slower.",
        );
    }
}
