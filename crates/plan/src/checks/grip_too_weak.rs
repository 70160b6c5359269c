#![doc = include_str!("grip_too_weak.md")]

use super::{Limit, Line, Out, Planned, worst};

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    worst::file_held(planned, out);
    let Some(worst) = worst::margin(planned, |held| held.grip) else { return };
    let held = planned.mechanics.cuts().filter_map(|(_, cut)| cut.loads.as_ref().ok()?.held.as_ref().ok());
    let needed = held.map(|held| held.grip_needed.nominal.n()).fold(0.0, f64::max);
    let grip = planned.job.lathe.grip.as_ref();
    let (there, jaws) = grip.map_or((0.0, 1), |grip| (grip.force.n(), grip.jaws.max(1)));
    out.about(&worst.judged, Line {
        value: worst.value,
        limit: Limit::Least(worst.limit),
        unit: "",
        source: "VDI 3106: grip at rest over what the cut needs at speed, factors 1.5 and 1.5, as restated in chuck makers' manuals",
        message: format!(
            "To {} needs {needed:.0} N of grip at rest, with what speed takes and the factors of safety; there are {there:.0} N, {:.0} from each of {jaws} jaws: {:.2} times as much ({:.2} to {:.2}).",
            worst.operation,
            there / f64::from(jaws),
            worst.value.nominal,
            worst.value.low,
            worst.value.high
        ),
        remedy: "Raise the chuck's pressure as far as its manual allows, lower the speed, take less depth or feed, or let the bar stand out less.",
        key: "cutting",
    });
}
