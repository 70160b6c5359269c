//! Control charts: where sizes would lie if nothing but chance moved them.

use super::range::{Constants, LARGEST_GROUP};
use super::series::{Moved, Reading, in_order, without_moves};
use super::summary;
use crate::figure::BadFigure;
use model::Length;

/// Center and limits, three standard deviations away.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Lower limit.
    pub low: Length,
    /// Center.
    pub center: Length,
    /// Upper limit.
    pub high: Length,
}

/// One point of a chart: a reading, or a group of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Point {
    /// The part, or the first of the group.
    pub first: u32,
    /// The part, or the last of the group.
    pub part: u32,
    /// The size, or the mean of the group.
    pub size: Length,
    /// From the size before to this one, or the range of the group; the first reading has none.
    pub range: Option<Length>,
}

/// A chart of sizes with the one of their ranges.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chart {
    /// Readings in each point.
    pub group: u32,
    /// Limits of sizes or means.
    pub sizes: Limits,
    /// Limits of ranges.
    pub ranges: Limits,
    /// Standard deviation of single sizes, from the ranges.
    pub sigma: Length,
    /// The points, in the order of their parts.
    pub points: Vec<Point>,
}

impl Chart {
    /// Individuals and moving ranges: each reading by itself.
    ///
    /// Center the mean, `sigma = R̄ / d2`, limits `± 3·sigma`; ranges up to `D4·R̄`, with the
    /// constants of two.
    /// Valid: two readings or more, in the order of their parts; readings that hang together or
    /// drift make its limits too narrow or too wide.
    /// Source: ASTM E2587 and ISO 7870-2, from memory; the form of the limits found in the
    /// documentation of a statistics library.
    /// Held to: `handbook/sizes.toml`.
    ///
    /// # Errors
    /// Fewer readings, or out of order.
    pub fn individuals(readings: &[Reading]) -> Result<Chart, BadFigure> {
        Chart::individuals_across(readings, &[])
    }

    /// The same across moves of the offset, which are taken out of the ranges: a step that a person made is no chance.
    ///
    /// Valid: as for [`Chart::individuals`]; any order of the moves.
    /// Source: as there; the moves are arithmetic.
    ///
    /// # Errors
    /// As there.
    pub fn individuals_across(readings: &[Reading], moves: &[Moved]) -> Result<Chart, BadFigure> {
        let center = summary::exact(&super::series::sizes(in_order(readings)?))?.mean;
        let unmoved = super::series::sizes(&without_moves(readings, moves));
        let apart = |pair: &[Length]| (pair[1] - pair[0]).abs();
        let ranges: Vec<Length> = unmoved.windows(2).map(apart).collect();
        let points = readings.iter().enumerate().map(|(index, it)| Point {
            first: it.part,
            part: it.part,
            size: it.size,
            range: index.checked_sub(1).map(|before| ranges[before]),
        });
        let points = points.collect();
        Ok(Chart::with(1, Constants::of(2)?, center, mean_nm(&ranges), points))
    }

    /// Means and ranges of groups of so many readings each; readings behind the last full group
    /// are in none.
    ///
    /// Valid: as for [`Chart::of_groups`].
    ///
    /// # Errors
    /// Another size of group, no full group, or readings out of order.
    pub fn means(readings: &[Reading], group: u32) -> Result<Chart, BadFigure> {
        Constants::of(group)?;
        let full = in_order(readings)?.chunks_exact(group as usize).map(<[Reading]>::to_vec);
        Chart::of_groups(&full.collect::<Vec<_>>(), group)
    }

    /// Means and ranges of groups.
    ///
    /// Center the mean of the means, limits `± A2·R̄`; ranges from `D3·R̄` to `D4·R̄`;
    /// `sigma = R̄ / d2` is that within a group.
    /// Valid: groups of 2 to 25, all of the same size, one or more.
    /// Source: ASTM E2587 and ISO 7870-2, from memory.
    /// Held to: `handbook/sizes.toml`.
    ///
    /// # Errors
    /// Another size of group, or none.
    pub fn of_groups(groups: &[Vec<Reading>], group: u32) -> Result<Chart, BadFigure> {
        let constants = Constants::of(group)?;
        let mut points = Vec::new();
        let (mut center, mut range) = (0.0, 0.0);
        for readings in groups {
            if readings.len() != group as usize {
                return Err(BadFigure { what: "groups", must: "of one size" });
            }
            let sizes = super::series::sizes(readings);
            let mean = summary::exact(&sizes)?.mean;
            let least = sizes.iter().copied().min().unwrap_or_default();
            let most = sizes.iter().copied().max().unwrap_or_default();
            let [first, part] =
                [readings.first(), readings.last()].map(|it| it.map_or(0, |it| it.part));
            center += mean;
            range += (most - least).nm() as f64;
            let size = Length::nearest_mm(mean / 1e6);
            points.push(Point { first, part, size, range: Some(most - least) });
        }
        if points.is_empty() {
            return Err(BadFigure { what: "count of readings", must: "one full group or more" });
        }
        let many = points.len() as f64;
        Ok(Chart::with(group, constants, center / many, range / many, points))
    }

