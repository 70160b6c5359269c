//! Every calculation by a name, with named figures in and one figure out, so that the handbook of
//! outside checks can call them. Keys end in their unit.

mod bending;
mod calculations;
mod cutting;
mod drag;
mod drawing;
mod figures;
mod holding;
mod learned;
mod life;
mod queue;
mod sizes;
mod skin;
mod whirl;
mod worth;

pub use figures::Given;

use figures::Figures;
use std::fmt;

/// Why a calculation could not be made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CaseError {
    /// There is no calculation of this name.
    Unknown(String),
    /// A key is missing, or its text is no such figure.
    Key(String),
    /// A key that the calculation does not use.
    Unused(String),
    /// The figures lie outside the range of the formula.
    OutOfRange,
    /// A figure in the first unit cannot be told in the second.
    Unit(String, String),
}

impl fmt::Display for CaseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            CaseError::Unknown(name) => write!(f, "there is no calculation `{name}`"),
            CaseError::Key(key) => write!(f, "the figure `{key}` is missing or unreadable"),
            CaseError::Unused(key) => write!(f, "this calculation does not use `{key}`"),
            CaseError::OutOfRange => crate::OutOfRange.fmt(f),
            CaseError::Unit(from, to) => write!(f, "a figure in `{from}` cannot be told in `{to}`"),
        }
    }
}

impl std::error::Error for CaseError {}

impl From<crate::OutOfRange> for CaseError {
    fn from(_: crate::OutOfRange) -> CaseError {
        CaseError::OutOfRange
    }
}

impl From<crate::figure::BadFigure> for CaseError {
    fn from(_: crate::figure::BadFigure) -> CaseError {
        CaseError::OutOfRange
    }
}

/// A calculation: its name, the unit of its result, and how it is made.
pub struct Calculation {
    /// Its name, `subject.result`.
    pub name: &'static str,
    /// Unit of the result; empty for a count or ratio.
    pub unit: &'static str,
    run: fn(&Figures<'_>) -> Result<f64, CaseError>,
}

/// The calculations of each subject; a new subject is one more line.
const SUBJECTS: &[&[Calculation]] = &[
    calculations::ROWS,
    cutting::ROWS,
    life::ROWS,
    holding::ROWS,
    bending::ROWS,
    drag::ROWS,
    drawing::ROWS,
    whirl::ROWS,
    skin::ROWS,
    sizes::ROWS,
    learned::ROWS,
    queue::ROWS,
    worth::ROWS,
];

/// Every calculation that the handbook may call.
pub fn all() -> impl Iterator<Item = &'static Calculation> {
    SUBJECTS.iter().copied().flatten()
}

/// Makes a calculation; the result is in its [`Calculation::unit`].
///
/// # Errors
/// An unknown name, a figure that is missing, unreadable or not used, or figures outside the
/// formula's range.
pub fn calculate(name: &str, given: &Given) -> Result<f64, CaseError> {
    let calculation = find(name).ok_or_else(|| CaseError::Unknown(name.to_owned()))?;
    let figures = Figures::new(given);
    let result = (calculation.run)(&figures)?;
    match figures.unused() {
        Some(key) => Err(CaseError::Unused(key)),
        None => Ok(result),
    }
}

/// Makes a calculation and tells its result in the unit in which a source prints it.
///
/// # Errors
/// As [`calculate`], and for a unit that does not fit the result.
pub fn calculate_in(name: &str, given: &Given, unit: &str) -> Result<f64, CaseError> {
    let own = find(name).ok_or_else(|| CaseError::Unknown(name.to_owned()))?.unit;
    let per_unit =
        factor(own, unit).ok_or_else(|| CaseError::Unit(own.to_owned(), unit.to_owned()))?;
    Ok(calculate(name, given)? / per_unit)
}

/// The calculation of this name.
pub fn find(name: &str) -> Option<&'static Calculation> {
    all().find(|calculation| calculation.name == name)
}

/// How many of `own` are one of `unit`.
fn factor(own: &str, unit: &str) -> Option<f64> {
    if own == unit {
        return Some(1.0);
    }
    // Exact: 1 in = 25.4 mm, 1 ft = 0.3048 m, 1 lb = 0.45359237 kg.
    Some(match (own, unit) {
        ("mm", "in") => 25.4,
        ("mm²", "in²") => 25.4 * 25.4,
        ("mm³", "in³") => 25.4 * 25.4 * 25.4,
        ("kg", "lb") => 0.453_592_37,
        ("kg/m", "lb/ft") => 0.453_592_37 / 0.3048,
        ("s", "min") => 60.0,
        ("cm³/min", "mm³/min") => 0.001,
        ("cm³/min", "in³/min") => 16.387_064,
        ("m/min", "ft/min") => 0.3048,
        ("µm", "µin") => 0.025_4,
        // 1 lbf = 4.4482216152605 N, 1 hp = 550 ft·lbf/s.
        ("N", "lbf") => 4.448_221_615_260_5,
        ("N·m", "in·lbf") => 4.448_221_615_260_5 * 0.025_4,
        ("W", "hp") => 4.448_221_615_260_5 * 0.3048 * 550.0,
        ("W", "kW") => 1000.0,
        _ => return None,
    })
}
