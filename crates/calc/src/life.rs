//! How long an edge lasts, and what that means for speed, cost and bar changes.
//!
//! Wear at the end of life as ISO 3685 has it: a wear land of 0.3 mm where it is even, 0.6 mm where
//! it is not (from memory). Two edges of one box differ by a factor, so every life is a range.

mod change;
mod drift;
mod economy;

pub use change::{Change, MOST_CHANGES, change_plan, edges_for, parts_per_edge};
pub use drift::{WORN_LAND, size_drift};
pub use economy::{Edge, Part, cheapest_life, fastest_life, part_cost, part_time};

use crate::OutOfRange;
use crate::cutting::{above_zero, finite};
use crate::spread::Spread;
use model::Length;
use model::files::material::EdgeLife;
use model::quantity::{FeedPerRev, Probability, Seconds, SurfaceSpeed};
use statrs::distribution::{ContinuousCDF, Normal};

/// Taylor's law `v·T^n = C` of one pair of tool and material.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Taylor {
    /// The exponent n.
    pub n: f64,
    /// The speed at which an edge lasts one minute.
    pub one_minute: SurfaceSpeed,
}

impl Taylor {
    /// The law, where both figures are above zero and n at most 1.5.
    ///
    /// # Errors
    /// A figure outside of that.
    pub fn new(n: f64, one_minute: SurfaceSpeed) -> Result<Taylor, OutOfRange> {
        above_zero(one_minute.m_per_min())?;
        if above_zero(n)? <= 1.5 { Ok(Taylor { n, one_minute }) } else { Err(OutOfRange) }
    }

    /// The law through two known lives.
    ///
    /// `n = ln(v1/v2) / ln(T2/T1)`, `C = v1·T1^n`, T in minutes.
    /// Valid: two speeds and lives above zero, the higher speed with the shorter life.
    /// Source: Taylor 1907; textbooks.
    /// Held to: `handbook/life.toml`.
    ///
    /// # Errors
    /// Figures outside of that.
    pub fn through(
        one: (SurfaceSpeed, Seconds),
        other: (SurfaceSpeed, Seconds),
    ) -> Result<Taylor, OutOfRange> {
        let speeds = above_zero(one.0.m_per_min())? / above_zero(other.0.m_per_min())?;
        let lives = above_zero(other.1.s())? / above_zero(one.1.s())?;
        let n = finite(libm::log(speeds) / libm::log(lives))?;
        let constant = one.0.m_per_min() * libm::pow(one.1.s() / 60.0, n);
        Taylor::new(n, SurfaceSpeed::from_m_per_min(finite(constant)?))
    }

    /// How long an edge lasts at a speed.
    ///
    /// `T = (C/v)^(1/n)` minutes.
    /// Valid: speeds above zero.
    /// Source: Taylor 1907; textbooks.
    /// Held to: `handbook/life.toml`.
    ///
    /// # Errors
    /// A speed that is not above zero, or a life too long or short for any number.
    pub fn life(&self, speed: SurfaceSpeed) -> Result<Seconds, OutOfRange> {
        let ratio = self.one_minute.m_per_min() / above_zero(speed.m_per_min())?;
        Ok(Seconds::from_s(above_zero(60.0 * libm::pow(ratio, 1.0 / self.n))?))
    }

    /// The speed at which an edge lasts so long.
    ///
    /// `v = C / T^n`, T in minutes.
    /// Valid: lives above zero.
    /// Source: Taylor 1907; textbooks.
    /// Held to: `handbook/life.toml`.
    ///
    /// # Errors
    /// A life that is not above zero.
    pub fn speed(&self, life: Seconds) -> Result<SurfaceSpeed, OutOfRange> {
        let minutes = above_zero(life.s())? / 60.0;
        let speed = self.one_minute.m_per_min() / libm::pow(minutes, self.n);
        Ok(SurfaceSpeed::from_m_per_min(finite(speed)?))
    }
}

/// What lies outside of the range in which a material's figures of life hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beyond {
    /// The speed is below the lowest: an edge may build up and break away.
    SpeedLow,
    /// The speed is above the highest: an edge may fail at once.
    SpeedHigh,
    /// The feed is below a third or above three times the known one.
    Feed,
    /// The depth is below a fifth or above five times the known one.
    Depth,
}

