#![doc = include_str!("part_bends.md")]

use crate::cuts::Work;
use super::{Limit, Line, Out, Planned, judged, worst::Lacks};
use calc::spread::Spread;
use calc::station::Lack;
use model::quantity::Deflection;
use model::{Length, Level};

/// What one cut makes of a diameter.
struct Bent {
    diameter: Length,
    error: Spread<f64>,
    allowed: f64,
    at: f64,
    taper: f64,
    chuck_known: bool,
}

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let what = "what bending does to the part's diameters";
    let mut lacks = Lacks::default();
    let mut worst: Option<Bent> = None;
    for (operation, cut) in planned.mechanics.cuts() {
        let Some(step) = cut.finishes else { continue };
        let Some(allowed) = step.allowed else {
            let why = "the drawing's diameter has no tolerance (`upper` and `lower` of its feature)";
            lacks.add(operation, &Lack::of("part.feature", why));
            continue;
        };
        // What force and grip lack is filed with them.
        let Some(Ok(held)) = cut.loads.as_ref().ok().map(|loads| &loads.held) else { continue };
        let size = &held.size;
        let here = Bent {
            diameter: step.diameter,
            error: without_sign(size.worst.map(Deflection::um)),
            allowed: 1000.0 * allowed.mm(),
            at: size.at,
            taper: size.taper.nominal.um(),
            chuck_known: size.chuck_known,
        };
        let used = |it: &Bent| {
            (judged(Level::Stop, it.error, Limit::Most(it.allowed)), it.error.high / it.allowed)
        };
        if worst.as_ref().is_none_or(|worst| used(&here) > used(worst)) {
            worst = Some(here);
        }
    }
    lacks.file(out, what);
    file_boring_bars(planned, out);
    let Some(bent) = worst else { return };
    if !bent.chuck_known {
        out.unproven(
            what,
            "the lathe file does not say how far the chuck gives way (`radial` and `tilt` under [grip]); the part's own share is reckoned",
        );
    }
    let units = planned.job.file.units;
    out.line(Line {
        value: bent.error,
        limit: Limit::Most(bent.allowed),
        unit: "µm",
        source: "half of the drawing's tolerance; beam with shear on a chuck that gives way (calc::bending)",
        message: format!(
            "The diameter of {} comes out {:.1} µm wrong ({:.1} to {:.1}) where the part bends most, {} in front of the jaws, and {:.1} µm tapered; the drawing allows {:.1} to either side.",
            bent.diameter.shown(units),
            bent.error.nominal,
            bent.error.low,
            bent.error.high,
            Length::nearest_mm(bent.at).shown(units),
            bent.taper,
            bent.allowed
        ),
        remedy: "Leave less for finishing, take a smaller nose radius, or let the bar stand out less; a tool offset takes the error out, but not the taper.",
        key: "part",
    });
}

/// A boring bar bends more than the part does; how far is not reckoned.
fn file_boring_bars(planned: &Planned<'_>, out: &mut Out<'_>) {
    let inside = [Work::RoughBore, Work::FinishBore, Work::GrooveBore];
    let mut lacks = Lacks::default();
    for operation in planned.mechanics.each_part() {
        if inside.contains(&operation.work) && !operation.cuts.is_empty() {
            let why = format!(
                "no formula here follows the bending of a tool as slender as that of station {} (its `shank` and `overhang`)",
                operation.station
            );
            lacks.add(operation.name, &Lack::of("overhang", why));
        }
    }
    lacks.file(out, "what the bending of a boring bar does to a bore");
}

/// An error of either sign as a size; zero lies inside where the ends have different signs.
fn without_sign(error: Spread<f64>) -> Spread<f64> {
    let (low, high) = (error.low.abs(), error.high.abs());
    let crosses = error.low < 0.0 && error.high > 0.0;
    let nominal = error.nominal.abs();
    let least = low.min(high).min(nominal);
    Spread { low: if crosses { 0.0 } else { least }, nominal, high: low.max(high).max(nominal) }
}
