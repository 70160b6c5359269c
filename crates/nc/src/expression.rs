//! Values of terms. None is null: a variable that was never given a value.

use crate::tree::{ExpressionId, ExpressionKind, Function, Operator, Tree};
use model::Span;

/// The variables that a term looks at.
pub trait Variables {
    /// The value of a variable; none for null.
    fn get(&self, number: u32) -> Option<f64>;
}

/// Why a term has no value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fault {
    /// The part of the term that has none.
    pub span: Span,
    /// Why.
    pub kind: FaultKind,
}

/// Why a term has no value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FaultKind {
    /// The divisor is zero or null.
    DivideByZero,
    /// The square root of a negative number.
    RootOfNegative,
    /// The logarithm of zero or less.
    LogOfNotPositive,
    /// The arc sine or cosine of something outside -1 to 1.
    ArcOutOfRange,
    /// The tangent of a right angle.
    TangentOfRightAngle,
    /// A variable number that is none.
    NotAVariable,
    /// Beyond what numbers hold.
    TooLarge,
    /// The term could not be read.
    Unreadable,
}

/// Works out a term: none is null.
///
/// Null is copied as null and counts as zero in arithmetic; `EQ` and `NE` tell it from zero, the
/// other comparisons do not. Angles are in degrees; `ATAN[a]/[b]` gives 0 to 360. True is 1, false
/// is 0, so that `AND`, `OR` and `XOR`, which work on the bits of whole numbers, also join
/// conditions. `FIX` rounds toward zero, `FUP` away from it, `ROUND` to the nearest with halves
/// away from zero.
///
/// Source of the rules: common practice of the trade, from memory; where NISTIR 6556 (§3.3.2.3,
/// §3.3.2.4) differs, as for `AND`, `FIX` and `FUP`, the trade's rule stands here.
///
/// # Errors
/// The first part of the term that has no value.
pub fn evaluate(
    tree: &Tree,
    id: ExpressionId,
    variables: &dyn Variables,
) -> Result<Option<f64>, Fault> {
    let term = tree.expression(id);
    let fault = |kind| Fault { span: term.span, kind };
    let number = |id| evaluate(tree, id, variables).map(Option::unwrap_or_default);
    let value = match term.kind {
        ExpressionKind::Number(value) => value,
        ExpressionKind::Variable(inner) => {
            let index = number(inner)?.round();
            if !(0.0..1e6).contains(&index) {
                return Err(fault(FaultKind::NotAVariable));
            }
            // #0 is always null.
            return Ok(if index == 0.0 { None } else { variables.get(index as u32) });
        }
        ExpressionKind::Negate(inner) => -number(inner)?,
        ExpressionKind::Function(function, inner) => {
            apply(function, number(inner)?).map_err(fault)?
        }
        ExpressionKind::Atan2(one, other) => {
            let degrees = libm::atan2(number(one)?, number(other)?).to_degrees();
            if degrees < 0.0 { degrees + 360.0 } else { degrees }
        }
        ExpressionKind::Binary(operator @ (Operator::Equal | Operator::NotEqual), one, other) => {
            let one = evaluate(tree, one, variables)?;
            let other = evaluate(tree, other, variables)?;
            truth((one == other) == (operator == Operator::Equal))
        }
        ExpressionKind::Binary(operator, one, other) => {
            join(operator, number(one)?, number(other)?).map_err(fault)?
        }
        ExpressionKind::Unreadable => return Err(fault(FaultKind::Unreadable)),
    };
    if value.is_finite() { Ok(Some(value)) } else { Err(fault(FaultKind::TooLarge)) }
}

fn truth(holds: bool) -> f64 {
    f64::from(u8::from(holds))
}

#[expect(clippy::float_cmp, reason = "only right angles themselves have no tangent")]
fn apply(function: Function, x: f64) -> Result<f64, FaultKind> {
    let unit = (-1.0..=1.0).contains(&x);
    Ok(match function {
        Function::Sin => sine(x),
        Function::Cos => sine(x + 90.0),
        Function::Tan if (x % 180.0).abs() == 90.0 => return Err(FaultKind::TangentOfRightAngle),
        Function::Tan => libm::tan(x.to_radians()),
        Function::Asin | Function::Acos if !unit => return Err(FaultKind::ArcOutOfRange),
        Function::Asin => libm::asin(x).to_degrees(),
        Function::Acos => libm::acos(x).to_degrees(),
        Function::Atan => libm::atan(x).to_degrees(),
        Function::Sqrt if x < 0.0 => return Err(FaultKind::RootOfNegative),
        Function::Sqrt => libm::sqrt(x),
        Function::Abs => x.abs(),
        Function::Round => x.round(),
        Function::Fix => x.trunc(),
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

#[expect(clippy::float_cmp, reason = "controls compare all digits")]
fn join(operator: Operator, x: f64, y: f64) -> Result<f64, FaultKind> {
    let bits = |value: f64| value.round() as i64;
    Ok(match operator {
        Operator::Add => x + y,
        Operator::Subtract => x - y,
        Operator::Multiply => x * y,
        Operator::Divide | Operator::Modulo if y == 0.0 => return Err(FaultKind::DivideByZero),
        Operator::Divide => x / y,
        Operator::Modulo => x % y,
        Operator::Power => libm::pow(x, y),
        Operator::And => (bits(x) & bits(y)) as f64,
        Operator::Or => (bits(x) | bits(y)) as f64,
        Operator::Xor => (bits(x) ^ bits(y)) as f64,
        Operator::Equal => truth(x == y),
        Operator::NotEqual => truth(x != y),
        Operator::Greater => truth(x > y),
        Operator::GreaterOrEqual => truth(x >= y),
        Operator::Less => truth(x < y),
        Operator::LessOrEqual => truth(x <= y),
    })
}

/// The variables that a term names by a plain number, in the order of the text.
pub fn variables_read(tree: &Tree, id: ExpressionId) -> Vec<u32> {
    let mut numbers = Vec::new();
    let mut terms = vec![id];
    while let Some(id) = terms.pop() {
        match tree.expression(id).kind {
            ExpressionKind::Variable(inner) => match tree.expression(inner).kind {
                ExpressionKind::Number(number) if (0.0..1e6).contains(&number) => {
                    numbers.push(number as u32);
                }
                _ => terms.push(inner),
            },
            ExpressionKind::Negate(inner) | ExpressionKind::Function(_, inner) => terms.push(inner),
            ExpressionKind::Binary(_, one, other) | ExpressionKind::Atan2(one, other) => {
                terms.extend([other, one]);
            }
            ExpressionKind::Number(_) | ExpressionKind::Unreadable => {}
        }
    }
    numbers
}
