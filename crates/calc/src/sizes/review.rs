//! Everything that the sizes of one feature say, in the order in which one thing needs the other:
//! outliers are looked for with offset moves taken out, rules and sigma about the line where the
//! size surely drifts, the gauge limit where the offset stands now.

use super::capability::{Capability, capability};
use super::chart::Chart;
use super::gauging::{GaugeLimit, until_limit};
use super::groups::Groups;
use super::offset::{Advice, Aim, next_move};
use super::outliers::{Apart, Outlier, set_apart};
use super::rules::{Rule, Seen, look};
use super::series::{Band, Moved, Reading, since, sizes, without_moves};
use super::summary::SizeSummary;
use super::trend::Trend;
use crate::figure::BadFigure;
use model::Length;
use model::quantity::Probability;

/// What was gauged of one feature, and by what it is judged.
#[derive(Debug, Clone, Copy)]
pub struct Gauged<'a> {
    /// The readings, in the order of their parts.
    pub readings: &'a [Reading],
    /// Moves of the offset, in any order.
    pub moves: &'a [Moved],
    /// How many readings make a point of the chart: 1, or groups of 2 to 25.
    pub group: u32,
    /// First part that the edge made which cuts now; what came before is left out.
    pub edge_from: u32,
    /// What the drawing allows.
    pub band: Option<Band>,
    /// Smallest step that the gauge shows.
    pub gauge_step: Length,
    /// Smallest step of the offset on the control.
    pub offset_step: Length,
    /// Least move of the offset that is worth one.
    pub least_move: Length,
    /// Confidence of every range.
    pub confidence: Probability,
    /// Risk that any part is outside before the next is gauged.
    pub risk: Probability,
    /// Most parts between two that are gauged.
    pub most: u32,
}

/// What it says.
#[derive(Debug, Clone)]
pub struct Review {
    /// What was set apart, as it was gauged.
    pub outliers: Vec<Outlier>,
    /// The rest, as they were gauged.
    pub kept: Vec<Reading>,
    /// Their chart; each by itself where fewer than [`FEWEST_GROUPS`] full groups are there.
    pub chart: Chart,
    /// Standard deviation of single sizes, wear and moves taken out, from each size to the next.
    pub sigma: Length,
    /// What rules saw in the points of the chart.
    pub seen: Vec<Seen>,
    /// The line of wear, moves taken out; none of fewer than three readings.
    pub trend: Option<Trend>,
    /// Whether the size surely drifts.
    pub drifts: bool,
    /// How long one may go without gauging; none without a line or limits.
    pub limit: Option<GaugeLimit>,
    /// What to do with the offset; none without a middle to aim at, or where nothing scatters.
    pub advice: Option<Advice>,
    /// How well the sizes fit their limits; none where they drift, or nothing scatters.
    pub fit: Option<Capability>,
}

/// Chance with which a drift that is none is taken for one.
const DRIFT_BY_CHANCE: Probability = Probability::from_ratio(0.001);

/// Fewest full groups that are charted as groups: of a single one nothing is seen.
pub const FEWEST_GROUPS: usize = 2;

/// Looks at everything.
///
/// Groups are for the chart and its run rules alone. Offset, gauge limit and fit are of single parts, and so is their
/// sigma: what scatters within a group may be less than what scatters from group to group, and a move told by it would
/// chase noise.
///
/// Valid: two readings of the edge or more.
/// Source: each part's own.
///
/// # Errors
/// Fewer readings, or out of order; a confidence or risk that is none.
pub fn review(gauged: &Gauged<'_>) -> Result<Review, BadFigure> {
    let readings = since(gauged.readings, gauged.edge_from);
    let moves: Vec<Moved> =
        gauged.moves.iter().copied().filter(|it| it.before > gauged.edge_from).collect();
    let Apart { kept: unmoved, outliers } =
        set_apart(&without_moves(&readings, &moves), gauged.gauge_step)?;
    let kept: Vec<Reading> = readings
        .iter()
        .copied()
        .filter(|it| !outliers.iter().any(|odd| odd.reading.part == it.part))
        .collect();
    let trend = Trend::of(&unmoved).ok();
    let drifts = trend.map_or(Ok(false), |it| it.is_sure(DRIFT_BY_CHANCE))?;
    // What chance does by itself: about the line where there is wear.
    let still = match trend.filter(|_| drifts) {
        Some(trend) => trend.off_line(&unmoved),
        None => unmoved,
    };
    let chart = charted(&kept, &moves, gauged.group)?;
    // The same groups without moves and wear: which they are, their parts say.
    let seen = match chart.group {
        1 => Chart::individuals(&still)?.off_center(),
        group => Chart::of_groups(&Groups::of(&still, &moves, group)?.full, group)?.off_center(),
    };
    let mut review = Review {
        outliers: outliers.into_iter().map(|it| as_gauged(it, &readings)).collect(),
        chart,
        sigma: Chart::individuals(&still)?.sigma,
        seen: seen.map_or(Vec::new(), |off| look(&off, &Rule::USUAL)),
        kept,
        trend,
        drifts,
        limit: None,
        advice: None,
        fit: None,
    };
    if let Some(band) = gauged.band {
        review.judge(gauged, band, &moves)?;
    }
    Ok(review)
}

