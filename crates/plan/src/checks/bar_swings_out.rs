#![doc = include_str!("bar_swings_out.md")]

use super::{Limit, Line, Out, Planned};
use crate::acts::Acts;
use calc::spread::Spread;
use calc::whirl::Stretch;
use model::Level;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let (job, bar) = (planned.job, planned.bar);
    let curve = match planned.swing {
        Ok(curve) => curve,
        Err(why) => return out.unproven("whether the bar swings out in the spindle", why),
    };
    let Some(worst) = curve.worst() else { return };
    let running = Acts::new(job, bar).clamp().rpm();
    let (low, likely) = (worst.allowed.low.rpm(), worst.allowed.likely.rpm());
    // Here the limit has the range: beyond the likely one is beyond it.
    let level = if running > likely {
        Some(Level::Stop)
    } else {
        (running > low).then_some(Level::Caution)
    };
    let units = job.file.units;
    let swinging = match worst.weakest {
        Stretch::Front { length } => format!("the {} in front of the jaws", length.shown(units)),
        Stretch::Span { from, to } => format!(
            "the bar between {} and {} behind the jaw face",
            from.shown(units),
            to.shown(units)
        ),
        Stretch::Tail { from, to } => format!(
            "the free tail from {} to {} behind the jaw face",
            from.shown(units),
            to.shown(units)
        ),
    };
    let line = Line {
        value: Spread::exact(running),
        limit: Limit::Most(low),
        unit: "rev/min",
        source: "natural frequency of the bar on its guides, beam elements, with a share kept (calc::whirl)",
        message: format!(
            "While part {} is cut the bar may turn {low:.0} rev/min ({likely:.0} likely): {swinging} swings most. The job turns up to {running:.0}.",
            worst.part
        ),
        remedy: "Lower max_speed, guide the bar closer, or saw shorter blanks.",
        key: "cutting",
    };
    out.judged(line, level);
}
