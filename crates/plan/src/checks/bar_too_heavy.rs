#![doc = include_str!("bar_too_heavy.md")]

use super::{Limit, Line, Out, Planned};
use calc::spread::Spread;
use model::quantity::Mass;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    // What is lacking is filed with the hold.
    let Ok(drawn) = planned.pull else { return };
    let heaviest: Spread<f64> = drawn.pulled.heaviest.map(Mass::kg);
    out.line(Line {
        value: heaviest,
        limit: Limit::Least(drawn.mass.kg()),
        unit: "kg",
        source: "hold of the gripper file over the drag, with a factor of 2 (common practice)",
        message: format!(
            "With a factor of 2 the gripper may draw a bar of {:.1} kg ({:.1} to {:.1}); a full one weighs {:.1} kg.",
            heaviest.nominal,
            heaviest.low,
            heaviest.high,
            drawn.mass.kg()
        ),
        remedy: "Saw shorter blanks, or fit stronger springs or other fingers.",
        key: "bar.length",
    });
}
