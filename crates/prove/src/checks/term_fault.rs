#![doc = include_str!("term_fault.md")]

use crate::event::{Moment, What};
use crate::report::Out;
use nc::expression::{FaultKind, Refusal};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    match moment.what {
        What::TermFault(kind) => out.found(
            format!(
                "The control cannot work this term out: {}. It stops here with an alarm.",
                why(kind)
            ),
            "Set the variables it uses before, or test them first.",
        ),
        What::TermRefused(Refusal::NestedTooDeep) => {
            let depth = moment.setup.control.terms.bracket_depth;
            out.found(
                format!("This bracket is nested deeper than the {depth} levels that the control takes. It stops here with an alarm."),
                "Work the inner part out in a block of its own, or write the control's depth as `bracket_depth` in its file.",
            );
        }
        What::TermRefused(Refusal::ComparisonSign) => out.found(
            "The control compares by letters only: it stops at this sign with an alarm.",
            "Write EQ, NE, GT, GE, LT or LE; or, if its manual has the signs, write `comparison_signs = true` in the control's file.",
        ),
        _ => {}
    }
}

const fn why(kind: FaultKind) -> &'static str {
    match kind {
        FaultKind::DivideByZero => "it divides by zero or by an empty variable",
        FaultKind::RootOfNegative => "it takes the square root of a negative number",
        FaultKind::PowerOfNegative => "it takes a power of a negative number that is not whole",
        FaultKind::LogOfNotPositive => "it takes the logarithm of a number that is not above zero",
        FaultKind::ArcOutOfRange => "the sine or cosine it starts from lies outside -1 to 1",
        FaultKind::TangentOfRightAngle => "the tangent of a right angle has no value",
        FaultKind::NotAVariable => "there is no variable of this number",
        FaultKind::TooLarge => "the result is too large",
        FaultKind::Unreadable => "it could not be read",
    }
}
