//! Figures that a formula can take, and the error that names one which it cannot.

use crate::spread::Spread;
use std::fmt;

/// A figure that a formula cannot take: which one, and what it must be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BadFigure {
    /// The figure, in the words of its formula.
    pub what: &'static str,
    /// What it must be.
    pub must: &'static str,
}

impl fmt::Display for BadFigure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the {} must be {}", self.what, self.must)
    }
}

impl std::error::Error for BadFigure {}

/// The figure, where it is above zero and finite.
///
/// # Errors
/// Names the figure otherwise.
pub fn positive(value: f64, what: &'static str) -> Result<f64, BadFigure> {
    let fits = value > 0.0 && value.is_finite();
    if fits { Ok(value) } else { Err(BadFigure { what, must: "a number above zero" }) }
}

/// The figure, where it is zero or above and finite.
///
/// # Errors
/// Names the figure otherwise.
pub fn not_negative(value: f64, what: &'static str) -> Result<f64, BadFigure> {
    let fits = value >= 0.0 && value.is_finite();
    if fits { Ok(value) } else { Err(BadFigure { what, must: "a number not below zero" }) }
}

/// The figure, where it is finite.
///
/// # Errors
/// Names the figure otherwise.
pub fn finite(value: f64, what: &'static str) -> Result<f64, BadFigure> {
    if value.is_finite() { Ok(value) } else { Err(BadFigure { what, must: "a finite number" }) }
}

/// The result of a formula, where floats can hold it.
///
/// # Errors
/// Names the result where the figures that were given, each good in itself, are together beyond
/// all measure.
pub(crate) fn within_floats(value: f64, what: &'static str) -> Result<f64, BadFigure> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(BadFigure { what, must: "within the range of floating point" })
    }
}

/// The range, where all of it is zero or above and the nominal figure lies inside.
///
/// # Errors
/// Names the figure otherwise.
pub fn not_negative_range(
    range: Spread<f64>,
    what: &'static str,
) -> Result<Spread<f64>, BadFigure> {
    not_negative(range.low, what)?;
    not_negative(range.high, what)?;
    if range.low <= range.nominal && range.nominal <= range.high {
        Ok(range)
    } else {
        Err(BadFigure { what, must: "inside of its own range" })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_holds_its_nominal_figure() {
        let range = |low, nominal, high| not_negative_range(Spread { low, nominal, high }, "x");
        assert!(range(1.0, 2.0, 3.0).is_ok() && range(0.0, 0.0, 0.0).is_ok());
        for (low, nominal, high) in [(2.0, 1.0, 3.0), (1.0, 4.0, 3.0), (1.0, f64::NAN, 2.0)] {
            assert!(range(low, nominal, high).is_err());
        }
        assert!(range(-1.0, 2.0, 3.0).is_err() && range(0.0, 1.0, f64::INFINITY).is_err());
    }

    #[test]
    fn an_error_names_the_figure() {
        let error = positive(0.0, "gripped length").err().map(|error| error.to_string());
        assert_eq!(error.as_deref(), Some("the gripped length must be a number above zero"));
        assert!(not_negative(f64::NAN, "x").is_err() && finite(f64::INFINITY, "x").is_err());
    }
}