/// How long an edge lasts in a cut, and whether the figures reach so far.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Life {
    /// Cutting time; nine edges of ten last between low and high.
    pub time: Spread<Seconds>,
    /// What lies beyond the figures; the range is then no longer sure.
    pub beyond: Option<Beyond>,
}

/// How long an edge lasts in a cut, by the extended Taylor law.
///
/// `T = T0·(v0/v)^(1/n)·(f0/f)^(x/n)·(a0/a)^(y/n)`, from `T/s` to `T·s` with the material's
/// spread s.
/// Valid: lowest to highest speed of the material, a third to three times its feed, a fifth to
/// five times its depth; outside of that [`Life::beyond`] says so.
/// Source: the extended Taylor law, ISO 3685, from memory; the ranges are common practice.
/// Held to: `handbook/life.toml`.
///
/// # Errors
/// A figure that is not above zero, or a life beyond all numbers.
pub fn edge_life(
    known: &EdgeLife,
    speed: SurfaceSpeed,
    feed: FeedPerRev,
    depth: Length,
) -> Result<Life, OutOfRange> {
    let ratio = |known: f64, here: f64| Ok(above_zero(known)? / above_zero(here)?);
    let n = above_zero(known.n)?;
    let faster = ratio(known.speed.m_per_min(), speed.m_per_min())?;
    let (feeds, depths) =
        (ratio(known.feed.mm(), feed.mm())?, ratio(known.depth.mm(), depth.mm())?);
    let shorter =
        faster * libm::pow(feeds, known.feed_exponent) * libm::pow(depths, known.depth_exponent);
    let nominal = above_zero(above_zero(known.life.s())? * libm::pow(shorter, 1.0 / n))?;
    let spread = above_zero(known.spread)?.max(1.0);
    let time = Spread { low: nominal / spread, nominal, high: finite(nominal * spread)? };
    let beyond = if speed < known.lowest {
        Some(Beyond::SpeedLow)
    } else if speed > known.highest {
        Some(Beyond::SpeedHigh)
    } else if !(1.0 / 3.0..=3.0).contains(&feeds) {
        Some(Beyond::Feed)
    } else if !(0.2..=5.0).contains(&depths) {
        Some(Beyond::Depth)
    } else {
        None
    };
    Ok(Life { time: time.map(Seconds::from_s), beyond })
}

/// Taylor's plain law of a material at one feed and depth.
///
/// `C = v0·T0^n·(f0/f)^x·(a0/a)^y`.
/// Valid: as [`edge_life`].
/// Source: as [`edge_life`].
/// Held to: `handbook/life.toml`.
///
/// # Errors
/// As [`edge_life`].
pub fn taylor_at(known: &EdgeLife, feed: FeedPerRev, depth: Length) -> Result<Taylor, OutOfRange> {
    let feeds = above_zero(known.feed.mm())? / above_zero(feed.mm())?;
    let depths = above_zero(known.depth.mm())? / above_zero(depth.mm())?;
    let constant = known.speed.m_per_min()
        * libm::pow(above_zero(known.life.s())? / 60.0, known.n)
        * libm::pow(feeds, known.feed_exponent)
        * libm::pow(depths, known.depth_exponent);
    Taylor::new(known.n, SurfaceSpeed::from_m_per_min(finite(constant)?))
}

/// The time after which an edge has failed with this chance.
///
/// The life's logarithm is normal: `T = Tm·exp(σ·z)`, z the normal quantile of the risk and
/// `σ = ln(high/low)/(2·1.6449)`, since nine edges of ten last between low and high.
/// Valid: `0 < risk < 1`, `0 < low ≤ nominal ≤ high`.
/// Source: the lognormal law of tool life, common practice.
/// Held to: `handbook/life.toml`.
///
/// # Errors
/// A figure outside of that.
pub fn life_at_risk(life: Spread<Seconds>, risk: Probability) -> Result<Seconds, OutOfRange> {
    let risk = risk.ratio();
    if !(risk > 0.0 && risk < 1.0) || life.high < life.low {
        return Err(OutOfRange);
    }
    let median = above_zero(life.nominal.s())?;
    let widths = libm::log(above_zero(life.high.s())? / above_zero(life.low.s())?);
    let normal = Normal::standard();
    let sigma = widths / (2.0 * normal.inverse_cdf(0.95));
    Ok(Seconds::from_s(finite(median * libm::exp(sigma * normal.inverse_cdf(risk)))?))
}
