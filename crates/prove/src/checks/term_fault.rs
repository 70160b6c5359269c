#![doc = include_str!("term_fault.md")]

use crate::event::{Moment, What};
use crate::report::Out;
use nc::expression::FaultKind;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::TermFault(kind) = moment.what else { return };
    let why = match kind {
        FaultKind::DivideByZero => "it divides by zero or by an empty variable",
        FaultKind::RootOfNegative => "it takes the square root of a negative number",
        FaultKind::PowerOfNegative => {
            "it takes a power of a negative number that is not whole"
        }
        FaultKind::LogOfNotPositive => "it takes the logarithm of a number that is not above zero",
        FaultKind::ArcOutOfRange => "the sine or cosine it starts from lies outside -1 to 1",
        FaultKind::TangentOfRightAngle => "the tangent of a right angle has no value",
        FaultKind::NotAVariable => "there is no variable of this number",
        FaultKind::TooLarge => "the result is too large",
        FaultKind::Unreadable => "it could not be read",
    };
    out.found(
        format!("The control cannot work this term out: {why}. It stops here with an alarm."),
        "Set the variables it uses before, or test them first.",
    );
}
