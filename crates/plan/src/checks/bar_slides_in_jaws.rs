#![doc = include_str!("bar_slides_in_jaws.md")]

use super::{Limit, Line, Out, Planned, worst};

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let Some(worst) = worst::margin(planned, |held| held.pull_out) else { return };
    let value = worst.value;
    out.about(&worst.judged, Line {
        value,
        limit: Limit::Least(worst.limit),
        unit: "",
        source: "common practice; a chuck maker's manual asks for twice (maker withheld)",
        message: format!(
            "To {}, the jaws hold {:.2} times the force along the axis before the bar slides ({:.2} to {:.2}); they should hold {:.0} times.",
            worst.operation, value.nominal, value.low, value.high, worst.limit
        ),
        remedy: "Take less feed or depth, lower the speed, or raise the grip as far as the chuck's manual allows.",
        key: "cutting",
    });
}
