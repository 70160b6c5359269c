//! How surely a pull is long enough for a whole part.
//!
//! A pull that falls short by e leaves f − e of face stock; the part is lost only when e > f.
//! Each part-off sets a new front end, so that errors do not add up along the bar.

use model::Length;
use model::quantity::Probability;
use statrs::distribution::{ContinuousCDF, Normal};

/// How a gripper's pulls scatter: normally, about a mean shortfall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Scatter {
    /// Mean shortfall; positive is short.
    pub bias: Length,
    /// Standard deviation, zero or more.
    pub deviation: Length,
}

impl Scatter {
    /// Chance that one pull is so short that the part is lost.
    ///
    /// P(e > f) for e normal. Valid: any face stock. Source: normal distribution.
    /// Held to: handbook/pull.toml.
    pub fn chance_of_loss(&self, face_stock: Length) -> Probability {
        let over = (face_stock - self.bias).mm();
        let deviation = self.deviation.mm();
        if deviation <= 0.0 {
            return Probability::from_ratio(if over < 0.0 { 1.0 } else { 0.0 });
        }
        Probability::from_ratio(standard().map_or(1.0, |normal| normal.sf(over / deviation)))
    }

    /// Least face stock with which, over a bar of so many advances, the chance that any part is
    /// lost is at most `risk`. Rounded up to the micrometer; never negative.
    ///
    /// Valid: 0 < risk < 1, else none. Source: inverse of [`Scatter::chance_of_loss`].
    /// Held to: handbook/pull.toml.
    pub fn least_face_stock(&self, advances: u32, risk: Probability) -> Option<Length> {
        let risk = risk.ratio();
        if !(risk > 0.0 && risk < 1.0) {
            return None;
        }
        // The chance for one pull, from 1 − (1 − P)^n = risk, without losing small figures.
        let one = -libm::expm1(libm::log1p(-risk) / f64::from(advances.max(1)));
        let deviations = -standard()?.inverse_cdf(one);
        let stock = self.bias.mm() + deviations * self.deviation.mm();
        let um = (stock * 1000.0 - 1e-9).ceil().max(0.0);
        Some(Length::from_um(um as i64))
    }
}

/// Chance that something with chance `one` happens at least once in so many trials.
///
/// 1 − (1 − P)^n. Valid: 0 ≤ P ≤ 1. Source: independent trials. Held to: handbook/pull.toml.
pub fn over_a_bar(one: Probability, advances: u32) -> Probability {
    let one = one.ratio().clamp(0.0, 1.0);
    Probability::from_ratio(-libm::expm1(f64::from(advances) * libm::log1p(-one)))
}

fn standard() -> Option<Normal> {
    Normal::new(0.0, 1.0).ok()
}
