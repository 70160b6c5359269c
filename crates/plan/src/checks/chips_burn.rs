#![doc = include_str!("chips_burn.md")]

use super::{Limit, Line, Out, Planned};
use calc::spread::Spread;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let material = &planned.job.material;
    let message = match (material.chips_burn, &material.caution) {
        (false, _) => format!("Chips of {} do not burn.", material.name),
        (true, Some(caution)) => format!("Chips of {} can burn. {caution}", material.name),
        (true, None) => format!("Chips of {} can catch fire from a dull edge.", material.name),
    };
    out.line(Line {
        value: Spread::exact(f64::from(u8::from(material.chips_burn))),
        limit: Limit::Most(0.0),
        unit: "",
        source: "the material file",
        message,
        remedy: "Do not leave it running alone without a word from whoever looks after fire safety.",
        key: "bar.material",
    });
}
