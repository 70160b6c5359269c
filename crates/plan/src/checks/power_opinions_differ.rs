#![doc = include_str!("power_opinions_differ.md")]

use super::{Limit, Line, Out, Planned, worst::Lacks};
use calc::cutting::unit_power::SHOWN_ABOVE;
use calc::spread::Spread;
use calc::station::Lack;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let mut lacks = Lacks::default();
    let mut worst: Option<(f64, &str, f64, f64)> = None;
    for (operation, cut) in planned.mechanics.cuts() {
        // Without the force there is no first opinion either: that is filed with the power.
        let Ok(loads) = &cut.loads else { continue };
        let outcome = &loads.outcome;
        let Some(other) = outcome.unit_power else {
            let name = &planned.job.material.name;
            let why = format!(
                "the material file of {name} has no table `[unit_power]`, or the feed lies beyond its range"
            );
            lacks.add(operation, &Lack::of("unit_power", why));
            continue;
        };
        let (one, other) = (outcome.power.nominal.w(), other.nominal.w());
        let apart = one.max(other) / one.min(other);
        if worst.is_none_or(|(most, ..)| apart > most) {
            worst = Some((apart, operation, one, other));
        }
    }
    lacks.file(out, "a second opinion about the power");
    let Some((apart, operation, one, other)) = worst else { return };
    out.line(Line {
        value: Spread::exact(apart),
        limit: Limit::Most(SHOWN_ABOVE),
        unit: "",
        source: "common practice: each opinion is good for a fifth or so",
        message: format!(
            "To {operation} takes {one:.0} W by the force on the chip, but {other:.0} W by the handbook's unit power: {apart:.2} times apart. Trust the larger until a cut has been measured."
        ),
        remedy: "Read the drive's load at a known cut, and mend the figures of the material file.",
        key: "bar.material",
    });
}
