//! What can stand in a term.

use crate::tree::{Function, Operator};

/// What joins two terms.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OperatorRow {
    /// As written.
    pub name: &'static str,
    /// What it is.
    pub operator: Operator,
    /// How tightly it binds: the larger first.
    pub binding: u8,
    /// What it gives.
    pub gives: &'static str,
}

const fn join(
    name: &'static str,
    operator: Operator,
    binding: u8,
    gives: &'static str,
) -> OperatorRow {
    OperatorRow { name, operator, binding, gives }
}

/// Names that stand between two terms.
pub const NAMES: [OperatorRow; 10] = [
    join("MOD", Operator::Modulo, 4, "What is left over from a division."),
    join("AND", Operator::And, 4, "Joins two conditions that must both hold, or two sets of bits."),
    join(
        "XOR",
        Operator::Xor,
        3,
        "Joins two conditions of which just one must hold, or two sets of bits.",
    ),
    join(
        "OR",
        Operator::Or,
        3,
        "Joins two conditions of which one must hold, or two sets of bits.",
    ),
    join("EQ", Operator::Equal, 2, "Whether both are equal; an empty variable is not zero here."),
    join("NE", Operator::NotEqual, 2, "Whether both differ; an empty variable differs from zero."),
    join("GT", Operator::Greater, 2, "Whether the first is greater."),
    join("GE", Operator::GreaterOrEqual, 2, "Whether the first is greater, or both are equal."),
    join("LT", Operator::Less, 2, "Whether the first is less."),
    join("LE", Operator::LessOrEqual, 2, "Whether the first is less, or both are equal."),
];

/// Signs that stand between two terms; longer ones first.
pub const SIGNS: [OperatorRow; 11] = [
    join("**", Operator::Power, 5, "The first to the power of the second."),
    join("*", Operator::Multiply, 4, "The product."),
    join("/", Operator::Divide, 4, "The quotient; dividing by zero is an alarm."),
    join("+", Operator::Add, 3, "The sum."),
    join("-", Operator::Subtract, 3, "The difference."),
    join("<>", Operator::NotEqual, 2, "As NE."),
    join("<=", Operator::LessOrEqual, 2, "As LE."),
    join(">=", Operator::GreaterOrEqual, 2, "As GE."),
    join("<", Operator::Less, 2, "As LT."),
    join(">", Operator::Greater, 2, "As GT."),
    join("=", Operator::Equal, 2, "As EQ."),
];

/// A function of one term.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FunctionRow {
    /// Its name.
    pub name: &'static str,
    /// What it is.
    pub function: Function,
    /// What it gives.
    pub gives: &'static str,
}

const fn function(name: &'static str, function: Function, gives: &'static str) -> FunctionRow {
    FunctionRow { name, function, gives }
}

/// Functions of one term, such as `SIN[30]`.
pub const FUNCTIONS: [FunctionRow; 14] = [
    function("SIN", Function::Sin, "Sine of an angle in degrees."),
    function("COS", Function::Cos, "Cosine of an angle in degrees."),
    function("TAN", Function::Tan, "Tangent of an angle in degrees."),
    function("ASIN", Function::Asin, "Angle in degrees with this sine."),
    function("ACOS", Function::Acos, "Angle in degrees with this cosine."),
    function("SQRT", Function::Sqrt, "Square root."),
    function("ABS", Function::Abs, "Value without its sign."),
    function("ROUND", Function::Round, "Nearest whole number, halves away from zero."),
    function("FIX", Function::Fix, "Next whole number toward zero."),
    function("FUP", Function::Fup, "Next whole number away from zero."),
    function("LN", Function::Ln, "Natural logarithm."),
    function("EXP", Function::Exp, "The number e to this power."),
    function("BIN", Function::Bin, "Number whose decimal digits are coded four bits each."),
    function("BCD", Function::Bcd, "Number coded with four bits for each decimal digit."),
];

/// A function of two terms.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PairRow {
    /// Its name.
    pub name: &'static str,
    /// What it makes of them.
    pub pair: Pair,
    /// What it gives.
    pub gives: &'static str,
}

/// What a function of two terms makes of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pair {
    /// The same as an operator between them.
    Joined(Operator),
    /// The angle of a slope, from its rise and its run.
    Angle,
}

/// Functions of two terms, such as `POW[2,3]`.
pub const PAIRS: [PairRow; 3] = [
    PairRow {
        name: "POW",
        pair: Pair::Joined(Operator::Power),
        gives: "The first to the power of the second.",
    },
    PairRow {
        name: "MOD",
        pair: Pair::Joined(Operator::Modulo),
        gives: "What is left over from a division.",
    },
    PairRow {
        name: "ATAN",
        pair: Pair::Angle,
        gives: "Angle in degrees of a rise over a run: ATAN[1]/[2]; of a slope: ATAN[0.5].",
    },
];
