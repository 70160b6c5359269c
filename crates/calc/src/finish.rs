//! The marks that a round nose leaves when all else is perfect, and what to expect beside them.

use crate::OutOfRange;
use crate::cutting::{above_zero, finite};
use crate::spread::Spread;
use model::Length;
use model::quantity::{FeedPerRev, Roughness};

/// Feed and nose radius in mm, where the nose alone makes the surface: `0 < f ≤ 2r`.
fn nose(feed: FeedPerRev, nose: Length) -> Result<(f64, f64), OutOfRange> {
    let (feed, nose) = (above_zero(feed.mm())?, above_zero(nose.mm())?);
    if feed <= 2.0 * nose { Ok((feed, nose)) } else { Err(OutOfRange) }
}

const fn micrometers(mm: f64) -> Roughness {
    Roughness::from_um(mm * 1000.0)
}

/// Height of the marks by the textbook.
///
/// `Rt = f²/(8r)`.
/// Valid: `0 < f ≤ 2r`; low by 0.4 % at f = r/4, by half at f = 2r.
/// Source: El-Hofy, Fundamentals of Machining Processes; textbooks.
/// Held to: `handbook/finish.toml`.
///
/// # Errors
/// Figures outside of that.
pub fn rt_textbook(feed: FeedPerRev, radius: Length) -> Result<Roughness, OutOfRange> {
    let (feed, radius) = nose(feed, radius)?;
    Ok(micrometers(finite(feed * feed / (8.0 * radius))?))
}

/// Height of the marks, exactly.
///
/// `Rt = r − √(r² − f²/4)`, in the form `(f²/4)/(r + √(r² − f²/4))` that loses no figures.
/// Valid: `0 < f ≤ 2r`.
/// Source: plane geometry.
/// Held to: `handbook/finish.toml`.
///
/// # Errors
/// Figures outside of that.
pub fn rt_exact(feed: FeedPerRev, radius: Length) -> Result<Roughness, OutOfRange> {
    let (feed, radius) = nose(feed, radius)?;
    Ok(micrometers(height(feed / 2.0, radius)))
}

/// Height of an arc of this radius at this distance from its lowest point.
fn height(x: f64, radius: f64) -> f64 {
    let under = ((radius - x) * (radius + x)).max(0.0);
    x * x / (radius + libm::sqrt(under))
}

/// Mean roughness by the textbook.
///
/// `Ra = f²/(32r)`.
/// Valid: `0 < f ≤ 2r`; low by 2.6 % and more.
/// Source: textbooks; Machinery's Handbook, from memory.
/// Held to: `handbook/finish.toml`.
///
/// # Errors
/// Figures outside of that.
pub fn ra_textbook(feed: FeedPerRev, radius: Length) -> Result<Roughness, OutOfRange> {
    let (feed, radius) = nose(feed, radius)?;
    Ok(micrometers(finite(feed * feed / (32.0 * radius))?))
}

/// Mean roughness of the arcs, exactly.
///
/// The mean distance of `y = r − √(r² − x²)`, x from −f/2 to f/2, from its mean m: with
/// `y(c) = m`, `Ra = 4/f·(m·c − ∫₀ᶜ y dx)`. Where the arc is all but a parabola (`f < r/50`) its
/// limit `f²/(18·√3·r)`.
/// Valid: `0 < f ≤ 2r`.
/// Source: the definition of Ra, ISO 4287 (from memory); numerical integration agrees.
/// Held to: `handbook/finish.toml`.
///
/// # Errors
/// Figures outside of that.
pub fn ra_exact(feed: FeedPerRev, radius: Length) -> Result<Roughness, OutOfRange> {
    let (feed, radius) = nose(feed, radius)?;
    Ok(micrometers(ra_mm(feed, radius)))
}

fn ra_mm(feed: f64, radius: f64) -> f64 {
    if feed < radius / 50.0 {
        return feed * feed / (18.0 * libm::sqrt(3.0) * radius);
    }
    // ∫₀ˣ y dx for a radius of 1.
    let area = |x: f64| x - 0.5 * (x * libm::sqrt((1.0 - x * x).max(0.0)) + libm::asin(x.min(1.0)));
    let half = (feed / (2.0 * radius)).min(1.0);
    let mean = area(half) / half;
    let crossing = libm::sqrt((mean * (2.0 - mean)).max(0.0));
    radius * 2.0 / half * (mean * crossing - area(crossing))
}

