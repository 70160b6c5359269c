#![doc = include_str!("torque_too_small.md")]

use super::{Limit, Line, Out, Planned, worst};
use model::quantity::Torque;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let Some(worst) = worst::load(planned, |loads| &loads.torque, Torque::nm) else { return };
    let value = worst.value;
    out.about(&worst.judged, Line {
        value,
        limit: Limit::Most(worst.limit),
        unit: "N·m",
        source: "the drive's torque at that speed (lathe file); cutting force by Kienzle",
        message: format!(
            "To {} takes {:.1} N·m ({:.1} to {:.1}); at that speed the drive brings {:.1} N·m to the spindle.",
            worst.operation, value.nominal, value.low, value.high, worst.limit
        ),
        remedy: "Take less depth or feed.",
        key: "cutting",
    });
}
