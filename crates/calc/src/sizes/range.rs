//! The constants of control charts, from the distribution of the range of so many readings.
//!
//! The range of n readings that scatter normally with deviation 1 has the density
//! `n·(n − 1)·∫ φ(x)·φ(x + r)·[Φ(x + r) − Φ(x)]ⁿ⁻² dx`; d2 is its mean, d3 its standard deviation.
//! Both are integrated here; the published tables round them.

use crate::figure::BadFigure;
use libm::{erfc, exp, lgamma, pow};
use std::f64::consts::{PI, SQRT_2};
use std::sync::LazyLock;

/// Constants for groups of one size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Constants {
    /// Readings in a group.
    pub group: u32,
    /// Mean of the range, in standard deviations.
    pub d2: f64,
    /// Standard deviation of the range, in standard deviations.
    pub d3: f64,
    /// Mean of the sample standard deviation, in standard deviations.
    pub c4: f64,
}

/// Largest group that a chart takes; the published tables end there.
pub const LARGEST_GROUP: u32 = 25;

static TABLE: LazyLock<Vec<Constants>> =
    LazyLock::new(|| (2..=LARGEST_GROUP).map(integrated).collect());

impl Constants {
    /// The constants for groups of 2 to [`LARGEST_GROUP`] readings.
    ///
    /// Source: the distribution of the range, integrated to seven digits.
    /// Held to: `handbook/sizes.toml` (ASTM E2587 and textbook tables).
    ///
    /// # Errors
    /// A group of another size.
    pub fn of(group: u32) -> Result<Constants, BadFigure> {
        let at = group.checked_sub(2).and_then(|at| TABLE.get(at as usize));
        at.copied().ok_or(BadFigure { what: "readings in a group", must: "from 2 to 25" })
    }

    /// From the mean range to the limits of the means: `3 / (d2·√n)`, called A2.
    pub fn a2(&self) -> f64 {
        3.0 / (self.d2 * f64::from(self.group).sqrt())
    }

    /// From the mean range to the lower limit of the ranges: `1 − 3·d3/d2`, not below zero, called D3.
    pub fn range_low(&self) -> f64 {
        (1.0 - 3.0 * self.d3 / self.d2).max(0.0)
    }

    /// From the mean range to the upper limit of the ranges: `1 + 3·d3/d2`, called D4.
    pub fn range_high(&self) -> f64 {
        1.0 + 3.0 * self.d3 / self.d2
    }

    /// From the mean moving range to the limits of single readings: `3 / d2`, called E2.
    pub fn e2(&self) -> f64 {
        3.0 / self.d2
    }
}

/// Step of the integrals; both are sums over a smooth bell, which are good far beyond its square.
const STEP: f64 = 0.04;
/// The bell is nothing beyond this.
const FAR: f64 = 9.0;

fn integrated(group: u32) -> Constants {
    let cells = (2.0 * FAR / STEP) as usize;
    let x = |cell: usize| cell as f64 * STEP - FAR;
    let bell: Vec<f64> =
        (0..=cells).map(|it| exp(-x(it) * x(it) / 2.0) / (2.0 * PI).sqrt()).collect();
    let below: Vec<f64> = (0..=cells).map(|it| erfc(-x(it) / SQRT_2) / 2.0).collect();
    let many = f64::from(group);
    let density = |range: usize| {
        let at = |low: usize| {
            let between = below[low + range] - below[low];
            bell[low] * bell[low + range] * pow(between, many - 2.0)
        };
        many * (many - 1.0) * STEP * (0..=cells - range).map(at).sum::<f64>()
    };
    // Simpson's rule over the range from zero: the density does not begin smoothly there.
    let (mut first, mut second) = (0.0, 0.0);
    for range in 0..=cells {
        let weight = match range {
            0 => 1.0,
            _ if range == cells => 1.0,
            _ if range % 2 == 1 => 4.0,
            _ => 2.0,
        };
        let (wide, mass) = (range as f64 * STEP, weight * STEP / 3.0 * density(range));
        first += mass * wide;
        second += mass * wide * wide;
    }
    let c4 = (2.0 / (many - 1.0)).sqrt() * exp(lgamma(many / 2.0) - lgamma((many - 1.0) / 2.0));
    Constants { group, d2: first, d3: (second - first * first).sqrt(), c4 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_and_three_readings_have_closed_forms() {
        // d2 = 2/√π and 3/√π; the variance of the range of two is 2 − 4/π.
        let two = Constants::of(2).unwrap();
        assert!((two.d2 - 2.0 / PI.sqrt()).abs() < 1e-7, "{two:?}");
        assert!((two.d3 * two.d3 - (2.0 - 4.0 / PI)).abs() < 1e-7);
        assert!((two.c4 - (2.0 / PI).sqrt()).abs() < 1e-12);
        let three = Constants::of(3).unwrap();
        assert!((three.d2 - 3.0 / PI.sqrt()).abs() < 1e-7);
        // E R² of three is 2 + 3√3/π, Tippett's closed form.
        let second = three.d3 * three.d3 + three.d2 * three.d2;
        assert!((second - (2.0 + 3.0 * 3.0_f64.sqrt() / PI)).abs() < 1e-7, "{second}");
    }

    #[test]
    fn groups_outside_of_the_tables_are_refused() {
        for group in [0, 1, 26, u32::MAX] {
            assert!(Constants::of(group).is_err());
        }
    }
}
