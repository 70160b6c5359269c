//! How sizes lie between their limits: a column for each size that was gauged, as high as it is
//! frequent, with the curve of chance over them. The same data stand in [`table`].

use super::axis::{step, ticks};
use crate::scene::{Anchor, Role, Scene, Shape};
use crate::sheet::{Column, Table};
use calc::sizes::Band;
use calc::sizes::capability::Capability;
use calc::sizes::summary::SizeSummary;
use calc::spread::Spread;
use model::{Length, Units};
use std::collections::BTreeMap;

/// What the picture shows.
#[derive(Debug, Clone, Copy)]
pub struct SizeSpread<'a> {
    /// What was gauged.
    pub name: &'a str,
    /// The sizes, in any order.
    pub sizes: &'a [Length],
    /// Their mean and deviation.
    pub summary: SizeSummary,
    /// What the drawing allows, and how well the sizes fit it.
    pub fit: Option<(Band, Capability)>,
    /// Units of the words.
    pub units: Units,
}

const WIDTH: f64 = 1000.0;
const LEFT: f64 = 62.0;
const RIGHT: f64 = 24.0;
const TOP: f64 = 84.0;
const HEIGHT: f64 = 260.0;
const BOTTOM: f64 = 50.0;
/// Most columns.
const COLUMNS: i64 = 40;

/// Sizes sorted into columns of equal width, each about a whole multiple of it.
struct Columns {
    width: Length,
    counts: BTreeMap<i64, u32>,
    from: Length,
    to: Length,
}

impl Columns {
    fn of(shown: &SizeSpread<'_>) -> Columns {
        let ends = shown.fit.iter().flat_map(|(band, _)| [band.least(), band.most()]).flatten();
        let all = || shown.sizes.iter().copied().chain(ends.clone());
        let least = all().min().unwrap_or_default();
        let most = all().max().unwrap_or_default();
        let grain = shown.units.nanometers() / 10_i64.pow(shown.units.decimals() as u32);
        let span = (most - least).nm() / grain;
        let width = Length::from_nm(grain.saturating_mul(step(span, COLUMNS)));
        let mut counts = BTreeMap::new();
        for size in shown.sizes {
            *counts.entry((*size + width.half()) / width).or_insert(0) += 1;
        }
        Columns { width, counts, from: least - width * 2, to: most + width * 2 }
    }

    fn highest(&self) -> u32 {
        self.counts.values().copied().max().unwrap_or(0)
    }

    fn x(&self, size: Length) -> f64 {
        let off = (size - self.from).mm() / (self.to - self.from).mm();
        LEFT + (WIDTH - LEFT - RIGHT) * off.clamp(0.0, 1.0)
    }
}

/// The picture as a drawing.
pub fn scene(shown: &SizeSpread<'_>) -> Scene {
    let columns = Columns::of(shown);
    let curve = curve(shown, &columns);
    let peak = curve.iter().map(|(_, count)| *count).fold(0.0, f64::max);
    let top = f64::from(columns.highest()).max(peak).max(1.0) * 1.05;
    let floor = TOP + HEIGHT;
    let y = |count: f64| floor - HEIGHT * (count / top).clamp(0.0, 1.0);
    let mut shapes = Vec::new();
    zone(shown, &columns, &mut shapes);
    scales(shown, &columns, top, &y, &mut shapes);
    for (place, count) in &columns.counts {
        let middle = columns.width * *place;
        let (left, right) =
            (columns.x(middle - columns.width.half()), columns.x(middle + columns.width.half()));
        let height = y(f64::from(*count));
        // A hair between columns, where they are wide enough for one.
        let wide = if right - left > 6.0 { right - left - 1.0 } else { right - left };
        let good = shown.fit.is_none_or(|(band, _)| band.holds(middle));
        let role = if good { Role::NextPart } else { Role::TooFast };
        let title = format!("{count} of {}", size_words(middle, shown.units));
        shapes.push(Shape::Box { at: [left, height, wide, floor - height], role, title });
    }
    let way = curve.into_iter().map(|(size, count)| [columns.x(size), y(count)]).collect();
    shapes.push(Shape::Way { points: way, role: Role::Trend });
    limits(shown, &columns, &mut shapes);
    for (row, words) in headlines(shown).into_iter().enumerate() {
        let at = [LEFT, 16.0 + 16.0 * row as f64];
        shapes.push(Shape::Text { at, anchor: Anchor::Start, words });
    }
    Scene {
        width: WIDTH,
        height: floor + BOTTOM,
        title: format!("How sizes lie: {}", shown.name),
        description: headlines(shown)[1..].join(". ") + ".",
        shapes,
    }
}

/// The data of the picture, a row a column.
pub fn table(shown: &SizeSpread<'_>) -> Table {
    let columns = Columns::of(shown);
    let row = |(place, count): (&i64, &u32)| {
        let middle = columns.width * *place;
        let good = shown.fit.is_none_or(|(band, _)| band.holds(middle));
        let words = if good { "" } else { "outside of the drawing's limits" };
        vec![size_words(middle, shown.units), count.to_string(), words.to_owned()]
    };
    Table {
        name: "size-spread",
        title: "How sizes lie",
        columns: vec![
            Column::figures("Size, about", 30),
            Column::figures("How many", 20),
            Column::words("What is to be said", 50),
        ],
        rows: columns.counts.iter().map(row).collect(),
    }
}

