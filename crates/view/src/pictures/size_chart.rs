//! The sizes of one feature, part by part: limits of the drawing, limits of chance, readings with what
//! a rule saw in them, moves of the offset, and where wear will bring the size next. Below them the
//! ranges. The same data stand in [`table`].

use crate::scene::{Anchor, Role, Scene, Shape};
use crate::sheet::{Column, Table};
use calc::sizes::chart::{Chart, Point};
use calc::sizes::gauging::GaugeLimit;
use calc::sizes::outliers::Outlier;
use calc::sizes::review::{Gauged, Review};
use calc::sizes::rules::Seen;
use calc::sizes::trend::Trend;
use calc::sizes::{Band, Moved, Reading};
use model::quantity::Probability;
use model::{Length, Units};
use paper::Paper;
use words::{named, noted, parts_of, percent, told};

mod paper;
mod words;

pub use words::description;

/// What the picture shows.
#[derive(Debug, Clone, Copy)]
pub struct SizeChart<'a> {
    /// What was gauged, such as `diameter 12 h7 of the detent pin`.
    pub name: &'a str,
    /// The chart of the sizes, outliers set apart.
    pub chart: &'a Chart,
    /// The readings that it was made of.
    pub kept: &'a [Reading],
    /// What the drawing allows.
    pub band: Option<Band>,
    /// What run rules saw in these points; of sizes that surely drift, about their line.
    pub seen: &'a [Seen],
    /// What was set apart.
    pub outliers: &'a [Outlier],
    /// Moves of the offset.
    pub moves: &'a [Moved],
    /// How far the size surely drifts in [`DRIFT_OVER`] parts; none where chance may do that.
    pub drift: Option<Length>,
    /// Where wear brings the size.
    pub ahead: Option<Ahead<'a>>,
    /// Units of the words.
    pub units: Units,
}

/// Parts over which a drift is told.
pub const DRIFT_OVER: u32 = 100;

/// Where wear brings the size.
#[derive(Debug, Clone, Copy)]
pub struct Ahead<'a> {
    /// The line through the sizes, moves taken out.
    pub trend: &'a Trend,
    /// The part that was gauged last.
    pub last: u32,
    /// How long one may go without gauging.
    pub limit: GaugeLimit,
    /// Confidence of the band that is drawn.
    pub confidence: Probability,
}

impl<'a> SizeChart<'a> {
    /// From a review of what was gauged.
    pub fn of(
        name: &'a str,
        gauged: &Gauged<'a>,
        review: &'a Review,
        units: Units,
    ) -> SizeChart<'a> {
        let last = review.kept.last().map_or(0, |it| it.part);
        let ahead = review.trend.as_ref().zip(review.limit).map(|(trend, limit)| Ahead {
            trend,
            last,
            limit,
            confidence: gauged.confidence,
        });
        SizeChart {
            name,
            chart: &review.chart,
            kept: &review.kept,
            band: gauged.band,
            seen: &review.seen,
            outliers: &review.outliers,
            moves: gauged.moves,
            drift: review
                .trend
                .filter(|_| review.drifts)
                .and_then(|trend| trend.drift(DRIFT_OVER, gauged.confidence).ok())
                .map(|drift| drift.nominal),
            ahead,
            units,
        }
    }
}

/// The picture as a drawing.
pub fn scene(shown: &SizeChart<'_>) -> Scene {
    let paper = Paper::of(shown);
    let mut shapes = Vec::new();
    zone(&paper, shown, &mut shapes);
    paper.scales(shown, &mut shapes);
    ahead(&paper, shown, &mut shapes);
    limits(&paper, shown, &mut shapes);
    moves(&paper, shown, &mut shapes);
    parts(&paper, shown, &mut shapes);
    points(&paper, shown, &mut shapes);
    outliers(&paper, shown, &mut shapes);
    ranges(&paper, shown, &mut shapes);
    headlines(shown, &mut shapes);
    Scene {
        width: paper::WIDTH,
        height: paper.height(),
        title: format!("Sizes: {}", shown.name),
        description: description(shown),
        shapes,
    }
}

/// The data of the picture, a row a point; what was set apart stands among them.
pub fn table(shown: &SizeChart<'_>) -> Table {
    let off = shown.chart.off_center();
    let grouped = shown.chart.group > 1;
    let mut rows: Vec<(u32, Vec<String>)> = Vec::new();
    for (index, point) in shown.chart.points.iter().enumerate() {
        let off = off.as_ref().and_then(|off| off.get(index));
        let seen = shown.seen.iter().filter(|it| it.at == index).map(|it| it.rule.sees());
        let words = noted(shown, point).into_iter().chain(seen.map(str::to_owned));
        rows.push((
            point.part,
            vec![
                parts_of(point, "–"),
                told(point.size, shown.units),
                point.range.map_or(String::new(), |range| told(range, shown.units)),
                off.map_or(String::new(), |off| format!("{off:.2}")),
                words.collect::<Vec<_>>().join("; "),
            ],
        ));
    }
    for it in shown.outliers {
        let size = told(it.reading.size, shown.units);
        let words = format!("set apart: expected {}", told(it.expected, shown.units));
        let part = it.reading.part;
        rows.push((
            part,
            vec![part.to_string(), size, String::new(), format!("{:.2}", it.off), words],
        ));
    }
    rows.sort_by_key(|(part, _)| *part);
    Table {
        name: "sizes",
        title: "Sizes",
        columns: vec![
            Column::figures(if grouped { "Parts" } else { "Part" }, 10),
            Column::figures(if grouped { "Mean" } else { "Size" }, 18),
            Column::figures("Range", 16),
            Column::figures(
                if grouped { "Off center, sigma of means" } else { "Off center, sigma" },
                14,
            ),
            Column::words("What is to be said", 42),
        ],
        rows: rows.into_iter().map(|(_, row)| row).collect(),
    }
}

