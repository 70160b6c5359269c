#![doc = include_str!("last_grip_weak.md")]

use super::{Limit, Line, Out, Planned, worst};
use crate::mechanics::CutLoads;
use calc::held::{Margin, Margins};
use calc::spread::Spread;
use model::Length;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let (job, bar) = (planned.job, planned.bar);
    if bar.parts_per_bar == 0 || bar.last_grip >= job.lathe.chuck.jaw_length {
        return;
    }
    let Some(worst) = worst::margin_of(planned, held, nearest) else { return };
    let units = job.file.units;
    let shortest = planned.mechanics.cuts().try_fold(Length::ZERO, |longest, (_, cut)| {
        cut.shortest_grip.map(|here| longest.max(here))
    });
    let enough = match shortest {
        Some(length) => format!("{} would hold even at the unfavorable end", length.shown(units)),
        None => "not even full jaws hold at the unfavorable end".to_owned(),
    };
    out.about(&worst.judged, Line {
        value: worst.value,
        limit: Limit::Least(worst.limit),
        unit: "",
        source: "the least margins of grip, slip, pull-out and overturning, with the pressure of full jaws on the length that is left",
        message: format!(
            "The last parts of the bar are held by {} in jaws of {}: to {} leaves {:.2} times the margin that should be there ({:.2} to {:.2}); {enough}.",
            bar.last_grip.shown(units),
            job.lathe.chuck.jaw_length.shown(units),
            worst.operation,
            worst.value.nominal,
            worst.value.low,
            worst.value.high
        ),
        remedy: "Raise least_grip in the lathe file, so that the bar ends sooner, or take lighter cuts.",
        key: "bar.length",
    });
}

/// The margins with the grip of the last parts; those of full jaws where that is as much.
fn held(cut: &CutLoads) -> Option<&Margins> {
    match &cut.last {
        Some(held) => held.as_ref().ok(),
        None => cut.loads.as_ref().ok()?.held.as_ref().ok(),
    }
}

/// Of all margins of the grip the least, as a multiple of what it should be.
fn nearest(held: &Margins) -> Option<Margin> {
    let all = [held.grip, held.slip, held.pull_out, held.overturning];
    let shares = all.into_iter().flatten().map(|margin| margin.ratio.map(|ratio| ratio / margin.least));
    let ratio = shares.reduce(|one, other| Spread {
        low: one.low.min(other.low),
        nominal: one.nominal.min(other.nominal),
        high: one.high.min(other.high),
    })?;
    Some(Margin { ratio, least: 1.0 })
}
