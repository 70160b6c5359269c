//! Areas, volumes and sections of regions.

use crate::point::{Point, cross, edges, twice_area};
use crate::region::Region;

/// A stretch of metal along r, in nanometers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Span {
    /// Its inner end: 0 where the piece is solid.
    pub low: i64,
    /// Its outer end.
    pub high: i64,
}

/// The two sides from which a section can be taken.
#[derive(Clone, Copy, PartialEq)]
enum From {
    Below,
    Above,
}

impl Region {
    /// Twice the area, in nm²: exact.
    pub fn twice_area(&self) -> i128 {
        self.loops().map(twice_area).sum()
    }

    /// The area in mm².
    pub fn area_mm2(&self) -> f64 {
        self.twice_area() as f64 / 2.0 * 1e-12
    }

    /// The volume of revolution around the axis, as a multiple of π/3 nm³: exact.
    ///
    /// By Pappus's theorem V = 2π ∬ r dA, and over a polygon that is π/3 · Σ (rᵢ + rᵢ₊₁)(zᵢ rᵢ₊₁ −
    /// zᵢ₊₁ rᵢ). What lies beyond the axis (r < 0) counts negative.
    pub fn volume_in_thirds_of_pi(&self) -> i128 {
        let ring = |(a, b): (Point, Point)| i128::from(a.r + b.r) * cross(a, b);
        self.loops().flat_map(edges).map(ring).sum()
    }

    /// The volume of revolution in mm³.
    pub fn volume_mm3(&self) -> f64 {
        self.volume_in_thirds_of_pi() as f64 * (core::f64::consts::PI / 3.0) * 1e-18
    }

    /// The stretches of metal at `z`, from the axis outwards, to the nearest nanometer. At a face
    /// both sides count: metal there is metal on either side.
    pub fn section(&self, z: i64) -> Vec<Span> {
        let mut spans = self.section_from(z, From::Below);
        spans.extend(self.section_from(z, From::Above));
        spans.sort_unstable_by_key(|s| (s.low, s.high));
        let mut out: Vec<Span> = Vec::with_capacity(spans.len());
        for span in spans {
            match out.last_mut() {
                Some(last) if span.low <= last.high => last.high = last.high.max(span.high),
                _ => out.push(span),
            }
        }
        out
    }

    /// The greatest radius between two places along the axis (both included), to the nearest
    /// nanometer; `None` where there is no metal.
    pub fn largest_radius(&self, from: i64, to: i64) -> Option<i64> {
        self.radii(from, to).max()
    }

    /// The least radius between two places along the axis (both included): of the bore, or 0 in a
    /// solid piece. `None` where there is no metal.
    pub fn least_radius(&self, from: i64, to: i64) -> Option<i64> {
        self.radii(from, to).min()
    }

    /// The radii of the boundary at both ends and at every corner between.
    fn radii(&self, from: i64, to: i64) -> impl Iterator<Item = i64> + '_ {
        let (from, to) = (from.min(to), from.max(to));
        self.loops().flat_map(edges).flat_map(move |(a, b)| {
            let (low, high) = (from.max(a.z.min(b.z)), to.min(a.z.max(b.z)));
            let clipped = if low > high {
                [None, None]
            } else if a.z == b.z {
                [Some(a.r), Some(b.r)]
            } else {
                [Some(radius_at(a, b, low)), Some(radius_at(a, b, high))]
            };
            clipped.into_iter().flatten()
        })
    }

    /// The outer profile, by increasing z: what a gauge from outside touches. Two points at one z
    /// are a face; a gap between pieces starts a new line.
    pub fn outside(&self) -> Vec<Vec<Point>> {
        self.envelope(|spans| spans.last().map(|s| s.high))
    }

    /// The inner profile, by increasing z: the bore, r = 0 where the piece is solid.
    pub fn inside(&self) -> Vec<Vec<Point>> {
        self.envelope(|spans| spans.first().map(|s| s.low))
    }

    fn envelope(&self, pick: impl Fn(&[Span]) -> Option<i64>) -> Vec<Vec<Point>> {
        let mut places: Vec<i64> = self.loops().flatten().map(|p| p.z).collect();
        places.sort_unstable();
        places.dedup();
        let mut lines: Vec<Vec<Point>> = Vec::new();
        let mut open = false;
        for z in places {
            let before = pick(&self.section_from(z, From::Below)).filter(|_| open);
            let after = pick(&self.section_from(z, From::Above));
            if after.is_some() && !open {
                lines.push(Vec::new());
            }
            open = after.is_some();
            if let Some(line) = lines.last_mut() {
                line.extend(before.map(|r| Point::new(z, r)));
                line.extend(after.filter(|_| before != after).map(|r| Point::new(z, r)));
            }
        }
        lines
    }

    fn section_from(&self, z: i64, side: From) -> Vec<Span> {
        let over = |a: Point, b: Point| match side {
            From::Below => (a.z < z) != (b.z < z),
            From::Above => (a.z <= z) != (b.z <= z),
        };
        let hits = self.loops().flat_map(edges).filter(|&(a, b)| over(a, b));
        let mut radii: Vec<i64> = hits.map(|(a, b)| radius_at(a, b, z)).collect();
        radii.sort_unstable();
        let spans = radii.chunks_exact(2).map(|c| Span { low: c[0], high: c[1] });
        spans.filter(|s| s.low < s.high).collect()
    }
}

/// The radius of a sloped edge at `z`, to the nearest nanometer, a half up.
fn radius_at(a: Point, b: Point, z: i64) -> i64 {
    let run = i128::from(b.z - a.z);
    let rise = i128::from(b.r - a.r) * i128::from(z - a.z);
    let (rise, run) = if run < 0 { (-rise, -run) } else { (rise, run) };
    a.r + (2 * rise + run).div_euclid(2 * run) as i64
}
