#![doc = include_str!("jaws_lift.md")]

use super::{Limit, Line, Out, Planned, worst};

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let Some(worst) = worst::margin(planned, |held| held.lift) else { return };
    let value = worst.value;
    out.about(&worst.judged, Line {
        value,
        limit: Limit::Least(worst.limit),
        unit: "",
        source: "statics of jaws that can only press (calc::holding)",
        message: format!(
            "To {}, the grip at speed is {:.2} times that at which an edge of the jaws lifts off the bar ({:.2} to {:.2}); below {:.0} the bar no longer runs true.",
            worst.operation, value.nominal, value.low, value.high, worst.limit
        ),
        remedy: "Let the bar stand out less, or take less depth or feed.",
        key: "cutting",
    });
}
