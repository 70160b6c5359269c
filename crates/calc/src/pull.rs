//! How surely a pull is long enough for a whole part.
//!
//! A pull that falls short by e leaves f − e of face stock; the part is lost only when e > f.
//! Each part-off sets a new front end, so that errors do not add up along the bar.

pub mod drag;

use model::Length;
use model::quantity::Probability;
use statrs::distribution::{ContinuousCDF, Normal};

/// How a gripper's pulls scatter: normally, about a mean shortfall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Scatter {
    /// Mean shortfall; positive is short.
    pub bias: Length,
    /// Standard deviation; zero or less means that every pull falls short by the same.
    pub deviation: Length,
}

impl Scatter {
    /// Chance that one pull is so short that the part is lost.
    ///
    /// `P(e > f)` for `e` normal with this mean and deviation; without deviation 1 where
    /// `bias > f`, else 0.
    /// Valid: any face stock.
    /// Source: the normal distribution.
    /// Held to: `handbook/pull.toml`.
    pub fn chance_of_loss(&self, face_stock: Length) -> Probability {
        let spare = face_stock - self.bias;
        Probability::from_ratio(match self.normal() {
            // The upper tail itself: 1 − (the rest) would lose every small chance.
            Some(normal) => normal.sf(spare.mm()),
            None => f64::from(u8::from(spare.is_negative())),
        })
    }

    /// Least face stock with which, over a bar of so many advances, the chance that any part is
    /// lost is at most `risk`. Rounded up to the micrometer; never negative.
    ///
    /// The inverse of [`Scatter::chance_of_loss`] at `P = 1 − (1 − risk)^(1/n)`; a bar without an
    /// advance is reckoned as one with a single advance.
    /// Valid: `0 < risk < 1`.
    /// Source: quantiles of the normal distribution.
    /// Held to: `handbook/pull.toml`.
    pub fn least_face_stock(&self, advances: u32, risk: Probability) -> Option<Length> {
        let risk = risk.ratio();
        if !(risk > 0.0 && risk < 1.0) {
            return None;
        }
        let Some(normal) = self.normal() else {
            return Some(up_to_micrometer(self.bias.nm()));
        };
        let one = -libm::expm1(libm::log1p(-risk) / f64::from(advances.max(1)));
        // The tail is symmetric: the small chance keeps its digits below, not above.
        let spare = -normal.inverse_cdf(one);
        let stock = self.bias + Length::from_nm((spare * 1e6).ceil() as i64);
        Some(up_to_micrometer(stock.nm()))
    }

    /// The scatter about its own mean, in millimeters; none without deviation.
    fn normal(&self) -> Option<Normal> {
        self.deviation.is_positive().then(|| Normal::new(0.0, self.deviation.mm()).ok()).flatten()
    }
}

fn up_to_micrometer(nm: i64) -> Length {
    Length::from_um(nm.max(0).saturating_add(999) / 1000)
}

/// Chance that something with chance `one` happens at least once in so many trials.
///
/// `1 − (1 − P)^n`.
/// Valid: `0 ≤ P ≤ 1`; figures outside count as the nearer end, no number at all as 1.
/// Source: independent trials.
/// Held to: `handbook/pull.toml`.
pub fn over_a_bar(one: Probability, advances: u32) -> Probability {
    let one = if one.ratio().is_nan() { 1.0 } else { one.ratio().clamp(0.0, 1.0) };
    Probability::from_ratio(if advances == 0 {
        0.0
    } else {
        -libm::expm1(f64::from(advances) * libm::log1p(-one))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn least_face_stock_is_enough_and_the_least(
            (bias, deviation) in (-500_i64..500, 0_i64..400),
            advances in 1_u32..400,
            exponent in -9.0_f64..-0.31,
        ) {
            let scatter =
                Scatter { bias: Length::from_um(bias), deviation: Length::from_um(deviation) };
            let risk = libm::pow(10.0, exponent);
            let least = scatter.least_face_stock(advances, Probability::from_ratio(risk)).unwrap();
            let at = |stock| over_a_bar(scatter.chance_of_loss(stock), advances).ratio();
            prop_assert!(at(least) <= risk * (1.0 + 1e-7), "{} > {risk}", at(least));
            let less = least - Length::from_um(1);
            prop_assert!(less.is_negative() || at(less) > risk * (1.0 - 1e-2));
        }
    }

    #[test]
    fn small_chances_keep_their_digits() {
        let scatter = Scatter { bias: Length::ZERO, deviation: Length::from_mm(1) };
        let chance = scatter.chance_of_loss(Length::from_mm(10)).ratio();
        // Computed with Python's math.erfc.
        assert!((chance / 7.619_853_024_160_6e-24 - 1.0).abs() < 1e-9, "{chance}");
        let over = over_a_bar(Probability::from_ratio(1e-18), 50).ratio();
        assert!((over / 5e-17 - 1.0).abs() < 1e-12, "{over}");
    }

    #[test]
    fn without_deviation_the_bias_alone_decides() {
        let scatter = Scatter { bias: Length::from_um(50), deviation: Length::ZERO };
        let risk = Probability::from_ratio(0.001);
        assert_eq!(scatter.least_face_stock(29, risk), Some(Length::from_um(50)));
        assert_eq!(scatter.chance_of_loss(Length::from_um(50)), Probability::from_ratio(0.0));
        assert_eq!(scatter.chance_of_loss(Length::from_um(49)), Probability::from_ratio(1.0));
    }

    #[test]
    fn odd_chances_have_an_answer() {
        let over = |one, advances| over_a_bar(Probability::from_ratio(one), advances);
        assert_eq!(over(1.0, 0), Probability::from_ratio(0.0));
        assert_eq!(over(1.0, 3), Probability::from_ratio(1.0));
        assert_eq!(over(f64::NAN, 3), Probability::from_ratio(1.0));
        let scatter = Scatter { bias: Length::ZERO, deviation: Length::from_mm(1) };
        for risk in [0.0, 1.0, -1.0, f64::NAN] {
            assert_eq!(scatter.least_face_stock(10, Probability::from_ratio(risk)), None);
        }
    }
}
