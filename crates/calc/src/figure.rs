//! What a formula takes and gives besides plain figures: a range about a likely value, and the
//! error that names a figure which the formula cannot take.

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

/// A likely value and the range in which the real one is to be expected.
///
/// **Invariant:** low ≤ likely ≤ high.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread<T> {
    low: T,
    likely: T,
    high: T,
}

impl<T: Copy + PartialOrd> Spread<T> {
    /// A likely value within its range.
    ///
    /// # Errors
    /// Where the likely value does not lie between the two others, or one is not a number.
    pub fn new(low: T, likely: T, high: T) -> Result<Spread<T>, BadFigure> {
        if low <= likely && likely <= high {
            Ok(Spread { low, likely, high })
        } else {
            Err(BadFigure { what: "likely value of a range", must: "between its low and high" })
        }
    }

    /// A value without scatter.
    pub fn exact(value: T) -> Spread<T> {
        Spread { low: value, likely: value, high: value }
    }

    /// The smallest value to be expected.
    pub fn low(self) -> T {
        self.low
    }

    /// The likely value.
    pub fn likely(self) -> T {
        self.likely
    }

    /// The largest value to be expected.
    pub fn high(self) -> T {
        self.high
    }
}

impl<T: Copy> Spread<T> {
    /// The same range in another unit or type, through a rule that never falls.
    pub fn map<U: Copy + PartialOrd>(self, rising: impl Fn(T) -> U) -> Spread<U> {
        Spread { low: rising(self.low), likely: rising(self.likely), high: rising(self.high) }
    }
}

impl Spread<f64> {
    /// A value and a share of it to both sides, such as 0.2 for ±20 %.
    ///
    /// # Errors
    /// For a value that is not finite, or a share that is negative or 1 and more.
    pub fn around(value: f64, share: f64) -> Result<Spread<f64>, BadFigure> {
        let value = finite(value, "value of a range")?;
        if !(0.0..1.0).contains(&share) {
            return Err(BadFigure { what: "share of a range", must: "from 0 to below 1" });
        }
        let (one, other) = (value * (1.0 - share), value * (1.0 + share));
        Spread::new(one.min(other), value, one.max(other))
    }
}

impl<T: fmt::Display> fmt::Display for Spread<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.likely.fmt(f)?;
        f.write_str(" (")?;
        self.low.fmt(f)?;
        f.write_str(" to ")?;
        self.high.fmt(f)?;
        f.write_str(")")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_holds_its_likely_value() {
        assert!(Spread::new(1.0, 2.0, 3.0).is_ok());
        for (low, likely, high) in [(2.0, 1.0, 3.0), (1.0, 4.0, 3.0), (f64::NAN, 1.0, 2.0)] {
            assert!(Spread::new(low, likely, high).is_err());
        }
        let spread = Spread::around(-10.0, 0.2).ok();
        assert_eq!(spread.map(|s| (s.low(), s.likely(), s.high())), Some((-12.0, -10.0, -8.0)));
        assert!(Spread::around(1.0, 1.0).is_err());
        assert!(Spread::around(f64::INFINITY, 0.1).is_err());
    }

    #[test]
    fn an_error_names_the_figure() {
        let error = positive(0.0, "gripped length").err().map(|error| error.to_string());
        assert_eq!(error.as_deref(), Some("the gripped length must be a number above zero"));
        assert!(not_negative(f64::NAN, "x").is_err() && finite(f64::INFINITY, "x").is_err());
    }
}
