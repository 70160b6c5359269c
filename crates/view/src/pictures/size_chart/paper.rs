//! Where parts and sizes lie on the paper, and its scales.

use super::super::axis::{step, ticks};
use super::SizeChart;
use crate::scene::{Anchor, Role, Shape};
use model::{Length, Units};

pub(super) const WIDTH: f64 = 1000.0;
pub(super) const LEFT: f64 = 78.0;
const RIGHT: f64 = 112.0;
const TOP: f64 = 62.0;
/// Height of the sizes, and of the ranges below them.
const SIZES: f64 = 300.0;
const RANGES: f64 = 84.0;
/// Room between both, and below.
const BETWEEN: f64 = 26.0;
const BOTTOM: f64 = 46.0;
/// Least distance from one row of words to the next.
const ROW: f64 = 13.0;

/// Places on the paper.
pub(super) struct Paper {
    parts: (u32, u32),
    sizes: (Length, Length),
    widest: Length,
}

impl Paper {
    pub(super) fn of(shown: &SizeChart<'_>) -> Paper {
        let chart = shown.chart;
        let mut sizes = vec![chart.sizes.low, chart.sizes.high];
        sizes.extend(chart.points.iter().map(|it| it.size));
        sizes.extend(shown.kept.iter().map(|it| it.size));
        if let Some(band) = shown.band {
            sizes.extend(band.least().into_iter().chain(band.most()));
        }
        let outliers = shown.outliers.iter().map(|it| it.reading.part);
        let until = shown.ahead.map(|it| it.last.saturating_add(it.limit.parts));
        let parts: Vec<u32> =
            shown.kept.iter().map(|it| it.part).chain(outliers).chain(until).collect();
        let least = sizes.iter().copied().min().unwrap_or_default();
        let most = sizes.iter().copied().max().unwrap_or_default();
        let room = Length::from_nm(((most - least).nm() / 16).max(100));
        let ranges = chart.points.iter().filter_map(|it| it.range);
        Paper {
            parts: (
                parts.iter().copied().min().unwrap_or(0),
                parts.iter().copied().max().unwrap_or(0),
            ),
            sizes: (least - room, most + room),
            widest: ranges
                .chain([chart.ranges.high, Length::from_nm(100)])
                .max()
                .unwrap_or_default(),
        }
    }

    pub(super) fn wide(&self) -> f64 {
        self.right() - LEFT
    }

    // Each is a place on this paper, though some are the same on every one.
    #[allow(clippy::unused_self, reason = "places are asked of the paper")]
    pub(super) fn right(&self) -> f64 {
        WIDTH - RIGHT
    }

    #[allow(clippy::unused_self, reason = "places are asked of the paper")]
    pub(super) fn top(&self) -> f64 {
        TOP
    }

    pub(super) fn floor(&self) -> f64 {
        self.top() + SIZES
    }

    pub(super) fn range_floor(&self) -> f64 {
        self.floor() + BETWEEN + RANGES
    }

    pub(super) fn height(&self) -> f64 {
        self.range_floor() + BOTTOM
    }

    pub(super) fn x(&self, part: u32) -> f64 {
        let (first, last) = self.parts;
        let inside = self.wide() - 24.0;
        let off = (f64::from(part) - f64::from(first)) / f64::from((last - first).max(1));
        LEFT + 12.0 + inside * off.clamp(0.0, 1.0)
    }

    /// Just before a part, where an offset was moved.
    pub(super) fn before(&self, part: u32) -> f64 {
        let one = (self.x(part) - self.x(part.saturating_sub(1))).min(20.0);
        self.x(part) - one / 2.0
    }

    /// Height of a size; what is beyond the scale is at its end.
    pub(super) fn y(&self, size: Length) -> f64 {
        let (least, most) = self.sizes;
        let off = (size - least).mm() / (most - least).mm();
        self.floor() - SIZES * off.clamp(0.0, 1.0)
    }

    pub(super) fn holds(&self, size: Length) -> bool {
        self.sizes.0 <= size && size <= self.sizes.1
    }

    pub(super) fn range_y(&self, range: Length) -> f64 {
        let off = range.mm() / (self.widest.mm() * 1.08);
        self.range_floor() - RANGES * off.clamp(0.0, 1.0)
    }

