//! The decimal-point rule: what a number in a word stands for on one control.

use crate::tree::Number;
use model::files::Control;
use model::files::control::WithoutPoint;
use model::quantity::Seconds;
use model::{Length, Units};

/// A place, increment or radius exactly as the control takes it; none where it is beyond any
/// lathe (more than 1000 m).
///
/// With a point the number is in whole units. Without one it is in least increments or in whole
/// units, as the control says. Digits finer than a nanometer are rounded to it, halves away from
/// zero; controls round already at their least increment, at most half of which lies between.
pub fn length(number: Number, units: Units, control: &Control) -> Option<Length> {
    let least = !number.point && control.numbers.without_point == WithoutPoint::LeastIncrement;
    let unit = if least { control.increment(units).nm() } else { units.nanometers() };
    let scaled = i128::from(number.digits) * i128::from(unit);
    let power = 10_i128.checked_pow(u32::from(number.decimals))?;
    let rounded = (scaled + scaled.signum() * (power / 2)) / power;
    let length = Length::from_nm(i64::try_from(rounded).ok()?);
    (length.abs() <= Length::LIMIT).then_some(length)
}

/// A computed value as a place: whole units, rounded to the control's least increment, halves
/// away from zero.
pub fn length_of(value: f64, units: Units, control: &Control) -> Length {
    let increment = control.increment(units).nm();
    let steps = value * units.nanometers() as f64 / increment as f64;
    let limit = (Length::LIMIT.nm() / increment) as f64;
    Length::from_nm(steps.round().clamp(-limit, limit) as i64 * increment)
}

/// The time of a dwell: X and U in seconds (thousandths without a point on a least-increment
/// control), P in milliseconds without a point and in seconds with one.
pub fn dwell(letter: u8, number: Number, control: &Control) -> Seconds {
    let value = number.value();
    let thousandths = match letter {
        b'P' => !number.point,
        _ => !number.point && control.numbers.without_point == WithoutPoint::LeastIncrement,
    };
    Seconds::from_s(if thousandths { value / 1000.0 } else { value })
}
