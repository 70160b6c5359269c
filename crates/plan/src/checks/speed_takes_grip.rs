#![doc = include_str!("speed_takes_grip.md")]

use super::{Limit, Line, Out, Planned, worst};

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let what = "what speed takes of the grip";
    let Some(worst) = worst::margin(planned, out, what, |held| held.loss) else { return };
    let value = worst.value;
    out.line(Line {
        value,
        limit: Limit::Least(worst.limit),
        unit: "",
        source: "EN 1550: at most 67 % of the grip at rest, as restated in chuck makers' manuals",
        message: format!(
            "To {}, the speed could take {:.2} times what it takes of the grip ({:.2} to {:.2}) before two thirds are gone; it must be {:.0} or more.",
            worst.operation, value.nominal, value.low, value.high, worst.limit
        ),
        remedy: "Lower max_speed, or fit lighter jaws.",
        key: "cutting",
    });
}
