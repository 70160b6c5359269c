#![doc = include_str!("stick_out_long.md")]

use super::{Limit, Line, Out, Planned};
use calc::held::LARGEST_STICK_OUT;
use calc::spread::Spread;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let ratio = planned.bar.division.stick_out().mm() / planned.job.file.bar.size.mm();
    out.line(Line {
        value: Spread::exact(ratio),
        limit: Limit::Most(LARGEST_STICK_OUT),
        unit: "",
        source: "shop practice, 3 to 4 diameters without a center (from memory)",
        message: format!(
            "The bar stands out {ratio:.1} diameters: it bends and chatters easily under the cut."
        ),
        remedy: "Cut fewer parts in one advance, or make the jaw clearance smaller.",
        key: "advance.parts",
    });
}
