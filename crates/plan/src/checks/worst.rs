//! Of all cuts of a plan, the one that comes nearest to a limit; and what the cuts lack, told once for
//! all checks that hang on it.

use super::{Limit, Out, Planned};
use crate::mechanics::CutLoads;
use calc::held::{Margin, Margins};
use calc::spread::Spread;
use calc::station::{Lack, Load, Loads};
use model::Level;
use model::files::job::BarShape;

/// A cut's figure beside its limit, and the operation that it belongs to.
pub(super) struct Worst {
    pub(super) operation: &'static str,
    pub(super) value: Spread<f64>,
    pub(super) limit: f64,
    /// Which operations alone could be judged, where others lack something; else empty.
    pub(super) judged: String,
}

/// The operations of which something is known, as `part off only`; empty where that is all of them.
fn only(planned: &Planned<'_>, known: impl Fn(&CutLoads) -> bool) -> String {
    let mut judged: Vec<&str> = Vec::new();
    for (operation, _) in planned.mechanics.cuts().filter(|(_, cut)| known(cut)) {
        if !judged.contains(&operation) {
            judged.push(operation);
        }
    }
    if planned.mechanics.cuts().all(|(_, cut)| known(cut)) {
        String::new()
    } else {
        format!("{} only", judged.join(", "))
    }
}

/// The cut whose load uses most of what there is.
pub(super) fn load<T: Copy>(
    planned: &Planned<'_>,
    of: impl Fn(&Loads) -> &Result<Load<T>, Lack>,
    figure: fn(T) -> f64,
) -> Option<Worst> {
    let mut worst: Option<Worst> = None;
    let known = |cut: &CutLoads| cut.loads.as_ref().is_ok_and(|loads| of(loads).is_ok());
    let judged = only(planned, known);
    for (operation, cut) in planned.mechanics.cuts() {
        let Some(Ok(load)) = cut.loads.as_ref().ok().map(&of) else { continue };
        let here = Worst {
            operation,
            value: load.asked.map(figure),
            limit: figure(load.given),
            judged: judged.clone(),
        };
        // By the level first, so that no cut hides one that breaks its limit.
        let used = |it: &Worst| {
            let level = super::judged(Level::Stop, it.value, Limit::Most(it.limit));
            (level, it.value.high / it.limit)
        };
        if worst.as_ref().is_none_or(|worst| used(&here) > used(worst)) {
            worst = Some(here);
        }
    }
    worst
}

/// The least margin of all cuts at each end of the range, with the operation of the likely one.
pub(super) fn margin(
    planned: &Planned<'_>,
    of: impl Fn(&Margins) -> Option<Margin>,
) -> Option<Worst> {
    margin_of(planned, |cut| cut.loads.as_ref().ok()?.held.as_ref().ok(), of)
}

/// The same with the margins taken from each cut.
pub(super) fn margin_of(
    planned: &Planned<'_>,
    held: impl Fn(&CutLoads) -> Option<&Margins>,
    of: impl Fn(&Margins) -> Option<Margin>,
) -> Option<Worst> {
    let mut worst: Option<Worst> = None;
    let judged = only(planned, |cut| held(cut).is_some());
    for (operation, cut) in planned.mechanics.cuts() {
        let Some(Margin { ratio, least }) = held(cut).and_then(&of) else { continue };
        worst = Some(match worst {
            None => Worst { operation, value: ratio, limit: least, judged: judged.clone() },
            Some(worst) => Worst {
                operation: if ratio.nominal < worst.value.nominal {
                    operation
                } else {
                    worst.operation
                },
                value: Spread {
                    low: ratio.low.min(worst.value.low),
                    nominal: ratio.nominal.min(worst.value.nominal),
                    high: ratio.high.min(worst.value.high),
                },
                limit: worst.limit.max(least),
                judged: worst.judged,
            },
        });
    }
    worst
}

/// Files what the force of the cuts lacks, and what the drive does.
pub(super) fn file_forces(planned: &Planned<'_>, out: &mut Out<'_>) {
    let (mut forces, mut drive) = (Lacks::default(), Lacks::default());
    for (operation, cut) in planned.mechanics.cuts() {
        match &cut.loads {
            Err(lack) => forces.add(operation, lack),
            Ok(loads) => {
                for lack in
                    loads.power.as_ref().err().into_iter().chain(loads.torque.as_ref().err())
                {
                    drive.add(operation, lack);
                }
            }
        }
    }
    forces.file(out, "the force of the cuts, and with it power, grip and bending");
    drive.file(out, "power and torque of the cuts against the drive");
    if planned.job.file.bar.shape != BarShape::Round {
        out.unproven(
            "shocks where the corners of the bar meet the edge",
            "forces are those of an even chip, as thick as at the corners",
        );
    }
}

/// Files what holding and bending lack where the force is known.
pub(super) fn file_held(planned: &Planned<'_>, out: &mut Out<'_>) {
    let mut lacks = Lacks::default();
    for (operation, cut) in planned.mechanics.cuts() {
        let Ok(loads) = &cut.loads else { continue };
        let last = cut.last.as_ref().and_then(|last| last.as_ref().err());
        for lack in loads.held.as_ref().err().into_iter().chain(last) {
            lacks.add(operation, lack);
        }
    }
    let what =
        "whether the bar turns, slides or tips in the jaws under the cuts, and how the part bends";
    lacks.file(out, what);
}

/// What cuts lack, each reason once with the operations that it is about.
#[derive(Default)]
pub(super) struct Lacks(Vec<(String, Vec<&'static str>)>);

impl Lacks {
    pub(super) fn add(&mut self, operation: &'static str, lack: &Lack) {
        match self.0.iter_mut().find(|(why, _)| *why == lack.why) {
            Some((_, operations)) if operations.contains(&operation) => {}
            Some((_, operations)) => operations.push(operation),
            None => self.0.push((lack.why.clone(), vec![operation])),
        }
    }

    pub(super) fn file(self, out: &mut Out<'_>, what: &str) {
        for (why, operations) in self.0 {
            out.unproven(&format!("{what} ({})", operations.join(", ")), why);
        }
    }
}