/// Where sizes are good.
fn zone(paper: &Paper, shown: &SizeChart<'_>, shapes: &mut Vec<Shape>) {
    let Some(band) = shown.band else { return };
    let top = band.most().map_or(paper.top(), |most| paper.y(most));
    let bottom = band.least().map_or(paper.floor(), |least| paper.y(least));
    let at = [paper::LEFT, top, paper.wide(), bottom - top];
    shapes.push(Shape::Box {
        at,
        role: Role::Good,
        title: "within the drawing's limits".to_owned(),
    });
}

/// The levels across the picture, each with its words on the right.
fn limits(paper: &Paper, shown: &SizeChart<'_>, shapes: &mut Vec<Shape>) {
    let chart = shown.chart.sizes;
    let mut levels = vec![
        (chart.high, "high", Role::Chance),
        (chart.center, "center", Role::Measure),
        (chart.low, "low", Role::Chance),
    ];
    if let Some(band) = shown.band {
        levels.extend(band.most().map(|most| (most, "MOST", Role::Mark)));
        levels.extend(band.least().map(|least| (least, "LEAST", Role::Mark)));
    }
    levels.sort_by_key(|(size, ..)| std::cmp::Reverse(*size));
    for (size, _, role) in &levels {
        let y = paper.y(*size);
        shapes.push(Shape::Line { at: [paper::LEFT, y, paper.right(), y], role: *role });
    }
    let words = levels.iter().map(|(size, word, _)| {
        (paper.y(*size), format!("{word} {}", size.text(shown.units, shown.units.decimals() + 1)))
    });
    paper.beside(&words.collect::<Vec<_>>(), shapes);
}

/// The line of wear and where further sizes are expected.
fn ahead(paper: &Paper, shown: &SizeChart<'_>, shapes: &mut Vec<Shape>) {
    let Some(ahead) = shown.ahead else { return };
    let moved: Length =
        shown.moves.iter().filter(|it| it.before <= ahead.last).map(|it| it.by).sum();
    let to = ahead.last.saturating_add(ahead.limit.parts);
    let steps = 24_u32;
    let part = |step: u32| {
        let span = u64::from(to - ahead.last);
        ahead.last + (span * u64::from(step) / u64::from(steps)) as u32
    };
    let (mut upper, mut lower) = (Vec::new(), Vec::new());
    for step in 0..=steps {
        let Ok(size) = ahead.trend.size_of(part(step), ahead.confidence) else { return };
        upper.push([paper.x(part(step)), paper.y(size.high + moved)]);
        lower.push([paper.x(part(step)), paper.y(size.low + moved)]);
    }
    upper.extend(lower.into_iter().rev());
    let title = format!("{} of further sizes are expected here", percent(ahead.confidence));
    shapes.push(Shape::Area { loops: vec![upper], role: Role::Expected, title });
    // The line since the last move, as far as it was gauged, and on.
    let since = shown.moves.iter().map(|it| it.before).filter(|it| *it <= ahead.last).max();
    let first = shown.chart.points.first().map_or(0, |point| point.part).max(since.unwrap_or(0));
    let at = |part: u32| [paper.x(part), paper.y(ahead.trend.at(part) + moved)];
    shapes.push(Shape::Way { points: vec![at(first), at(to)], role: Role::Trend });
    let x = paper.x(to);
    shapes.push(Shape::Line { at: [x, paper.top(), x, paper.floor()], role: Role::Now });
    let words = match ahead.limit.parts {
        0 => "gauge the next part".to_owned(),
        _ => format!("gauge by part {to}"),
    };
    let at = [x - 5.0, paper.top() - 6.0];
    shapes.push(Shape::Text { at, anchor: Anchor::End, words });
}

fn moves(paper: &Paper, shown: &SizeChart<'_>, shapes: &mut Vec<Shape>) {
    let mut clear = f64::NEG_INFINITY;
    for moved in shown.moves {
        let x = paper.before(moved.before);
        shapes.push(Shape::Line { at: [x, paper.top(), x, paper.floor()], role: Role::Rapid });
        let sign = if moved.by.is_negative() { "" } else { "+" };
        let words = format!("offset {sign}{}", moved.by.text(shown.units, shown.units.decimals()));
        // Two words beside each other must not touch.
        if x > clear {
            clear = x + 6.6 * words.len() as f64 + 8.0;
            let at = [x + 4.0, paper.floor() - 6.0];
            shapes.push(Shape::Text { at, anchor: Anchor::Start, words });
        }
    }
}

