#![doc = include_str!("chips_burn.md")]

use super::{Limit, Line, Out, Planned};
use calc::spread::Spread;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let material = &planned.job.material;
    let advice = material.caution.as_deref().unwrap_or(
        "Chips of this metal can catch fire: ask whoever looks after fire safety before you leave it running alone.",
    );
    out.line(Line {
        value: Spread::exact(f64::from(u8::from(material.chips_burn))),
        limit: Limit::Most(0.0),
        unit: "",
        source: "the material file",
        message: format!("Chips of {} can burn. {advice}", material.name),
        remedy: "Ask whoever looks after fire safety before you leave it running alone.",
        key: "bar.material",
    });
}
