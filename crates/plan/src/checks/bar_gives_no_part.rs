#![doc = include_str!("bar_gives_no_part.md")]

use super::{Limit, Line, Out, Planned};
use calc::spread::Spread;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    out.line(Line {
        value: Spread::exact(f64::from(planned.bar.parts_per_bar)),
        limit: Limit::Least(1.0),
        unit: "",
        source: "arithmetic of the bar",
        message: "The bar is too short for a single part with the grip that the chuck needs."
            .to_owned(),
        remedy: "Take a longer blank, or a shorter stick-out.",
        key: "bar.length",
    });
}
