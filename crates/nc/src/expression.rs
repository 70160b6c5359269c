//! Values of terms. None is null: a variable that was never given a value.
//!
//! [`evaluate`] follows the tree and is the plain way; [`Compiled`] holds the same terms as
//! postfix code for whoever works them out very often. How a control rounds, compares and joins
//! is data: [`model::files::control::Terms`].

mod arithmetic;
mod compiled;
mod refused;

pub use compiled::Compiled;
pub use refused::{Refusal, Refused, refused};

use crate::tree::{ExpressionId, ExpressionKind, Tree};
use arithmetic::{apply, arc_tangent, finite, join, variable_number};
use model::Span;
use model::files::control::Terms;

/// The variables that a term looks at.
pub trait Variables {
    /// The value of a variable; none for null.
    fn get(&self, number: u32) -> Option<f64>;

    /// Told of each side of GT, GE, LT and LE that is null, since controls differ in what null is
    /// there: the stretch of the comparison, and the variable, or 0 where its number is worked
    /// out. Nothing is done with it unless this is written.
    fn null_compared(&self, _comparison: Span, _variable: u32) {}

    /// Told of both sides of each comparison. With [`Variables::bent`] and the variables themselves
    /// it is all that decides how a term goes with them: what is neither compared nor bent is only
    /// added up.
    fn compared(&self, _one: Option<f64>, _other: Option<f64>) {}

    /// Told of each value that something else than a sum, a difference or a comparison is made
    /// from.
    fn bent(&self, _value: Option<f64>) {}
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
    /// The divisor is zero or null, or a power of zero is negative.
    DivideByZero,
    /// The square root of a negative number.
    RootOfNegative,
    /// A power of a negative number that is not whole.
    PowerOfNegative,
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

/// Works out a term as [`Terms::COMMON`] has it: none is null.
///
/// # Errors
/// The first part of the term that has no value.
pub fn evaluate(
    tree: &Tree,
    id: ExpressionId,
    variables: &dyn Variables,
) -> Result<Option<f64>, Fault> {
    evaluate_as(tree, id, &Terms::COMMON, variables)
}

/// Works out a term as one control does: none is null.
///
/// Null is copied as null and counts as zero in arithmetic; `EQ` and `NE` tell it from zero, and
/// what it is in the other comparisons is the control's matter. Angles are in degrees. True is 1,
/// false is 0. `ROUND` goes to the nearest whole number, with halves away from zero. How tightly
/// `AND` binds is in the tree already: see [`crate::read::read_for`].
///
/// Source of the rules: common practice of the trade, from memory, but for null: a public manual
/// (found). NISTIR 6556 (§3.3.2.3, §3.3.2.4, found) has other rules for `AND`, `OR`, `XOR`, `FIX`
/// and `FUP`; a control file can say so.
///
/// # Errors
/// The first part of the term that has no value.
pub fn evaluate_as(
    tree: &Tree,
    id: ExpressionId,
    terms: &Terms,
    variables: &dyn Variables,
) -> Result<Option<f64>, Fault> {
    let term = tree.expression(id);
    let fault = |kind| Fault { span: term.span, kind };
    let either = |id| evaluate_as(tree, id, terms, variables);
    let number = |id| either(id).map(Option::unwrap_or_default);
    let value = match term.kind {
        ExpressionKind::Number(value) => value,
        ExpressionKind::Variable(inner) => {
            let index = variable_number(number(inner)?).map_err(fault)?;
            // #0 is always null.
            return Ok(if index == 0 { None } else { variables.get(index) });
        }
        ExpressionKind::Negate(inner) => -number(inner)?,
        ExpressionKind::Function(function, inner) => {
            apply(function, number(inner)?, terms).map_err(fault)?
        }
        ExpressionKind::Atan2(one, other) => arc_tangent(number(one)?, number(other)?, terms),
        ExpressionKind::Binary(operator, one, other) => {
            let (x, y) = (either(one)?, either(other)?);
            if operator.orders() {
                for (side, value) in [(one, x), (other, y)] {
                    if value.is_none() {
                        variables.null_compared(term.span, plain_variable(tree, side));
                    }
                }
            }
            join(operator, x, y, terms).map_err(fault)?
        }
        ExpressionKind::Unreadable => return Err(fault(FaultKind::Unreadable)),
    };
    finite(value).map(Some).map_err(fault)
}

/// The number of a variable that is named by a plain number; 0 for every other term.
fn plain_variable(tree: &Tree, id: ExpressionId) -> u32 {
    let ExpressionKind::Variable(inner) = tree.expression(id).kind else { return 0 };
    match tree.expression(inner).kind {
        ExpressionKind::Number(number) => variable_number(number).unwrap_or(0),
        _ => 0,
    }
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