    /// Words on the right of levels, from the highest down, pushed apart where they would touch.
    pub(super) fn beside(&self, words: &[(f64, String)], shapes: &mut Vec<Shape>) {
        let mut places: Vec<f64> = words.iter().map(|(y, _)| *y).collect();
        for index in 1..places.len() {
            places[index] = places[index].max(places[index - 1] + ROW);
        }
        // Back up where the last would leave its half of the picture.
        let most = if words.iter().any(|(y, _)| *y > self.floor()) {
            self.range_floor()
        } else {
            self.floor()
        };
        let mut under = most + ROW;
        for place in places.iter_mut().rev() {
            *place = place.min(under - ROW);
            under = *place;
        }
        for ((y, words), place) in words.iter().zip(places) {
            let from = self.right();
            shapes.push(Shape::Line { at: [from, *y, from + 8.0, place], role: Role::Measure });
            let at = [from + 11.0, place + 4.0];
            shapes.push(Shape::Text { at, anchor: Anchor::Start, words: words.clone() });
        }
    }

    pub(super) fn scales(&self, shown: &SizeChart<'_>, shapes: &mut Vec<Shape>) {
        let heads = [
            (self.top(), self.floor(), "size"),
            (self.range_floor() - RANGES, self.range_floor(), "range"),
        ];
        for (top, floor, word) in heads {
            shapes.push(Shape::Line { at: [LEFT, top, LEFT, floor], role: Role::Measure });
            shapes
                .push(Shape::Line { at: [LEFT, floor, self.right(), floor], role: Role::Measure });
            let words = format!("{word}, {}", shown.units.symbol());
            shapes.push(Shape::Text { at: [LEFT - 9.0, top - 8.0], anchor: Anchor::End, words });
        }
        let (least, most) = self.sizes;
        self.sizes_along(shown.units, (least, most), 7, &|it| self.y(it), shapes);
        self.sizes_along(
            shown.units,
            (Length::ZERO, self.widest),
            3,
            &|it| self.range_y(it),
            shapes,
        );
        self.parts_along(shown, shapes);
    }

    #[allow(clippy::unused_self, reason = "places are asked of the paper")]
    fn sizes_along(
        &self,
        units: Units,
        (least, most): (Length, Length),
        about: i64,
        y: &dyn Fn(Length) -> f64,
        shapes: &mut Vec<Shape>,
    ) {
        // Whole steps of the smallest figure that a shop writes, or of a tenth of it.
        let fine =
            (most - least).nm() < about * units.nanometers() / 10_i64.pow(units.decimals() as u32);
        let decimals = units.decimals() + usize::from(fine);
        let grain = units.nanometers() / 10_i64.pow(decimals as u32);
        let (from, to) = (least.nm().div_euclid(grain), most.nm().div_euclid(grain));
        let every = step(to.saturating_sub(from), about);
        for tick in ticks(from + 1, to, every).chain((least == Length::ZERO).then_some(0)) {
            let size = Length::from_nm(tick.saturating_mul(grain));
            let at = y(size);
            shapes.push(Shape::Line { at: [LEFT - 6.0, at, LEFT, at], role: Role::Measure });
            let words = size.text(units, decimals);
            shapes.push(Shape::Text { at: [LEFT - 9.0, at + 4.0], anchor: Anchor::End, words });
        }
    }

    fn parts_along(&self, shown: &SizeChart<'_>, shapes: &mut Vec<Shape>) {
        let (first, last) = self.parts;
        let floor = self.range_floor();
        let every = step(i64::from(last - first), 12);
        for tick in ticks(i64::from(first), i64::from(last), every) {
            let x = self.x(tick as u32);
            for floor in [self.floor(), floor] {
                shapes.push(Shape::Line { at: [x, floor, x, floor + 5.0], role: Role::Measure });
            }
            let at = [x, floor + 18.0];
            shapes.push(Shape::Text { at, anchor: Anchor::Middle, words: tick.to_string() });
        }
        let words = match shown.chart.group {
            1 => "number of the part; a range is the step from the size before, offset moves taken out".to_owned(),
            group => format!(
                "number of the part; a point is the mean of {group}, above the last of them; dashed lines are of means"
            ),
        };
        let at = [self.right(), floor + 36.0];
        shapes.push(Shape::Text { at, anchor: Anchor::End, words });
    }
}
