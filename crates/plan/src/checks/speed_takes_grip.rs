#![doc = include_str!("speed_takes_grip.md")]

use super::{Limit, Line, Out, Planned, worst};
use calc::holding::LARGEST_LOSS;
use calc::spread::Spread;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let Some(worst) = worst::margin(planned, |held| held.loss) else { return };
    // The margin is what may be lost over what is.
    let most = 100.0 * LARGEST_LOSS;
    let Spread { low, nominal, high } = worst.value;
    let value = Spread { low: most / high, nominal: most / nominal, high: most / low };
    out.about(&worst.judged, Line {
        value,
        limit: Limit::Most(most),
        unit: "%",
        source: "EN 1550: at most 67 % of the grip at rest, as restated in chuck makers' manuals",
        message: format!(
            "To {}, the speed takes {:.0} % of the grip ({:.0} to {:.0}); more than {most:.0} % leaves too little, and a little more speed leaves none.",
            worst.operation, value.nominal, value.low, value.high
        ),
        remedy: "Lower max_speed, or fit lighter jaws.",
        key: "cutting",
    });
}
