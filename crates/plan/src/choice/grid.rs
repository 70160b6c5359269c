//! The speeds, feeds and depths among which is chosen: round figures that a program can write.

use crate::cuts::{Speed, Work};
use crate::process::Data;
use model::files::job::Job;
use model::files::material::EdgeLife;
use model::files::tools::Station;
use model::quantity::{FeedPerRev, SpindleSpeed, SurfaceSpeed};
use model::{Length, Units};

/// How many values a grid has at most in each direction, beside the given ones, and how often it is looked
/// through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fineness {
    /// Speeds.
    pub speeds: u32,
    /// Feeds.
    pub feeds: u32,
    /// Depths.
    pub depths: u32,
    /// Rounds: in the first the spindle comes from the given speeds of the operations before, in each
    /// further one from those chosen in the round before.
    pub rounds: u32,
}

impl Default for Fineness {
    fn default() -> Fineness {
        Fineness { speeds: 24, feeds: 20, depths: 6, rounds: 3 }
    }
}

/// The values of a grid, each ascending.
#[derive(Debug, Clone, PartialEq)]
pub struct Axes {
    /// Surface speeds.
    pub speeds: Vec<SurfaceSpeed>,
    /// Feeds per revolution.
    pub feeds: Vec<FeedPerRev>,
    /// Deepest cuts on the radius; one where the work has no layers.
    pub depths: Vec<Length>,
}

/// Whether a work goes in layers, so that a depth can be chosen.
pub(super) const fn layered(work: Work) -> bool {
    matches!(work, Work::Face | Work::Rough | Work::RoughBore)
}

/// The grid for one work of a station, about its given data; none where it has no surface speed. `known` is
/// what is known of its edge, `clamp` the highest speed of the spindle.
pub fn axes(
    job: &Job,
    (station, work): (&Station, Work),
    given: &Data,
    (known, clamp): (&EdgeLife, SpindleSpeed),
    fineness: Fineness,
) -> Option<Axes> {
    let Speed::Surface(speed) = given.speed else { return None };
    let units = job.file.units;
    // Nothing turns faster than the whole bar at the spindle's highest speed.
    let outside = (job.file.bar.reach() * 2).mm() / 1000.0;
    let useful = SurfaceSpeed::from_m_per_min(clamp.rpm() * outside * core::f64::consts::PI);
    Some(Axes {
        speeds: speeds(known, speed, useful, units, fineness),
        feeds: feeds(known, station, given.feed, units, fineness),
        depths: if layered(work) {
            depths(known, station, given.depth, units, fineness)
        } else {
            vec![given.depth]
        },
    })
}

/// One foot in meters.
const FOOT: f64 = 0.3048;

/// Speeds for which the material's figures hold, up to the first that reaches `useful`, beyond which
/// nothing turns faster; the given one with them, ascending.
fn speeds(
    known: &EdgeLife,
    given: SurfaceSpeed,
    useful: SurfaceSpeed,
    units: Units,
    fineness: Fineness,
) -> Vec<SurfaceSpeed> {
    let unit = match units {
        Units::Mm => 1.0,
        Units::Inch => FOOT,
    };
    let of = |speed: SurfaceSpeed| speed.m_per_min() / unit;
    let (low, high) = (of(known.lowest), of(known.highest));
    let top = high.min(of(useful));
    let steps = [1, 2, 5, 10, 20, 25, 50, 100, 200, 500, 1000];
    let mut values = whole_steps(low, top, &steps, fineness.speeds);
    if top.ceil() <= high && top.ceil() >= low {
        values.push(top.ceil() as i64);
    }
    let speeds = values.iter().map(|value| SurfaceSpeed::from_m_per_min(*value as f64 * unit));
    with_given(speeds.collect(), given, SurfaceSpeed::m_per_min)
}

