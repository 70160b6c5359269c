//! Whether a sweep meets metal, where, and how deep.

use crate::convex::Convex;
use crate::point::{Point, edges};
use crate::region::Region;
use crate::sweep::Sweep;

/// The deepest common point of a region and a sweep.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Overlap {
    /// How far that point is from the outline of the swept piece, in nanometers, rounded down:
    /// how much the outline would have to shrink to be clear.
    pub depth: i64,
    /// Where it is, to the nearest nanometer.
    pub at: Point,
}

impl Region {
    /// The deepest point at which a sweep goes more than `deeper_than` (≥ 0 nm) into the region;
    /// `None` if it does nowhere. Touching is no overlap.
    ///
    /// Depth is measured from the outline of each convex piece, to better than 1 nm, so metal that
    /// stands only along the seam of two pieces, thinner than twice `deeper_than`, is not seen.
    pub fn overlap(&self, sweep: &Sweep, deeper_than: i64) -> Option<Overlap> {
        if !self.bounds().is_some_and(|b| b.touches(sweep.bounds())) {
            return None;
        }
        let limit = deeper_than.max(0) as f64;
        let pieces = sweep.pieces().iter();
        let deepest = pieces
            .filter(|piece| self.bounds().is_some_and(|b| b.touches(piece.bounds())))
            .filter_map(|piece| deepest(self, piece, limit))
            .max_by(|a, b| a.0.total_cmp(&b.0))?;
        Some(Overlap { depth: libm::floor(deepest.0) as i64, at: deepest.1 })
    }
}

/// The least depth called an overlap: half a grid step is rounding.
const GRAZE: f64 = 0.5;
/// The search for the deepest point ends when it gains less than this, in nanometers.
const SETTLED: f64 = 1e-6;

fn deepest(region: &Region, piece: &Convex, limit: f64) -> Option<(f64, Point)> {
    let walls = Walls::of(piece);
    let limit = limit.max(GRAZE);
    let mut best: Option<(f64, Point)> = None;
    for (a, b) in region.loops().flat_map(edges) {
        if piece.bounds().near(a, b) {
            let (depth, at) = walls.deepest_on(a, b);
            if depth > best.map_or(limit, |b| b.0) {
                best = Some((depth, at));
            }
        }
    }
    // Where no boundary goes deep, the deep part of the piece is all metal or all free: one point
    // of it tells.
    let metal = |p: Point| region.depth_of(p) != Some(false);
    let probe = Walls::mean(piece);
    if best.is_none() && walls.depth(probe) > limit && !metal(probe) {
        return None;
    }
    let (depth, middle) = walls.middle(piece);
    if depth > limit && metal(middle) { Some((depth, middle)) } else { best }
}

/// The edges of a convex piece as distances inwards: d = nz·z + nr·r − c, around `origin`.
struct Walls {
    origin: Point,
    walls: Vec<[f64; 3]>,
}

impl Walls {
    fn of(piece: &Convex) -> Walls {
        let origin = piece.points()[0];
        let wall = |k: usize| {
            let (a, b) = piece.edge(k);
            let (z, r) = ((b.z - a.z) as f64, (b.r - a.r) as f64);
            let length = libm::hypot(z, r);
            let (nz, nr) = (-r / length, z / length);
            let a = a.minus(origin);
            [nz, nr, nz * a.z as f64 + nr * a.r as f64]
        };
        Walls { origin, walls: (0..piece.points().len()).map(wall).collect() }
    }

    /// The least of some lines `value + slope·t` at `t`, with its line.
    fn least(lines: impl Iterator<Item = [f64; 2]>, t: f64) -> (f64, [f64; 2]) {
        let at = lines.map(|l| (l[0] + l[1] * t, l));
        at.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((0.0, [0.0, 0.0]))
    }

    /// The greatest depth along the stretch from `from` by `way`·t, t in 0..=1: the top of a
    /// concave line of straight parts, found by cutting off corners.
    fn top(&self, from: [f64; 2], way: [f64; 2]) -> (f64, f64) {
        let line =
            |w: &[f64; 3]| [w[0] * from[0] + w[1] * from[1] - w[2], w[0] * way[0] + w[1] * way[1]];
        let lines = || self.walls.iter().map(line);
        let (start, mut rising) = Walls::least(lines(), 0.0);
        let (end, mut falling) = Walls::least(lines(), 1.0);
        if rising[1] <= 0.0 {
            return (start, 0.0);
        }
        if falling[1] >= 0.0 {
            return (end, 1.0);
        }
        // Each round replaces one of the two lines by a lower one; there are as many as walls.
        for _ in 0..=self.walls.len() {
            let t = (falling[0] - rising[0]) / (rising[1] - falling[1]);
            let (depth, lowest) = Walls::least(lines(), t);
            if depth >= rising[0] + rising[1] * t - SETTLED {
                return (depth, t);
            }
            if lowest[1] > 0.0 { rising = lowest } else { falling = lowest }
        }
        let t = (falling[0] - rising[0]) / (rising[1] - falling[1]);
        (Walls::least(lines(), t).0, t)
    }

    fn depth(&self, p: Point) -> f64 {
        let p = p.minus(self.origin);
        let distance = |w: &[f64; 3]| [w[0] * p.z as f64 + w[1] * p.r as f64 - w[2], 0.0];
        Walls::least(self.walls.iter().map(distance), 0.0).0
    }

    /// The mean of the corners: in the piece, and mostly deep in it.
    fn mean(piece: &Convex) -> Point {
        let n = piece.points().len() as i64;
        let sum = |f: fn(&Point) -> i64| piece.points().iter().map(f).sum::<i64>() / n;
        Point::new(sum(|p| p.z), sum(|p| p.r))
    }

    fn point(&self, z: f64, r: f64) -> Point {
        self.origin.plus(Point::new(libm::round(z) as i64, libm::round(r) as i64))
    }

    fn deepest_on(&self, a: Point, b: Point) -> (f64, Point) {
        let (from, to) = (a.minus(self.origin), b.minus(self.origin));
        let (z, r) = (from.z as f64, from.r as f64);
        let (dz, dr) = (to.z as f64 - z, to.r as f64 - r);
        let (depth, t) = self.top([z, r], [dz, dr]);
        (depth, self.point(z + dz * t, r + dr * t))
    }

    /// The point of the piece farthest from its outline: over z by thirds, over r exactly.
    fn middle(&self, piece: &Convex) -> (f64, Point) {
        let (min, max) =
            (piece.bounds().min.minus(self.origin), piece.bounds().max.minus(self.origin));
        let (bottom, height) = (min.r as f64, (max.r - min.r) as f64);
        let at = |z: f64| self.top([z, bottom], [0.0, height]);
        let (mut low, mut high) = (min.z as f64, max.z as f64);
        for _ in 0..120 {
            let (a, b) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
            if at(a).0 < at(b).0 { low = a } else { high = b }
        }
        let z = f64::midpoint(low, high);
        let (depth, t) = at(z);
        (depth, self.point(z, bottom + height * t))
    }
}
