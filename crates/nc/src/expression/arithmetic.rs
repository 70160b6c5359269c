//! What functions and operators give, for every way of working terms out.

use super::FaultKind;
use crate::tree::{Function, Operator};
use model::files::control::{AsinRange, AtanRange, Logic, NullInOrder, Rounding, Terms};

fn truth(holds: bool) -> f64 {
    f64::from(u8::from(holds))
}

/// The value of a function of one term.
#[expect(clippy::float_cmp, reason = "only right angles themselves have no tangent")]
pub(super) fn apply(function: Function, x: f64, terms: &Terms) -> Result<f64, FaultKind> {
    let unit = (-1.0..=1.0).contains(&x);
    let down_and_up = terms.rounding == Rounding::DownAndUp;
    Ok(match function {
        Function::Sin => sine(x),
        Function::Cos => sine(x + 90.0),
        Function::Tan if (x % 180.0).abs() == 90.0 => return Err(FaultKind::TangentOfRightAngle),
        Function::Tan => libm::tan(x.to_radians()),
        Function::Asin | Function::Acos if !unit => return Err(FaultKind::ArcOutOfRange),
        Function::Asin => {
            let degrees = libm::asin(x).to_degrees();
            let turns = terms.asin_range == AsinRange::FullTurn && degrees < 0.0;
            if turns { degrees + 360.0 } else { degrees }
        }
        Function::Acos => libm::acos(x).to_degrees(),
        Function::Atan => libm::atan(x).to_degrees(),
        Function::Sqrt if x < 0.0 => return Err(FaultKind::RootOfNegative),
        Function::Sqrt => libm::sqrt(x),
        Function::Abs => x.abs(),
        Function::Round => x.round(),
        Function::Fix if down_and_up => x.floor(),
        Function::Fix => x.trunc(),
        Function::Fup if down_and_up => x.ceil(),
        Function::Fup => x.abs().ceil().copysign(x),
        Function::Ln if x <= 0.0 => return Err(FaultKind::LogOfNotPositive),
        Function::Ln => libm::log(x),
        Function::Exp => libm::exp(x),
        Function::Bin => decimal_digits(x, 16, 10),
        Function::Bcd => decimal_digits(x, 10, 16),
    })
}

/// The sine of an angle in degrees; exact at right angles, where radians are not.
fn sine(degrees: f64) -> f64 {
    let turned = degrees % 360.0;
    match turned.abs() {
        0.0 | 180.0 => 0.0,
        90.0 => turned.signum(),
        270.0 => -turned.signum(),
        _ => libm::sin(turned.to_radians()),
    }
}

/// Reads the digits of a whole number in one base as digits of another.
fn decimal_digits(x: f64, from: u64, to: u64) -> f64 {
    let mut rest = x.abs().min(1e15) as u64;
    let (mut sum, mut place) = (0_u64, 1_u64);
    while rest > 0 {
        sum = sum.saturating_add((rest % from).saturating_mul(place));
        rest /= from;
        place = place.saturating_mul(to);
    }
    sum as f64
}

/// Two values joined; null counts as zero, except in comparisons.
#[expect(clippy::float_cmp, reason = "controls compare all digits")]
#[inline]
pub(super) fn join(
    operator: Operator,
    one: Option<f64>,
    other: Option<f64>,
    terms: &Terms,
) -> Result<f64, FaultKind> {
    let (x, y) = (one.unwrap_or(0.0), other.unwrap_or(0.0));
    let bits = |value: f64| value.round() as i64;
    let logical = terms.logic == Logic::Logical;
    let (is, also) = (x != 0.0, y != 0.0);
    let value = match operator {
        Operator::Add => x + y,
        Operator::Subtract => x - y,
        Operator::Multiply => x * y,
        Operator::Divide | Operator::Modulo if y == 0.0 => return Err(FaultKind::DivideByZero),
        Operator::Divide => x / y,
        Operator::Modulo => x % y,
        Operator::Power if x == 0.0 && y < 0.0 => return Err(FaultKind::DivideByZero),
        Operator::Power if x < 0.0 && y.trunc() != y => return Err(FaultKind::PowerOfNegative),
        Operator::Power => libm::pow(x, y),
        Operator::And if logical => truth(is && also),
        Operator::Or if logical => truth(is || also),
        Operator::Xor if logical => truth(is != also),
        Operator::And => (bits(x) & bits(y)) as f64,
        Operator::Or => (bits(x) | bits(y)) as f64,
        Operator::Xor => (bits(x) ^ bits(y)) as f64,
        Operator::Equal => truth(one == other),
        Operator::NotEqual => truth(one != other),
        Operator::Greater | Operator::GreaterOrEqual | Operator::Less | Operator::LessOrEqual => {
            ordered(operator, one, other, terms)
        }
    };
    Ok(kept(value, terms))
}

/// As many digits of a value as the control keeps.
fn kept(value: f64, terms: &Terms) -> f64 {
    let Some(digits) = terms.significant_digits else { return value };
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let places = f64::from(digits) - 1.0 - libm::floor(libm::log10(value.abs()));
    let power = libm::exp10(places.abs());
    // A power of ten below one has no exact value; its whole counterpart has.
    let rounded = if places >= 0.0 {
        (value * power).round() / power
    } else {
        (value / power).round() * power
    };
    if rounded.is_finite() { rounded } else { value }
}

/// A comparison in which null has a place among the numbers.
fn ordered(operator: Operator, one: Option<f64>, other: Option<f64>, terms: &Terms) -> f64 {
    let null = match terms.null_in_order {
        NullInOrder::Zero => 0.0,
        NullInOrder::AboveAll => f64::INFINITY,
    };
    let (x, y) = (one.unwrap_or(null), other.unwrap_or(null));
    truth(match operator {
        Operator::Greater => x > y,
        Operator::GreaterOrEqual => x >= y,
        Operator::Less => x < y,
        _ => x <= y,
    })
}

/// The angle of a slope, in degrees.
pub(super) fn arc_tangent(rise: f64, run: f64, terms: &Terms) -> f64 {
    let degrees = libm::atan2(rise, run).to_degrees();
    let turns = terms.atan_range == AtanRange::FullTurn && degrees < 0.0;
    if turns { degrees + 360.0 } else { degrees }
}

/// The number of a variable; fractions are rounded to it.
pub(super) fn variable_number(value: f64) -> Result<u32, FaultKind> {
    let number = value.round();
    if (0.0..1e6).contains(&number) { Ok(number as u32) } else { Err(FaultKind::NotAVariable) }
}

/// The value, where it is a number.
pub(super) fn finite(value: f64) -> Result<f64, FaultKind> {
    if value.is_finite() { Ok(value) } else { Err(FaultKind::TooLarge) }
}