/// Feeds from a third to three times that of the material's figures and no more than the tool takes,
/// the given one with them, ascending. Without a word on what the tool takes, none above the given one.
fn feeds(
    known: &EdgeLife,
    station: &Station,
    given: FeedPerRev,
    units: Units,
    fineness: Fineness,
) -> Vec<FeedPerRev> {
    let most = station.takes.most_feed.unwrap_or(given);
    let (low, high) = (known.feed.mm() / 3.0, known.feed.mm() * 3.0);
    // Micrometers, or millionths of an inch.
    let (unit, steps) = match units {
        Units::Mm => (0.001, [5, 10, 20, 50, 100, 200, 500, 1000]),
        Units::Inch => (0.000_025_4, [200, 500, 1000, 2000, 5000, 10_000, 20_000, 50_000]),
    };
    let values = whole_steps(low / unit, high.min(most.mm()) / unit, &steps, fineness.feeds);
    let feeds = values.iter().map(|value| FeedPerRev::from_mm(*value as f64 * unit));
    let mut feeds = feeds.collect();
    if most.mm() >= low && most.mm() <= high {
        feeds = with_given(feeds, most, FeedPerRev::mm);
    }
    with_given(feeds, given, FeedPerRev::mm)
}

/// Depths from a fifth of that of the material's figures to what the tool takes, the given one with them,
/// ascending. Without a word on what the tool takes, only the given one.
fn depths(
    known: &EdgeLife,
    station: &Station,
    given: Length,
    units: Units,
    fineness: Fineness,
) -> Vec<Length> {
    let Some(most) = station.takes.most_depth else { return vec![given] };
    let (unit, steps) = match units {
        Units::Mm => (1000, [50, 100, 200, 250, 500, 1000, 2000, 5000]),
        Units::Inch => (25_400, [2, 5, 10, 20, 50, 100, 200, 500]),
    };
    let of = |length: Length| length.nm() as f64 / unit as f64;
    let values = whole_steps(of(known.depth) / 5.0, of(most), &steps, fineness.depths);
    let depths = values.iter().map(|value| Length::from_nm(value * unit)).collect();
    with_given(with_given(depths, most, Length::mm), given, Length::mm)
}

/// The multiples of the smallest of these steps that gives no more than so many between two figures.
fn whole_steps(low: f64, high: f64, steps: &[i64], most: u32) -> Vec<i64> {
    if !(low > 0.0 && high.is_finite() && high >= low) {
        return Vec::new();
    }
    let ends = |step: i64| {
        let step = step as f64;
        // A hair is given to figures that are whole in their own unit.
        (
            ((low / step) * (1.0 - 1e-12)).ceil() as i64,
            ((high / step) * (1.0 + 1e-12)).floor() as i64,
        )
    };
    let few = |step: &&i64| {
        let (first, last) = ends(**step);
        last - first < i64::from(most)
    };
    let Some(step) = steps.iter().find(few) else { return Vec::new() };
    let (first, last) = ends(*step);
    (first..=last).map(|count| count * step).collect()
}

/// The values with one more, ascending; it stands in place of one that only rounding tells from it.
fn with_given<T: Copy>(mut values: Vec<T>, given: T, figure: impl Fn(T) -> f64) -> Vec<T> {
    let of = figure(given);
    values.retain(|value| (figure(*value) - of).abs() > 1e-9 * of.abs());
    values.push(given);
    values.sort_by(|one, other| figure(*one).total_cmp(&figure(*other)));
    values
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_round_and_few() {
        let steps = [1, 2, 5, 10, 20];
        assert_eq!(whole_steps(3.0, 6.0, &steps, 10), [3, 4, 5, 6]);
        assert_eq!(whole_steps(3.0, 16.0, &steps, 4), [5, 10, 15]);
        assert_eq!(whole_steps(0.0, 6.0, &steps, 4), [0_i64; 0]);
        assert_eq!(whole_steps(7.0, 6.0, &steps, 4), [0_i64; 0]);
        assert_eq!(whole_steps(1.0, 1e6, &steps, 4), [0_i64; 0]);
    }

    #[test]
    fn the_given_figure_is_always_there() {
        let values = with_given(vec![10.0, 20.0, 30.0], 25.0, f64::from);
        assert_eq!(values, [10.0, 20.0, 25.0, 30.0]);
        assert_eq!(with_given(vec![10.0, 20.0], 20.0 + 1e-12, f64::from).len(), 2);
    }
}
