#![doc = include_str!("raw_diameter_off.md")]

use super::{Limit, Line, Out, Planned, bar_leaves_skin::lacks_tolerance};
use crate::skin;
use calc::spread::Spread;
use model::files::job::BarSurface;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let (job, units) = (planned.job, planned.job.file.units);
    let bar = &job.file.bar;
    let what = "whether a cylinder that stays raw is within the drawing";
    let stretches = skin::stretches(job);
    let Some(raw) = stretches.iter().find(|it| it.stays_raw(bar.shape, bar.size)) else { return };
    if bar.condition.and_then(|it| it.surface) == Some(BarSurface::Rolled) {
        return out.unproven(
            what,
            "the bar is hot rolled (`surface` under [bar.condition]): its sizes are not those of a tolerance class",
        );
    }
    let Some((least, most)) = bar.limits_at(bar.size) else {
        return out.unproven(what, lacks_tolerance(planned));
    };
    if raw.deviations.0 == raw.deviations.1 {
        return out.unproven(
            what,
            "the drawing's diameter has no tolerance (`upper` and `lower` of its feature)",
        );
    }
    let (upper, lower) = raw.limits;
    // What is nearer of both ends; the line tells one of them.
    let limit = if least - lower < upper - most {
        Limit::Least(lower.mm())
    } else {
        Limit::Most(upper.mm())
    };
    let middle = (least + most).half();
    out.line(Line {
        value: Spread { low: least.mm(), nominal: middle.mm(), high: most.mm() },
        limit,
        unit: "mm",
        source: "the bar's own tolerance class against the drawing (ISO 286)",
        message: format!(
            "A cylinder of {} stays as the bar is: that comes with {} to {}, the drawing has {} to {}.",
            raw.cut.shown(units),
            least.shown(units),
            most.shown(units),
            lower.shown(units),
            upper.shown(units)
        ),
        remedy: "Order bar of a closer class, or take a larger bar and turn the cylinder.",
        key: "bar.tolerance",
    });
}
