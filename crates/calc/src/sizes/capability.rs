//! How well the sizes fit their limits.

use super::series::Band;
use super::summary::{chi_square, tails};
use crate::figure::{BadFigure, positive};
use crate::spread::Spread;
use model::Length;
use model::quantity::Probability;
use statrs::distribution::{ContinuousCDF, Normal};

/// How well sizes fit their limits, with the range in which each figure may lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Capability {
    /// Width of the limits over six deviations; none where one side is open.
    pub cp: Option<Spread<f64>>,
    /// From the mean to the nearer limit, over three deviations.
    pub cpk: Spread<f64>,
    /// Share of parts outside of their limits, if sizes scatter normally.
    pub outside: Probability,
}

/// Capability of sizes with this mean and standard deviation, from so many readings.
///
/// `Cp = (most − least) / 6s`, `Cpk = min(most − mean, mean − least) / 3s`. Of Cp the interval is
/// exact, `Cp·√(χ²/ν)` with ν = count − 1; of Cpk it is Bissell's,
/// `Cpk ± z·√(1/(9n) + Cpk²/(2(n − 1)))`.
/// Valid: sizes that scatter normally and neither drift nor hang together, deviation over all of
/// them (`count − 1`). With the deviation from a chart's ranges the figures are those of the short
/// term, and the intervals are too narrow. Bissell's misses by some percent below 30 readings.
/// Source: NIST/SEMATECH handbook 6.1.6, and Bissell 1990, both from memory.
/// Held to: `handbook/sizes.toml` (scipy); simulation in `sizes/simulated.rs`.
///
/// # Errors
/// Fewer than two readings, no deviation, a confidence that is none.
pub fn capability(
    (mean, deviation): (Length, Length),
    count: u32,
    band: Band,
    confidence: Probability,
) -> Result<Capability, BadFigure> {
    let sigma = positive(deviation.mm(), "deviation")?;
    if count < 2 {
        return Err(BadFigure { what: "count of readings", must: "two or more" });
    }
    let tail = tails(confidence)?;
    let (freedom, many) = (f64::from(count - 1), f64::from(count));
    let above = band.most().map(|most| (most - mean).mm());
    let below = band.least().map(|least| (mean - least).mm());
    let nearer = above.into_iter().chain(below).fold(f64::INFINITY, f64::min);
    let cpk = nearer / (3.0 * sigma);
    let normal = Normal::standard();
    let off = -normal.inverse_cdf(tail) * (1.0 / (9.0 * many) + cpk * cpk / (2.0 * freedom)).sqrt();
    let cp = match above.zip(below) {
        Some((above, below)) => {
            let (low, high) = chi_square(count - 1, tail)?;
            let cp = (above + below) / (6.0 * sigma);
            let end = |quantile: f64| cp * (quantile / freedom).sqrt();
            Some(Spread { low: end(low), nominal: cp, high: end(high) })
        }
        None => None,
    };
    let beyond = |side: Option<f64>| side.map_or(0.0, |side| normal.sf(side / sigma));
    Ok(Capability {
        cp,
        cpk: Spread { low: cpk - off, nominal: cpk, high: cpk + off },
        outside: Probability::from_ratio((beyond(above) + beyond(below)).min(1.0)),
    })
}