/// How many sizes chance would put into each column, finely.
fn curve(shown: &SizeSpread<'_>, columns: &Columns) -> Vec<(Length, f64)> {
    let sigma = shown.summary.deviation.mm();
    if sigma <= 0.0 {
        return Vec::new();
    }
    let many = f64::from(shown.summary.count) * columns.width.mm() / sigma;
    let steps = 120;
    let at = |step: i64| {
        let size = columns.from
            + Length::nearest_mm((columns.to - columns.from).mm() * step as f64 / f64::from(steps));
        let off = (size - shown.summary.mean).mm() / sigma;
        (size, many * libm::exp(-off * off / 2.0) / (2.0 * std::f64::consts::PI).sqrt())
    };
    (0..=i64::from(steps)).map(at).collect()
}

fn size_words(size: Length, units: Units) -> String {
    format!("{} {}", size.text(units, units.decimals()), units.symbol())
}

fn zone(shown: &SizeSpread<'_>, columns: &Columns, shapes: &mut Vec<Shape>) {
    let Some((band, _)) = shown.fit else { return };
    let left = columns.x(band.least().unwrap_or(columns.from));
    let right = columns.x(band.most().unwrap_or(columns.to));
    let title = "within the drawing's limits".to_owned();
    shapes.push(Shape::Box { at: [left, TOP, right - left, HEIGHT], role: Role::Good, title });
}

fn limits(shown: &SizeSpread<'_>, columns: &Columns, shapes: &mut Vec<Shape>) {
    let Some((band, _)) = shown.fit else { return };
    let ends = [(band.least(), "LEAST", Anchor::Start), (band.most(), "MOST", Anchor::End)];
    for (end, word, anchor) in ends {
        let Some(end) = end else { continue };
        let x = columns.x(end);
        shapes.push(Shape::Line { at: [x, TOP, x, TOP + HEIGHT], role: Role::Mark });
        let words = format!("{word} {}", end.text(shown.units, shown.units.decimals()));
        shapes.push(Shape::Text { at: [x, TOP - 6.0], anchor, words });
    }
}

fn scales(
    shown: &SizeSpread<'_>,
    columns: &Columns,
    top: f64,
    y: &dyn Fn(f64) -> f64,
    shapes: &mut Vec<Shape>,
) {
    let floor = TOP + HEIGHT;
    shapes.push(Shape::Line { at: [LEFT, TOP, LEFT, floor], role: Role::Measure });
    shapes.push(Shape::Line { at: [LEFT, floor, WIDTH - RIGHT, floor], role: Role::Measure });
    for count in ticks(0, top as i64, step(top as i64, 5)) {
        let at = y(count as f64);
        shapes.push(Shape::Line { at: [LEFT - 6.0, at, LEFT, at], role: Role::Measure });
        let words = count.to_string();
        shapes.push(Shape::Text { at: [LEFT - 9.0, at + 4.0], anchor: Anchor::End, words });
    }
    let grain = shown.units.nanometers() / 10_i64.pow(shown.units.decimals() as u32);
    let (from, to) = (columns.from.nm().div_euclid(grain), columns.to.nm().div_euclid(grain));
    for tick in ticks(from + 1, to, step(to - from, 10)) {
        let size = Length::from_nm(tick * grain);
        let x = columns.x(size);
        shapes.push(Shape::Line { at: [x, floor, x, floor + 5.0], role: Role::Measure });
        let words = size.text(shown.units, shown.units.decimals());
        shapes.push(Shape::Text { at: [x, floor + 18.0], anchor: Anchor::Middle, words });
    }
    let words =
        format!("size, {}; a column counts the sizes about its middle", shown.units.symbol());
    let at = [WIDTH - RIGHT, floor + 38.0];
    shapes.push(Shape::Text { at, anchor: Anchor::End, words });
}

fn headlines(shown: &SizeSpread<'_>) -> Vec<String> {
    let SizeSummary { count, mean, deviation } = shown.summary;
    let fine = |it: Length| it.text(shown.units, shown.units.decimals() + 1);
    let mut rows = vec![
        shown.name.to_owned(),
        format!(
            "{count} sizes, mean {} {unit}, standard deviation {} {unit}",
            fine(mean),
            fine(deviation),
            unit = shown.units.symbol()
        ),
    ];
    if let Some((_, fit)) = shown.fit {
        let range =
            |it: Spread<f64>| format!("{:.2} ({:.2} to {:.2})", it.nominal, it.low, it.high);
        let cp = fit.cp.map_or(String::new(), |cp| format!("Cp {}, ", range(cp)));
        rows.push(format!(
            "{cp}Cpk {}; {} outside of the limits, if sizes scatter normally",
            range(fit.cpk),
            share(fit.outside.ratio())
        ));
    }
    rows
}

fn share(outside: f64) -> String {
    match outside {
        few if few < 1e-6 => "less than one in a million".to_owned(),
        some if some < 1e-3 => format!("{:.0} in a million", 1e6 * some),
        many => format!("{:.1} %", 100.0 * many),
    }
}
