//! Less bar in the jaws than the chuck needs, at the last part; the page is the prover's.

use super::{Limit, Line, Out, Planned, judged};
use calc::spread::Spread;
use model::Level;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let bar = planned.bar;
    let value = Spread::exact(bar.last_grip.mm());
    let limit = Limit::Least(planned.job.lathe.chuck.least_grip.mm());
    // A bar that gives no part has its own finding.
    let level = judged(Level::Stop, value, limit).filter(|_| bar.parts_per_bar > 0);
    out.judged(
        Line {
            value,
            limit,
            unit: "mm",
            source: "least grip of the chuck (lathe file)",
            message: "The last part of the bar is cut with less bar in the jaws than the chuck needs."
                .to_owned(),
            remedy: "End the bar sooner.",
            key: "bar.length",
        },
        level,
    );
}
