//! Count, mean and spread of numbers and of sizes.

use crate::figure::{BadFigure, finite, within_floats};
use crate::spread::Spread;
use model::Length;
use model::quantity::Probability;
use statrs::distribution::{ChiSquared, ContinuousCDF, StudentsT};

/// Mean and standard deviation of numbers, in the numbers' own unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// How many there are.
    pub count: u32,
    /// Their mean.
    pub mean: f64,
    /// Their standard deviation, over `count − 1`.
    pub deviation: f64,
}

/// Mean and standard deviation of sizes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SizeSummary {
    /// How many there are.
    pub count: u32,
    /// Their mean, to the nanometer.
    pub mean: Length,
    /// Their standard deviation, over `count − 1`, to the nanometer.
    pub deviation: Length,
}

/// Most numbers that one summary takes; the exact sums stay within whole numbers up to there.
pub const MOST: usize = 1_000_000;

impl Summary {
    /// The summary of numbers.
    ///
    /// In two passes, the second with the correction for the rounding of the mean.
    /// Valid: 2 to [`MOST`] finite numbers.
    /// Source: Chan, Golub, `LeVeque`, "Algorithms for computing the sample variance" (1983), from
    /// memory.
    /// Held to: `handbook/sizes.toml` (the reference sets of NIST).
    ///
    /// # Errors
    /// Fewer, more, or such as are not finite.
    pub fn of(numbers: &[f64]) -> Result<Summary, BadFigure> {
        let count = counted(numbers.len())?;
        let first = finite(numbers[0], "first number")?;
        // About the first number, so that a large common part costs no digits.
        let rough = numbers.iter().map(|it| it - first).sum::<f64>() / f64::from(count);
        let off = |number: &f64| (number - first) - rough;
        let rest = numbers.iter().map(off).sum::<f64>() / f64::from(count);
        let squares: f64 = numbers.iter().map(|it| (off(it) - rest) * (off(it) - rest)).sum();
        let deviation = (squares / f64::from(count - 1)).sqrt();
        let mean = within_floats(first + (rough + rest), "mean")?;
        Ok(Summary { count, mean, deviation: within_floats(deviation, "standard deviation")? })
    }

    /// Between which ends the mean of all such numbers lies, with this confidence.
    ///
    /// `mean ± t · deviation / √count`, t of Student's distribution.
    /// Valid: numbers that scatter normally; confidence between 0 and 1.
    /// Source: Student's distribution; NIST/SEMATECH handbook 1.3.5.2, from memory.
    /// Held to: `handbook/sizes.toml`.
    ///
    /// # Errors
    /// Another confidence.
    pub fn mean_within(&self, confidence: Probability) -> Result<Spread<f64>, BadFigure> {
        let t = student(self.count - 1, tails(confidence)?)?;
        let off = t * self.deviation / f64::from(self.count).sqrt();
        Ok(Spread { low: self.mean - off, nominal: self.mean, high: self.mean + off })
    }

    /// Between which ends the next such number lies, with this confidence.
    ///
    /// `mean ± t · deviation · √(1 + 1/count)`, t of Student's distribution.
    /// Valid: as [`Summary::mean_within`].
    /// Source: prediction from a normal sample; Hahn and Meeker, "Statistical intervals", from memory.
    /// Held to: `handbook/sizes.toml` (scipy), and simulation here.
    ///
    /// # Errors
    /// Another confidence.
    pub fn next_within(&self, confidence: Probability) -> Result<Spread<f64>, BadFigure> {
        let t = student(self.count - 1, tails(confidence)?)?;
        let off = t * self.deviation * (1.0 + 1.0 / f64::from(self.count)).sqrt();
        Ok(Spread { low: self.mean - off, nominal: self.mean, high: self.mean + off })
    }

    /// Between which ends the standard deviation of all such numbers lies, with this confidence.
    ///
    /// `deviation · √(ν / χ²)` with ν = count − 1 degrees of freedom.
    /// Valid: numbers that scatter normally; confidence between 0 and 1.
    /// Source: the chi-square distribution; NIST/SEMATECH handbook 1.3.5.8, from memory.
    /// Held to: `handbook/sizes.toml`.
    ///
    /// # Errors
    /// Another confidence.
    pub fn deviation_within(&self, confidence: Probability) -> Result<Spread<f64>, BadFigure> {
        let (low, high) = chi_square(self.count - 1, tails(confidence)?)?;
        let freedom = f64::from(self.count - 1);
        let end = |quantile: f64| self.deviation * (freedom / quantile).sqrt();
        Ok(Spread { low: end(high), nominal: self.deviation, high: end(low) })
    }
}

impl SizeSummary {
    /// The summary of sizes, from exact sums of whole nanometers.
    ///
    /// `√((n·Σx² − (Σx)²) / (n·(n − 1)))`, all of it whole up to the division.
    /// Valid: 2 to [`MOST`] sizes that differ by less than twice [`Length::LIMIT`].
    /// Source: arithmetic.
    /// Held to: `handbook/sizes.toml` (the reference sets of NIST).
    ///
    /// # Errors
    /// Fewer, more, or farther apart.
    pub fn of(sizes: &[Length]) -> Result<SizeSummary, BadFigure> {
        let exact = exact(sizes)?;
        Ok(SizeSummary {
            count: exact.count,
            mean: Length::nearest_mm(exact.mean / 1e6),
            deviation: Length::nearest_mm(exact.deviation / 1e6),
        })
    }
}

