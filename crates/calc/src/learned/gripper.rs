//! How a gripper's pulls scatter, from measured shortfalls.

use super::estimate::recorded;
use crate::figure::BadFigure;
use crate::pull::Scatter;
use crate::sizes::summary::{Summary, exact};
use crate::spread::Spread;
use model::Length;
use model::quantity::Probability;

/// Bias and deviation of a gripper's pulls, each with the range in which it lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Repeatability {
    /// Mean shortfall; positive is short.
    pub bias: Spread<Length>,
    /// Standard deviation of a pull.
    pub deviation: Spread<Length>,
    /// Pulls that were measured.
    pub count: u32,
}

impl Repeatability {
    /// From the shortfalls of pulls.
    ///
    /// Mean with Student's interval, standard deviation with that of chi-square. None is set apart:
    /// the one pull that slipped is the very thing that loses a part.
    /// Valid: two pulls or more of one gripper on one stub.
    /// Source: [`crate::sizes::summary`].
    /// Held to: `handbook/learned.toml`.
    ///
    /// # Errors
    /// Fewer pulls, a confidence that is none.
    pub fn of(shortfalls: &[Length], confidence: Probability) -> Result<Repeatability, BadFigure> {
        Repeatability::within(exact(shortfalls)?, confidence)
    }

    /// From bias, deviation and count, as they were written down.
    ///
    /// # Errors
    /// As [`Repeatability::of`].
    pub fn recorded(
        bias: Length,
        deviation: Length,
        count: u32,
        confidence: Probability,
    ) -> Result<Repeatability, BadFigure> {
        let nm = |length: Length| length.nm() as f64;
        Repeatability::within(recorded(nm(bias), nm(deviation), count)?, confidence)
    }

    /// The summary is in nanometers.
    fn within(summary: Summary, confidence: Probability) -> Result<Repeatability, BadFigure> {
        let length = |nm: f64| Length::nearest_mm(nm / 1e6);
        Ok(Repeatability {
            bias: summary.mean_within(confidence)?.map(length),
            deviation: summary.deviation_within(confidence)?.map(length),
            count: summary.count,
        })
    }

    /// As the records have it.
    pub const fn likely(&self) -> Scatter {
        Scatter { bias: self.bias.nominal, deviation: self.deviation.nominal }
    }

    /// As bad as the records allow: with few of them much worse than likely.
    pub const fn unfavorable(&self) -> Scatter {
        Scatter { bias: self.bias.high, deviation: self.deviation.high }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn few_pulls_leave_more_open_than_many() {
        let um = [40, 55, 62, 48, 51, 70, 44, 58].map(Length::from_um);
        let sure = Probability::from_ratio(0.95);
        let few = Repeatability::of(&um[..4], sure).unwrap();
        let all = Repeatability::of(&um, sure).unwrap();
        assert_eq!(all.bias.nominal, Length::from_nm(53_500));
        assert!(few.unfavorable().deviation > all.unfavorable().deviation);
        assert!(all.likely().deviation < all.unfavorable().deviation);
        assert!(Repeatability::of(&um[..1], sure).is_err());
        // Written down and read again, it is the same to the nanometer of its deviation.
        let (bias, deviation) = (all.bias.nominal, all.deviation.nominal);
        let again = Repeatability::recorded(bias, deviation, all.count, sure).unwrap();
        assert!((again.bias.high - all.bias.high).abs() <= Length::from_nm(2));
        assert!((again.deviation.high - all.deviation.high).abs() <= Length::from_nm(4));
    }
}