/// The single sizes behind means: the drawing's limits are theirs.
fn parts(paper: &Paper, shown: &SizeChart<'_>, shapes: &mut Vec<Shape>) {
    if shown.chart.group == 1 {
        return;
    }
    for it in shown.kept {
        let (x, y) = (paper.x(it.part), paper.y(it.size));
        let title = format!("part {}: {}", it.part, told(it.size, shown.units));
        shapes.push(Shape::Box { at: [x - 1.5, y - 1.5, 3.0, 3.0], role: Role::Single, title });
    }
}

fn points(paper: &Paper, shown: &SizeChart<'_>, shapes: &mut Vec<Shape>) {
    let points = &shown.chart.points;
    let way = points.iter().map(|it| [paper.x(it.part), paper.y(it.size)]).collect();
    shapes.push(Shape::Way { points: way, role: Role::Measure });
    for (index, point) in points.iter().enumerate() {
        let (x, y) = (paper.x(point.part), paper.y(point.size));
        let seen: Vec<&str> =
            shown.seen.iter().filter(|it| it.at == index).map(|it| it.rule.sees()).collect();
        if !seen.is_empty() {
            let above = point.size >= shown.chart.sizes.center;
            shapes.push(flag([x, y], if above { -1.0 } else { 1.0 }, seen.join("; ")));
        }
        let mean = if shown.chart.group > 1 { "mean " } else { "" };
        let title = format!("{}: {mean}{}", named(point), told(point.size, shown.units));
        let at = [x - 3.0, y - 3.0, 6.0, 6.0];
        shapes.push(Shape::Box { at, role: Role::Reading, title });
    }
}

/// A triangle that points at a reading from outside, for what a rule saw.
fn flag([x, y]: [f64; 2], outward: f64, title: String) -> Shape {
    let tip = [x, y + outward * 6.0];
    let base = y + outward * 16.0;
    let loops = vec![vec![tip, [x - 5.0, base], [x + 5.0, base]]];
    Shape::Area { loops, role: Role::Mark, title }
}

/// Outliers are hollow diamonds; one beyond the scale stands at its end with its size in words.
fn outliers(paper: &Paper, shown: &SizeChart<'_>, shapes: &mut Vec<Shape>) {
    for it in shown.outliers {
        let (x, y) = (paper.x(it.reading.part), paper.y(it.reading.size));
        let loops = vec![vec![[x, y - 5.0], [x + 5.0, y], [x, y + 5.0], [x - 5.0, y]]];
        let size = told(it.reading.size, shown.units);
        let title = format!("part {}: {size}, set apart", it.reading.part);
        shapes.push(Shape::Area { loops, role: Role::Odd, title });
        if !paper.holds(it.reading.size) {
            let words = it.reading.size.text(shown.units, shown.units.decimals());
            let (at, anchor) = if x + 60.0 > paper.right() {
                ([x - 8.0, y + 4.0], Anchor::End)
            } else {
                ([x + 8.0, y + 4.0], Anchor::Start)
            };
            shapes.push(Shape::Text { at, anchor, words });
        }
    }
}

/// The ranges as bars from zero.
fn ranges(paper: &Paper, shown: &SizeChart<'_>, shapes: &mut Vec<Shape>) {
    let limits = shown.chart.ranges;
    let bar = |point: &Point| {
        let range = point.range?;
        let (x, y) = (paper.x(point.part), paper.range_y(range));
        let role =
            if range > limits.high || range < limits.low { Role::TooFast } else { Role::Holder };
        let title = format!("{}: range {}", named(point), told(range, shown.units));
        Some(Shape::Box { at: [x - 2.5, y, 5.0, paper.range_floor() - y], role, title })
    };
    shapes.extend(shown.chart.points.iter().filter_map(bar));
    let mut words = Vec::new();
    let low = limits.low.is_positive().then_some((limits.low, "low", Role::Chance));
    let levels = [(limits.high, "high", Role::Chance), (limits.center, "mean", Role::Measure)];
    for (size, word, role) in levels.into_iter().chain(low) {
        let y = paper.range_y(size);
        shapes.push(Shape::Line { at: [paper::LEFT, y, paper.right(), y], role });
        let text = size.text(shown.units, shown.units.decimals() + 1);
        words.push((y, format!("{word} {text}")));
    }
    paper.beside(&words, shapes);
}

/// The name, and what is seen.
fn headlines(shown: &SizeChart<'_>, shapes: &mut Vec<Shape>) {
    for (row, words) in [shown.name.to_owned(), words::seen(shown)].into_iter().enumerate() {
        let at = [paper::LEFT, 16.0 + 16.0 * row as f64];
        shapes.push(Shape::Text { at, anchor: Anchor::Start, words });
    }
}
