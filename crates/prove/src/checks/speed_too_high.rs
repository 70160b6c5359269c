#![doc = include_str!("speed_too_high.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::SpeedCalled(speed) = moment.what else { return };
    let setup = moment.setup;
    let job = setup.part.as_ref().and_then(|part| part.max_speed);
    let chuck = setup.lathe.as_ref().map(model::files::Lathe::max_speed);
    let limits = [(job, "this job's bar"), (chuck, "the lathe and its chuck")];
    let lowest = limits
        .into_iter()
        .filter_map(|(limit, of)| limit.map(|limit| (limit.rpm(), of)))
        .min_by(|one, other| one.0.total_cmp(&other.0));
    match lowest {
        Some((limit, of)) if speed.rpm() > limit => out.found(
            format!("{:.0} rev/min is called for; {of} allow {limit:.0} rev/min.", speed.rpm()),
            "Lower the speed. The limit comes from the job and lathe files.",
        ),
        Some(_) => {}
        None => out.unproven("whether the spindle speed is safe", "the lathe file is not given"),
    }
}