/// Mean roughness that a good edge really leaves.
///
/// From the exact ideal to twice that, nominally 1.3 times: edges wear, chips tear. Built-up edges
/// and chatter leave more than this range.
/// Valid: as [`ra_exact`].
/// Source: common practice; a textbook's chart goes from 1 to about 2.4, from memory.
/// Held to: `handbook/finish.toml`.
///
/// # Errors
/// As [`ra_exact`].
pub fn expected_ra(feed: FeedPerRev, radius: Length) -> Result<Spread<Roughness>, OutOfRange> {
    let ideal = ra_exact(feed, radius)?.um();
    let ratio = Spread { low: 1.0, nominal: 1.3, high: 2.0 };
    Ok(Spread::exact(ideal).times(ratio).map(Roughness::from_um))
}

/// Highest feed for a mean roughness, by the textbook.
///
/// `f = √(32·r·Ra)`.
/// Valid: figures above zero, and the feed found at most 2r.
/// Source: [`ra_textbook`] turned round.
/// Held to: `handbook/finish.toml`.
///
/// # Errors
/// Figures outside of that.
pub fn feed_for_textbook(ra: Roughness, radius: Length) -> Result<FeedPerRev, OutOfRange> {
    let (ra, radius) = (above_zero(ra.um() / 1000.0)?, above_zero(radius.mm())?);
    let feed = libm::sqrt(32.0 * radius * ra);
    if feed <= 2.0 * radius { Ok(FeedPerRev::from_mm(feed)) } else { Err(OutOfRange) }
}

/// Highest feed for a mean roughness, by the exact arcs.
///
/// [`ra_exact`] solved by halving; where even `f = 2r` is fine enough, that.
/// Valid: figures above zero.
/// Source: [`ra_exact`].
/// Held to: `handbook/finish.toml`.
///
/// # Errors
/// A figure that is not above zero.
pub fn feed_for(ra: Roughness, radius: Length) -> Result<FeedPerRev, OutOfRange> {
    let (ra, radius) = (above_zero(ra.um() / 1000.0)?, above_zero(radius.mm())?);
    let fine = |feed: f64| ra_mm(feed, radius) <= ra;
    let (mut low, mut high) = (0.0, 2.0 * radius);
    if fine(high) {
        return Ok(FeedPerRev::from_mm(high));
    }
    for _ in 0..100 {
        let middle = f64::midpoint(low, high);
        if fine(middle) { low = middle } else { high = middle }
    }
    Ok(FeedPerRev::from_mm(low))
}

/// Smallest nose radius for a mean roughness at a feed, by the textbook.
///
/// `r = f²/(32·Ra)`, at least f/2.
/// Valid: figures above zero.
/// Source: [`ra_textbook`] turned round.
/// Held to: `handbook/finish.toml`.
///
/// # Errors
/// A figure that is not above zero.
pub fn radius_for(ra: Roughness, feed: FeedPerRev) -> Result<Length, OutOfRange> {
    let (ra, feed) = (above_zero(ra.um() / 1000.0)?, above_zero(feed.mm())?);
    Ok(Length::nearest_mm(finite((feed * feed / (32.0 * ra)).max(feed / 2.0))?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn more_feed_is_rougher_and_a_larger_nose_finer(
            (radius, share, more) in (0.05_f64..3.0, 0.001_f64..1.9, 1.001_f64..1.05),
        ) {
            let length = Length::nearest_mm(radius);
            let feed = FeedPerRev::from_mm(share * length.mm());
            let coarser = FeedPerRev::from_mm(feed.mm() * more);
            let larger = Length::nearest_mm(radius * more);
            for rough in [ra_exact, ra_textbook, rt_exact, rt_textbook] {
                prop_assert!(rough(coarser, length).unwrap() > rough(feed, length).unwrap());
                prop_assert!(rough(feed, larger).unwrap() < rough(feed, length).unwrap());
            }
            // The textbook is on the fine side, and Ra below Rt.
            prop_assert!(ra_textbook(feed, length).unwrap() < ra_exact(feed, length).unwrap());
            prop_assert!(rt_textbook(feed, length).unwrap() <= rt_exact(feed, length).unwrap());
            prop_assert!(ra_exact(feed, length).unwrap() < rt_exact(feed, length).unwrap());
            // What the limit allows is just fine enough.
            let back = feed_for(ra_exact(feed, length).unwrap(), length).unwrap();
            prop_assert!((back.mm() - feed.mm()).abs() <= 1e-6 * feed.mm(), "{back} {feed}");
        }
    }

    #[test]
    fn a_feed_beyond_the_nose_is_refused() {
        let (feed, nose) = (FeedPerRev::from_mm(0.81), Length::nearest_mm(0.4));
        assert_eq!(ra_exact(feed, nose), Err(OutOfRange));
        assert_eq!(rt_exact(feed, nose), Err(OutOfRange));
        assert_eq!(expected_ra(feed, nose), Err(OutOfRange));
        assert_eq!(
            feed_for(Roughness::from_um(1000.0), nose),
            Ok(FeedPerRev::from_mm(2.0 * nose.mm()))
        );
    }
}