impl Review {
    fn judge(&mut self, gauged: &Gauged<'_>, band: Band, moves: &[Moved]) -> Result<(), BadFigure> {
        let kept = &self.kept;
        let last = kept.last().map_or(0, |it| it.part);
        if let Some(trend) = self.trend {
            // The line has no moves in it: the limits go the other way instead.
            let all: Length = moves.iter().map(|it| it.by).sum();
            let limits = band.higher(-all);
            self.limit = Some(until_limit(&trend, limits, last, gauged.risk, gauged.most)?);
        }
        if let Some(size) = band.middle().filter(|_| self.sigma.is_positive()) {
            let ahead = self.limit.map_or(0, |it| it.parts);
            let aim = Aim {
                size,
                sigma: self.sigma,
                least: gauged.least_move,
                step: gauged.offset_step,
                ahead,
            };
            self.advice = Some(next_move(kept, moves, aim)?);
        }
        let summary = SizeSummary::of(&sizes(kept))?;
        if !self.drifts && summary.deviation.is_positive() {
            let seen = (summary.mean, summary.deviation);
            self.fit = Some(capability(seen, summary.count, band, gauged.confidence)?);
        }
        Ok(())
    }
}

/// The chart of readings as they were gauged; which of them make a group depends on their parts and the moves alone.
fn charted(readings: &[Reading], moves: &[Moved], group: u32) -> Result<Chart, BadFigure> {
    if group > 1 {
        let groups = Groups::of(readings, moves, group)?;
        if groups.full.len() >= FEWEST_GROUPS {
            return Chart::of_groups(&groups.full, group);
        }
    }
    Chart::individuals_across(readings, moves)
}

/// An outlier as it was gauged, moves put back.
fn as_gauged(odd: Outlier, readings: &[Reading]) -> Outlier {
    let found = readings.iter().find(|it| it.part == odd.reading.part);
    let reading = found.copied().unwrap_or(odd.reading);
    Outlier { expected: odd.expected + (reading.size - odd.reading.size), reading, ..odd }
}

#[cfg(test)]
mod tests {
    use super::super::noise::Noise;
    use super::*;
    use proptest::prelude::*;

    fn gauged<'a>(readings: &'a [Reading], moves: &'a [Moved]) -> Gauged<'a> {
        let um = |um| Some(Length::from_mm(12) + Length::from_um(um));
        Gauged {
            readings,
            moves,
            group: 1,
            edge_from: 1,
            band: Band::new(um(-18), um(18)).ok(),
            gauge_step: Length::from_um(1),
            offset_step: Length::from_um(1),
            least_move: Length::from_um(2),
            confidence: Probability::from_ratio(0.95),
            risk: Probability::from_ratio(0.01),
            most: 500,
        }
    }

    /// Worn by 0.2 µm a part with sigma 2 µm, moved by −12 µm before part 102, one slip.
    fn worn() -> (Vec<Reading>, Vec<Moved>) {
        let mut noise = Noise::new(8);
        let readings = (1..=40)
            .map(|at| {
                let part = at * 5;
                let moved = if part >= 102 { -12.0 } else { 0.0 };
                let slip = if at == 30 { 70.0 } else { 0.0 };
                let um = 2.0 * noise.normal() + 0.2 * f64::from(part) - 18.0 + moved + slip;
                Reading { part, size: Length::nearest_mm(12.0 + um / 1000.0) }
            })
            .collect();
        (readings, vec![Moved { before: 102, by: Length::from_um(-12) }])
    }

    #[test]
    fn a_worn_size_is_seen_through_its_move_and_its_slip() {
        let (readings, moves) = worn();
        let review = review(&gauged(&readings, &moves)).unwrap();
        assert_eq!(review.outliers.len(), 1);
        let odd = review.outliers[0];
        assert_eq!(odd.reading, readings[29]);
        assert!((odd.reading.size - odd.expected - Length::from_um(70)).abs() < Length::from_um(6));
        assert!(review.drifts && review.fit.is_none());
        let drift = review.trend.unwrap().drift(1000, Probability::from_ratio(0.95)).unwrap();
        assert!(drift.low < Length::from_um(200) && Length::from_um(200) < drift.high, "{drift:?}");
        // Sigma is that of chance, not of wear and moves.
        assert!(
            (review.sigma - Length::from_um(2)).abs() < Length::from_nm(700),
            "{:?}",
            review.sigma
        );
        // At the last part 10 µm up: 8 more to the limit, 40 parts of wear, less for chance.
        let limit = review.limit.unwrap();
        assert!(limit.by_drift && (3..40).contains(&limit.parts), "{limit:?}");
        let Some(Advice::Move { by, drifts: true, .. }) = review.advice else {
            panic!("{:?}", review.advice)
        };
        assert!(by < Length::from_um(-8), "{by:?}");
        assert_eq!(review.chart.points.len(), 39);
    }

