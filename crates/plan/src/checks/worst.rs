//! Of all cuts of a plan, the one that comes nearest to a limit.

use super::{Limit, Out, Planned, judged};
use crate::mechanics::CutLoads;
use calc::held::{Margin, Margins};
use calc::spread::Spread;
use calc::station::{Lack, Load};
use model::Level;

/// A cut's figure beside its limit, and the operation that it belongs to.
pub(super) struct Worst {
    pub(super) operation: &'static str,
    pub(super) value: Spread<f64>,
    pub(super) limit: f64,
}

/// The cut whose load uses most of what there is. What a cut lacks is filed once for each reason.
pub(super) fn load<T: Copy>(
    planned: &Planned<'_>,
    out: &mut Out<'_>,
    what: &str,
    of: impl Fn(&calc::station::Loads) -> Result<Load<T>, Lack>,
    figure: fn(T) -> f64,
) -> Option<Worst> {
    let mut lacks = Lacks::default();
    let mut worst: Option<Worst> = None;
    for (operation, cut) in planned.mechanics.cuts() {
        match cut.loads.as_ref().map_err(Clone::clone).and_then(&of) {
            Err(lack) => lacks.add(operation, lack),
            Ok(load) => {
                let here =
                    Worst { operation, value: load.asked.map(figure), limit: figure(load.given) };
                // By the level first, so that no cut hides one that breaks its limit.
                let used = |it: &Worst| {
                    let level = judged(Level::Stop, it.value, Limit::Most(it.limit));
                    (level, it.value.high / it.limit)
                };
                if worst.as_ref().is_none_or(|worst| used(&here) > used(worst)) {
                    worst = Some(here);
                }
            }
        }
    }
    lacks.file(out, what);
    worst
}

/// The least margin of all cuts at each end of the range, with the operation of the likely one.
pub(super) fn margin(
    planned: &Planned<'_>,
    out: &mut Out<'_>,
    what: &str,
    of: impl Fn(&Margins) -> Option<Margin>,
) -> Option<Worst> {
    margin_of(planned, out, what, |cut| cut.loads.clone()?.held, of)
}

/// The same with the margins taken from each cut.
pub(super) fn margin_of(
    planned: &Planned<'_>,
    out: &mut Out<'_>,
    what: &str,
    held: impl Fn(&CutLoads) -> Result<Margins, Lack>,
    of: impl Fn(&Margins) -> Option<Margin>,
) -> Option<Worst> {
    let mut lacks = Lacks::default();
    let mut worst: Option<Worst> = None;
    for (operation, cut) in planned.mechanics.cuts() {
        let held = match held(cut) {
            Err(lack) => {
                lacks.add(operation, lack);
                continue;
            }
            Ok(held) => held,
        };
        let Some(Margin { ratio, least }) = of(&held) else { continue };
        worst = Some(match worst {
            None => Worst { operation, value: ratio, limit: least },
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
            },
        });
    }
    lacks.file(out, what);
    worst
}

/// What cuts lack, each reason once with the operations that it is about.
#[derive(Default)]
pub(super) struct Lacks(Vec<(String, Vec<&'static str>)>);

impl Lacks {
    pub(super) fn add(&mut self, operation: &'static str, lack: Lack) {
        match self.0.iter_mut().find(|(why, _)| *why == lack.why) {
            Some((_, operations)) if operations.contains(&operation) => {}
            Some((_, operations)) => operations.push(operation),
            None => self.0.push((lack.why, vec![operation])),
        }
    }

    pub(super) fn file(self, out: &mut Out<'_>, what: &str) {
        for (why, operations) in self.0 {
            out.unproven(&format!("{what} ({})", operations.join(", ")), why);
        }
    }
}