/// The summary of sizes in nanometers, before it is rounded to whole ones.
pub(crate) fn exact(sizes: &[Length]) -> Result<Summary, BadFigure> {
    let count = counted(sizes.len())?;
    let first = sizes[0];
    let (mut sum, mut squares) = (0_i128, 0_i128);
    for size in sizes {
        let off = i128::from(size.nm()) - i128::from(first.nm());
        if off.abs() > 2 * i128::from(Length::LIMIT.nm()) {
            return Err(BadFigure { what: "sizes", must: "within 2000 m of each other" });
        }
        sum += off;
        squares += off * off;
    }
    let many = i128::from(count);
    let spread = many * squares - sum * sum;
    let freedom = f64::from(count) * f64::from(count - 1);
    let mean = first.nm() as f64 + sum as f64 / f64::from(count);
    Ok(Summary { count, mean, deviation: (spread as f64 / freedom).sqrt() })
}

/// How much each number hangs on the one before it: −1 to 1, near zero where it does not.
///
/// `Σ (x₍ᵢ₎ − x̄)(x₍ᵢ₊₁₎ − x̄) / Σ (x₍ᵢ₎ − x̄)²`, the lag-1 autocorrelation; none where all are the same.
/// A chart takes readings for independent; beyond `2/√n` they are not.
/// Valid: as [`Summary::of`].
/// Source: NIST/SEMATECH handbook 1.3.5.12, from memory.
/// Held to: `handbook/sizes.toml` (the reference sets of NIST).
///
/// # Errors
/// As [`Summary::of`].
pub fn hanging_together(numbers: &[f64]) -> Result<Option<f64>, BadFigure> {
    let mean = Summary::of(numbers)?.mean;
    let squares: f64 = numbers.iter().map(|it| (it - mean) * (it - mean)).sum();
    let products: f64 = numbers.windows(2).map(|it| (it[0] - mean) * (it[1] - mean)).sum();
    Ok((squares > 0.0).then(|| products / squares))
}

fn counted(count: usize) -> Result<u32, BadFigure> {
    if (2..=MOST).contains(&count) {
        Ok(count as u32)
    } else {
        Err(BadFigure { what: "count of readings", must: "from 2 to a million" })
    }
}

/// The share beyond each end of an interval.
pub(crate) fn tails(confidence: Probability) -> Result<f64, BadFigure> {
    let inside = confidence.ratio();
    if inside > 0.0 && inside < 1.0 {
        Ok((1.0 - inside) / 2.0)
    } else {
        Err(BadFigure { what: "confidence", must: "between 0 and 1" })
    }
}

/// What Student's distribution exceeds with this chance.
pub(crate) fn student(freedom: u32, tail: f64) -> Result<f64, BadFigure> {
    let law = StudentsT::new(0.0, 1.0, f64::from(freedom)).map_err(|_| few())?;
    Ok(-law.inverse_cdf(tail))
}

/// What chi-square falls below, and what it exceeds, with this chance each.
pub(crate) fn chi_square(freedom: u32, tail: f64) -> Result<(f64, f64), BadFigure> {
    let law = ChiSquared::new(f64::from(freedom)).map_err(|_| few())?;
    Ok((law.inverse_cdf(tail), law.inverse_cdf(1.0 - tail)))
}

/// What chi-square of one degree of freedom stays below with this chance.
pub(crate) fn chi_square_above(confidence: Probability) -> Result<f64, BadFigure> {
    let law = ChiSquared::new(1.0).map_err(|_| few())?;
    Ok(law.inverse_cdf(1.0 - 2.0 * tails(confidence)?))
}

fn few() -> BadFigure {
    BadFigure { what: "count of readings", must: "larger" }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn exact_and_floating_sums_agree(sizes in prop::collection::vec(-5_000_000_i64..5_000_000, 2..60)) {
            let lengths: Vec<Length> =
                sizes.iter().map(|um| Length::from_nm(25_000_000_000 + um)).collect();
            let numbers: Vec<f64> = lengths.iter().map(|it| it.nm() as f64).collect();
            let (exact, floating) = (exact(&lengths).unwrap(), Summary::of(&numbers).unwrap());
            prop_assert!((exact.mean / floating.mean - 1.0).abs() < 1e-15);
            prop_assert!((exact.deviation - floating.deviation).abs() <= 1e-9 * exact.deviation);
        }

        #[test]
        fn no_sizes_make_it_panic(sizes in prop::collection::vec(any::<i64>(), 0..8)) {
            let lengths: Vec<Length> = sizes.into_iter().map(Length::from_nm).collect();
            let _ = SizeSummary::of(&lengths);
        }
    }

    #[test]
    fn the_next_number_lies_where_it_is_told_as_often_as_is_told() {
        let mut noise = super::super::noise::Noise::new(5);
        let (runs, sure) = (4000, Probability::from_ratio(0.9));
        let mut inside = 0;
        for _ in 0..runs {
            let numbers: Vec<f64> = (0..6).map(|_| 3.0 + 0.2 * noise.normal()).collect();
            let told = Summary::of(&numbers).unwrap().next_within(sure).unwrap();
            let next = 3.0 + 0.2 * noise.normal();
            inside += u32::from(told.low <= next && next <= told.high);
        }
        let share = f64::from(inside) / f64::from(runs);
        assert!((share - 0.9).abs() < 0.016, "{share}");
    }

    #[test]
    fn what_has_no_spread_or_count_is_said() {
        assert!(Summary::of(&[1.0]).is_err() && Summary::of(&[1.0, f64::NAN]).is_err());
        assert_eq!(hanging_together(&[3.0, 3.0, 3.0]), Ok(None));
        let same = Summary::of(&[3.0, 3.0]).unwrap();
        assert!(same.deviation.abs() < 1e-300);
        assert!(same.mean_within(Probability::from_ratio(1.0)).is_err());
    }
}
