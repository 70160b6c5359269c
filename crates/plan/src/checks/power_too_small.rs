#![doc = include_str!("power_too_small.md")]

use super::{Limit, Line, Out, Planned, worst};
use model::quantity::Power;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    worst::file_forces(planned, out);
    let Some(worst) = worst::load(planned, |loads| &loads.power, Power::w) else { return };
    let [low, likely, high, given] =
        [worst.value.low, worst.value.nominal, worst.value.high, worst.limit].map(|w| w / 1000.0);
    out.about(&worst.judged, Line {
        value: worst.value,
        limit: Limit::Most(worst.limit),
        unit: "W",
        source: "the drive's power at that speed, less what is lost on the way (lathe file); cutting force by Kienzle",
        message: format!(
            "To {} takes {likely:.2} kW at the cut ({low:.2} to {high:.2}); at that speed the drive brings {given:.2} kW there.",
            worst.operation
        ),
        remedy: "Take less depth or feed, or a speed at which the drive has its full power.",
        key: "cutting",
    });
}
