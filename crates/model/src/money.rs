//! Money in whole hundredths of the shop's coin, so that sums come out.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Mul, Sub};

/// An amount of money in whole hundredths (cents); may be negative.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Money(i64);

impl Money {
    /// No money.
    pub const ZERO: Money = Money(0);

    /// So many hundredths.
    pub const fn from_cents(cents: i64) -> Money {
        Money(cents)
    }

    /// Whole hundredths.
    pub const fn cents(self) -> i64 {
        self.0
    }

    /// The amount that a decimal number means; none where it has parts of a hundredth, or is beyond ten
    /// thousand million.
    pub fn exactly(amount: f64) -> Option<Money> {
        let cents = amount * 100.0;
        let whole = cents.round();
        ((cents - whole).abs() < 1e-4 && whole.abs() <= 1e12).then_some(Money(whole as i64))
    }

    /// The nearest amount to a computed figure, halves away from zero.
    pub fn nearest(amount: f64) -> Money {
        Money((amount * 100.0).round() as i64)
    }

    /// So many times the amount, or a share of it: the one border at which an amount meets a computed figure,
    /// such as an hourly rate and hours. Rounded once, halves away from zero; a figure that is no number
    /// counts as none, and what is beyond the range stays at its end.
    #[must_use]
    pub fn times(self, factor: f64) -> Money {
        Money((self.0 as f64 * factor).round() as i64)
    }

    /// As a decimal number, for JSON.
    pub fn amount(self) -> f64 {
        self.0 as f64 / 100.0
    }
}

/// With two decimals, without the name of the coin.
impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let cents = self.0.unsigned_abs();
        f.pad(&format!("{sign}{}.{:02}", cents / 100, cents % 100))
    }
}

impl Add for Money {
    type Output = Money;
    fn add(self, other: Money) -> Money {
        Money(self.0.saturating_add(other.0))
    }
}

impl Sub for Money {
    type Output = Money;
    fn sub(self, other: Money) -> Money {
        Money(self.0.saturating_sub(other.0))
    }
}

impl Mul<i64> for Money {
    type Output = Money;
    fn mul(self, count: i64) -> Money {
        Money(self.0.saturating_mul(count))
    }
}

impl Sum for Money {
    fn sum<I: Iterator<Item = Money>>(amounts: I) -> Money {
        amounts.fold(Money::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn money_is_whole_hundredths() {
        assert_eq!(Money::exactly(18.35), Some(Money::from_cents(1835)));
        assert_eq!(Money::exactly(0.1 + 0.2), Some(Money::from_cents(30)));
        assert_eq!(Money::exactly(0.125), None);
        assert_eq!(Money::exactly(1e11), None);
        assert_eq!(Money::from_cents(-5).to_string(), "-0.05");
        assert_eq!(Money::nearest(0.125).cents(), 13);
        assert_eq!(Money::from_cents(4200).times(1.0 / 3.0).cents(), 1400);
        assert_eq!(Money::from_cents(-1).times(0.5).cents(), -1);
        assert_eq!(Money::from_cents(1).times(f64::NAN), Money::ZERO);
        assert_eq!((Money::from_cents(1999) * 3 - Money::from_cents(1)).to_string(), "59.96");
    }
}
