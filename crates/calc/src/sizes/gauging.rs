//! How many parts may be made before the next one must be gauged.

use super::series::Band;
use super::trend::Trend;
use crate::figure::BadFigure;
use model::quantity::{Probability, Seconds};

/// How long one may go without gauging: what `gauge_within` under `[walk_away]` of a job asks for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GaugeLimit {
    /// Parts that may be made after the last one gauged; the next is to be gauged.
    pub parts: u32,
    /// Chance that any of them lies outside of its limits, at most.
    pub chance: Probability,
    /// Whether it is the drift that sets it; else it is the most that was asked for.
    pub by_drift: bool,
}

impl GaugeLimit {
    /// When it is reached, at so much time for each part.
    pub fn after(&self, each: Seconds) -> Seconds {
        each * f64::from(self.parts)
    }
}

/// Most parts that are looked ahead.
pub const FARTHEST: u32 = 100_000;

/// How many parts may be made after the part `last`, so that with at most the chance `risk` any of
/// them lies outside of its limits.
///
/// The chances of the single parts ([`Trend::chance_outside`]) added up, which is never less than
/// the chance that any of them is outside. At most `most` parts, and never more than [`FARTHEST`].
/// Valid: as [`Trend::size_of`]; a sudden change, a broken edge or a chip, is not in it.
/// Source: Boole's inequality.
/// Held to: simulation in `sizes/simulated.rs`.
///
/// # Errors
/// A risk outside of 0 to 1.
pub fn until_limit(
    trend: &Trend,
    band: Band,
    last: u32,
    risk: Probability,
    most: u32,
) -> Result<GaugeLimit, BadFigure> {
    let risk = risk.ratio();
    if !(risk > 0.0 && risk < 1.0) {
        return Err(BadFigure { what: "risk", must: "between 0 and 1" });
    }
    let most = most.min(FARTHEST);
    let mut sum = 0.0;
    for parts in 0..most {
        let next = trend.chance_outside(last.saturating_add(parts + 1), band).ratio();
        if sum + next > risk {
            let chance = Probability::from_ratio(sum);
            return Ok(GaugeLimit { parts, chance, by_drift: true });
        }
        sum += next;
    }
    Ok(GaugeLimit { parts: most, chance: Probability::from_ratio(sum), by_drift: false })
}