    #[test]
    fn the_edge_before_is_left_out_and_still_sizes_have_a_fit() {
        let mut noise = Noise::new(9);
        let mut reading = |part: u32, off: f64| Reading {
            part,
            size: Length::nearest_mm(12.0 + 1e-3 * (off + 3.0 * noise.normal())),
        };
        let mut readings: Vec<Reading> = (1..=10).map(|it| reading(it * 5, 15.0)).collect();
        readings.extend((11..=40).map(|it| reading(it * 5, 0.0)));
        let with = Gauged { edge_from: 55, ..gauged(&readings, &[]) };
        let review = review(&with).unwrap();
        assert!(!review.drifts && review.chart.points.len() == 30);
        assert!(review.fit.unwrap().cpk.nominal > 1.2, "{:?}", review.fit);
        assert!(matches!(review.advice, Some(Advice::Leave { .. })), "{:?}", review.advice);
    }

    #[test]
    fn groups_show_what_moves_between_them_and_change_no_advice() {
        // Five in a row at every fiftieth part; each row lies elsewhere, more than within it.
        let mut noise = Noise::new(10);
        let rows = [0.0, 9.0, -8.0, 8.0, -9.0, 1.0, 10.0, -10.0];
        let mut readings = Vec::new();
        for (row, off) in (0..).zip(rows) {
            for at in 1..=5 {
                let um = off + noise.normal();
                readings.push(Reading {
                    part: row * 50 + at,
                    size: Length::nearest_mm(12.0 + um / 1000.0),
                });
            }
        }
        // One of the third row slipped: the rows behind it stay together.
        readings[12].size += Length::from_um(90);
        let singly = review(&gauged(&readings, &[])).unwrap();
        let grouped = review(&Gauged { group: 5, ..gauged(&readings, &[]) }).unwrap();
        let firsts: Vec<(u32, u32)> =
            grouped.chart.points.iter().map(|it| (it.first, it.part)).collect();
        assert_eq!(
            firsts,
            [(1, 5), (51, 55), (151, 155), (201, 205), (251, 255), (301, 305), (351, 355)]
        );
        assert_eq!((grouped.chart.group, grouped.outliers.len(), grouped.kept.len()), (5, 1, 39));
        assert!(grouped.seen.len() >= 5, "means scatter more than their parts: {:?}", grouped.seen);
        // 1 µm was put into each row.
        assert!((grouped.chart.sigma - Length::from_um(1)).abs() < Length::from_nm(400));
        assert_eq!(
            (grouped.sigma, grouped.advice, grouped.limit),
            (singly.sigma, singly.advice, singly.limit)
        );
        assert_eq!(grouped.fit, singly.fit);
        // A single full group is no chart.
        let few = review(&Gauged { group: 5, ..gauged(&readings[..9], &[]) }).unwrap();
        assert_eq!((few.chart.group, few.chart.points.len()), (1, 9));
    }

    proptest! {
        #[test]
        fn no_figures_make_it_panic(
            sizes in prop::collection::vec((1_u32..9, any::<i64>()), 0..14),
            moves in prop::collection::vec((0_u32..60, any::<i64>()), 0..4),
            lengths in any::<[i64; 5]>(),
            (edge_from, most, group) in (0_u32..9, 0_u32..50, 0_u32..6),
            (confidence, risk) in (-0.5_f64..1.5, -0.5_f64..1.5),
        ) {
            let mut part = 0;
            let readings: Vec<Reading> = sizes
                .into_iter()
                .map(|(step, nm)| {
                    part += step;
                    Reading { part, size: Length::from_nm(nm) }
                })
                .collect();
            let moved = |(before, nm)| Moved { before, by: Length::from_nm(nm) };
            let moves: Vec<Moved> = moves.into_iter().map(moved).collect();
            let [least, end, gauge_step, offset_step, least_move] = lengths.map(Length::from_nm);
            let _ = review(&Gauged {
                edge_from,
                band: Band::new(Some(least), Some(end)).ok(),
                gauge_step,
                offset_step,
                least_move,
                confidence: Probability::from_ratio(confidence),
                risk: Probability::from_ratio(risk),
                most,
                group,
                ..gauged(&readings, &moves)
            });
        }
    }
}
