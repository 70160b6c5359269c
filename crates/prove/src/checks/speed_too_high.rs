#![doc = include_str!("speed_too_high.md")]

use crate::action::Speed;
use crate::event::{Moment, What};
use crate::report::Out;
use model::quantity::SpindleSpeed;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let setup = moment.setup;
    let Some(speed) = called_for(moment) else { return };
    let job = setup.part.as_ref().and_then(|part| part.max_speed);
    let chuck = setup.lathe.as_ref().map(model::files::Lathe::max_speed);
    let limits = [(job, "this job's bar"), (chuck, "the spindle and its chuck")];
    let lowest = limits
        .into_iter()
        .filter_map(|(limit, of)| limit.map(|limit| (limit.rpm(), of)))
        .min_by(|one, other| one.0.total_cmp(&other.0));
    match lowest {
        Some((limit, of)) if speed.rpm() > limit => out.found(
            format!("{:.0} rev/min is called for; the limit of {of} is {limit:.0} rev/min.", speed.rpm()),
            "Lower the speed. The limit comes from the job and lathe files.",
        ),
        Some(_) => {}
        None => out.unproven("whether the spindle speed is safe", "the lathe file is not given"),
    }
}

/// The speed that a word calls for; at the axis an unclamped surface speed calls for all there is.
fn called_for(moment: &Moment<'_>) -> Option<SpindleSpeed> {
    let spindle = moment.before.spindle;
    match moment.what {
        What::SpeedCalled(speed) => Some(speed),
        What::Faced(_) | What::PartedOff(_)
            if matches!(spindle.speed, Some(Speed::Surface(_))) && spindle.clamp.is_none() =>
        {
            moment.setup.lathe.as_ref().map(|lathe| lathe.spindle.max_speed)
        }
        _ => None,
    }
}
