#![doc = include_str!("advance_not_writable.md")]

use super::{Limit, Line, Out, Planned};
use calc::spread::Spread;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let units = planned.job.file.units;
    let advance = planned.bar.division.advance();
    let written = advance.round_to(units, units.decimals());
    out.line(Line {
        value: Spread::exact((advance - written).abs().mm()),
        limit: Limit::Most(0.0),
        unit: "mm",
        source: "decimals of a program in these units",
        message: format!(
            "The advance of {} {} needs more decimals than the program has.",
            advance.shortest(units),
            units.symbol()
        ),
        remedy: "Change the face stock so that the pitch comes out even.",
        key: "advance.face_stock",
    });
}