    /// `center` and `range` in nanometers, not yet rounded.
    fn with(
        group: u32,
        constants: Constants,
        center: f64,
        range: f64,
        points: Vec<Point>,
    ) -> Chart {
        let nm = |nm: f64| Length::nearest_mm(nm / 1e6);
        let sigma = range / constants.d2;
        let off = 3.0 * sigma / f64::from(group).sqrt();
        let sizes = Limits { low: nm(center - off), center: nm(center), high: nm(center + off) };
        let ranges = Limits {
            low: nm(constants.range_low() * range),
            center: nm(range),
            high: nm(constants.range_high() * range),
        };
        Chart { group, sizes, ranges, sigma: nm(sigma), points }
    }

    /// The same limits under other readings: what came later is held to what was, and does not
    /// widen its own limits.
    ///
    /// # Errors
    /// As for the chart itself.
    pub fn held_to(&self, readings: &[Reading]) -> Result<Chart, BadFigure> {
        let other = if self.group == 1 {
            Chart::individuals(readings)?
        } else {
            Chart::means(readings, self.group)?
        };
        Ok(Chart { points: other.points, ..self.clone() })
    }

    /// The points whose range is one that chance seldom makes.
    pub fn ranges_beyond(&self) -> impl Iterator<Item = &Point> {
        let (low, high) = (self.ranges.low, self.ranges.high);
        self.points.iter().filter(move |it| it.range.is_some_and(|it| it < low || it > high))
    }

    /// How many of its own standard deviations each point lies off the center; none where nothing
    /// scatters.
    pub fn off_center(&self) -> Option<Vec<f64>> {
        let sigma = self.sigma.mm() / f64::from(self.group.min(LARGEST_GROUP)).sqrt();
        let off = |point: &Point| (point.size - self.sizes.center).mm() / sigma;
        (sigma > 0.0).then(|| self.points.iter().map(off).collect())
    }
}

fn mean_nm(lengths: &[Length]) -> f64 {
    let sum: i128 = lengths.iter().map(|it| i128::from(it.nm())).sum();
    sum as f64 / lengths.len().max(1) as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn readings(um: &[i64]) -> Vec<Reading> {
        let each = um.iter().zip(1..);
        each.map(|(um, part)| Reading { part, size: Length::from_um(*um) }).collect()
    }

    #[test]
    fn five_readings_by_hand() {
        // Moving ranges 2, 4, 1, 3: mean 2.5; mean size 102; 2.5/1.128379 = 2.2156.
        let chart = Chart::individuals(&readings(&[100, 102, 98, 103, 107])).unwrap();
        assert_eq!(chart.sizes.center, Length::from_um(102));
        assert_eq!(chart.points[1].range, Some(Length::from_um(2)));
        assert_eq!(chart.points[0].range, None);
        // 2, 4, 5, 4: mean 3.75, over 1.1283792.
        assert_eq!(chart.sigma, Length::from_nm(3323));
        assert_eq!(chart.sizes.high, Length::from_nm(102_000 + 9970));
        assert_eq!(chart.ranges.low, Length::ZERO);
    }

    #[test]
    fn a_move_of_the_offset_is_no_range() {
        let moved = [Moved { before: 4, by: Length::from_um(-20) }];
        let (still, across) =
            (readings(&[100, 102, 98, 103, 107]), readings(&[100, 102, 98, 83, 87]));
        let (still, across) = (
            Chart::individuals(&still).unwrap(),
            Chart::individuals_across(&across, &moved).unwrap(),
        );
        assert_eq!((across.sigma, across.ranges), (still.sigma, still.ranges));
        assert_eq!(across.points[3].range, Some(Length::from_um(5)));
        assert_eq!(
            (across.points[3].size, across.sizes.center),
            (Length::from_um(83), Length::from_um(94))
        );
    }

    #[test]
    fn later_readings_do_not_move_the_limits() {
        let chart = Chart::individuals(&readings(&[100, 102, 98, 103, 107])).unwrap();
        let later = chart.held_to(&readings(&[150, 152, 149])).unwrap();
        assert_eq!(
            (later.sizes, later.ranges, later.sigma),
            (chart.sizes, chart.ranges, chart.sigma)
        );
        assert_eq!(later.points.len(), 3);
        assert!(later.off_center().unwrap().iter().all(|off| *off > 3.0));
        let same = Chart::individuals(&readings(&[5, 5, 5])).unwrap();
        assert_eq!(same.off_center(), None);
    }

    proptest! {
        #[test]
        fn a_chart_moves_with_its_sizes(
            um in prop::collection::vec(-200_i64..200, 4..40),
            shift in -5_000_i64..5_000,
            group in 1_u32..4,
        ) {
            let draw = |um: &[i64]| if group == 1 {
                Chart::individuals(&readings(um)).unwrap()
            } else {
                Chart::means(&readings(um), group).unwrap()
            };
            let (here, there) = (draw(&um), draw(&um.iter().map(|it| it + shift).collect::<Vec<_>>()));
            let by = Length::from_um(shift);
            prop_assert_eq!(here.ranges, there.ranges);
            prop_assert!((there.sizes.high - here.sizes.high - by).abs() <= Length::from_nm(1));
            prop_assert!(here.sizes.low <= here.sizes.center && here.ranges.low <= here.ranges.high);
        }

        #[test]
        fn no_sizes_make_it_panic(sizes in prop::collection::vec(any::<i64>(), 0..9), group in 0_u32..30) {
            let each = sizes.into_iter().zip(1..);
            let readings: Vec<Reading> =
                each.map(|(nm, part)| Reading { part, size: Length::from_nm(nm) }).collect();
            let _ = (Chart::individuals(&readings), Chart::means(&readings, group));
        }
    }
}
