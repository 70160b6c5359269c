#![doc = include_str!("chuck_wrong_size.md")]

use super::{Limit, Line, Out, Planned};
use calc::spread::Spread;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let job = planned.job;
    let range = job.lathe.grip.as_ref().and_then(|grip| grip.diameter);
    let Some((least, most)) = range else {
        out.unproven(
            "whether jaws or collet take a bar of this size",
            "the lathe file does not say (`diameter_min` and `diameter_max` under [grip])",
        );
        return;
    };
    let (size, units) = (job.file.bar.size, job.file.units);
    // What is nearer of both ends; the line tells one of them.
    let limit = if size - least < most - size {
        Limit::Least(least.mm())
    } else {
        Limit::Most(most.mm())
    };
    out.line(Line {
        value: Spread::exact(size.mm()),
        limit,
        unit: "mm",
        source: "bars that jaws or collet take (lathe file)",
        message: format!(
            "The chuck takes bars from {} to {}; this one is {}.",
            least.shown(units),
            most.shown(units),
            size.shown(units)
        ),
        remedy: "Fit jaws or a collet of the bar's size.",
        key: "bar.size",
    });
}
