//! Power by the handbook's unit power: a second opinion beside Kienzle's force.

use super::{above_zero, finite};
use crate::OutOfRange;
use model::quantity::{FeedPerRev, Power, RemovalRate, SpecificForce};

/// By what factor the two opinions may differ before both are shown. Common practice, no source:
/// each is good for a fifth or so.
pub const SHOWN_ABOVE: f64 = 1.3;

/// What the feed does to the unit power, which is printed for 0.012 in/rev.
///
/// `C = (0.3048/f)^0.2`, f in mm/rev.
/// Valid: 0.02 to 1.5 mm/rev; the table's figures are met within 0.02; below 0.1 mm/rev the law
/// lies up to 0.045 above them.
/// Source: fitted to Machinery's Handbook, feed factors, from memory; its 28th edition, found as
/// restated in a public script, agrees.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// A feed outside of that.
pub fn feed_factor(feed: FeedPerRev) -> Result<f64, OutOfRange> {
    let feed = feed.mm();
    if !(0.02..=1.5).contains(&feed) {
        return Err(OutOfRange);
    }
    Ok(libm::pow(0.3048 / feed, 0.2))
}

/// Power at the cut.
///
/// `P = Kp·C·Q·W`: Kp unit power with a sharp edge, C feed factor, Q removal rate, W wear factor.
/// 1 hp/(in³/min) is 2.7303239 J/mm³.
/// Valid: figures above zero; the rate at or above zero.
/// Source: Machinery's Handbook, 31st ed., machining power.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// A figure outside of that.
pub fn power(
    sharp: SpecificForce,
    rate: RemovalRate,
    feed: f64,
    wear: f64,
) -> Result<Power, OutOfRange> {
    let per_volume =
        above_zero(sharp.n_per_mm2() / 1000.0)? * above_zero(feed)? * above_zero(wear)?;
    let rate = rate.cm3_per_min() * 1000.0 / 60.0;
    if rate >= 0.0 { Ok(Power::from_w(finite(per_volume * rate)?)) } else { Err(OutOfRange) }
}

/// By what factor the larger of two opinions is the larger; at least 1.
///
/// Valid: both above zero.
/// Source: the definition of a ratio.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// A figure that is not above zero.
pub fn apart(one: Power, other: Power) -> Result<f64, OutOfRange> {
    let (one, other) = (above_zero(one.w())?, above_zero(other.w())?);
    finite(one.max(other) / one.min(other))
}
