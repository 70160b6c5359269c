//! How far a piece lies beyond a limit, and where.

use super::limits::nominal;
use super::profile::Profile;
use shape::{Edge, Point, Region};

/// Metal that lies beyond a limit, or is missing inside of it: one piece of it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Gap {
    /// How far its deepest point is beyond the limit, in nanometers.
    pub by: f64,
    /// That point, on the part's surface.
    pub at: Point,
    /// A point halfway from there to the limit, inside of the gap.
    pub within: Point,
}

/// Each piece of what lies between a piece and a limit that goes more than `least` beyond the limit.
pub(crate) fn gaps(between: &Region, limit: &Region, least: f64) -> Vec<Gap> {
    let walls: Vec<(Point, Point)> =
        limit.loops().flat_map(edges).filter(|(a, b)| a.r != 0 || b.r != 0).collect();
    let away = |at: Point| {
        let near = walls.iter().map(|(a, b)| nearest(at, *a, *b));
        near.min_by(|a, b| a.0.total_cmp(&b.0))
    };
    let worst = |piece: Region| -> Option<Gap> {
        let mut best: Option<Gap> = None;
        let mut best_is_end = true;
        for (a, b) in piece.loops().flat_map(edges) {
            let (share, by) = farthest(a, b, |at| away(at).map_or(0.0, |near| near.0));
            // Where a whole edge is equally deep, its middle tells which cut made it; at its ends
            // two cuts meet.
            let is_end = !(0.05..=0.95).contains(&share);
            let better = |best: Gap| {
                by > best.by + EQUAL || (best_is_end && !is_end && by > best.by - EQUAL)
            };
            if best.is_none_or(better) {
                best_is_end = is_end;
                let at = on(a, b, share);
                let foot = away(at)?.1;
                let within = Point::new(midpoint(at.z, foot.z), midpoint(at.r, foot.r));
                best = Some(Gap { by, at, within });
            }
        }
        best
    };
    between.pieces().filter_map(worst).filter(|gap| gap.by > least).collect()
}

/// Depths that differ by less, in nanometers, are equal.
const EQUAL: f64 = 2.0;
/// Places on an edge that are tried before the best of them is made better.
const TRIED: u32 = 16;

fn on(a: Point, b: Point, share: f64) -> Point {
    let part = |a: i64, b: i64| a + libm::round((b - a) as f64 * share) as i64;
    Point::new(part(a.z, b.z), part(a.r, b.r))
}

/// Where on an edge something is greatest, as a share of it, and how great: the middle first, then
/// places evenly along it, then by thirds around the best of them.
fn farthest(a: Point, b: Point, depth: impl Fn(Point) -> f64) -> (f64, f64) {
    let at = |share: f64| depth(on(a, b, share));
    let mut best = (0.5, at(0.5));
    for index in 0..=TRIED {
        let share = f64::from(index) / f64::from(TRIED);
        let by = at(share);
        if by > best.1 + EQUAL {
            best = (share, by);
        }
    }
    let step = 1.0 / f64::from(TRIED);
    let (mut low, mut high) = ((best.0 - step).max(0.0), (best.0 + step).min(1.0));
    for _ in 0..24 {
        let (one, two) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
        let (first, second) = (at(one), at(two));
        for (share, by) in [(one, first), (two, second)] {
            if by > best.1 + EQUAL {
                best = (share, by);
            }
        }
        if first < second { low = one } else { high = two }
    }
    best
}

const fn midpoint(a: i64, b: i64) -> i64 {
    a + (b - a) / 2
}

/// The edges of a loop.
pub(crate) fn edges(points: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    points.iter().enumerate().map(|(i, a)| (*a, points[(i + 1) % points.len()]))
}

/// Distance from a point to a stretch, and its nearest point there.
pub(crate) fn nearest(p: Point, a: Point, b: Point) -> (f64, Point) {
    let (dz, dr) = ((b.z - a.z) as f64, (b.r - a.r) as f64);
    let (pz, pr) = ((p.z - a.z) as f64, (p.r - a.r) as f64);
    let square = dz * dz + dr * dr;
    let t = if square > 0.0 { ((pz * dz + pr * dr) / square).clamp(0.0, 1.0) } else { 0.0 };
    let (fz, fr) = (dz * t, dr * t);
    let foot = Point::new(a.z + libm::round(fz) as i64, a.r + libm::round(fr) as i64);
    (libm::hypot(pz - fz, pr - fr), foot)
}

/// The line of the drawing nearest to a place.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Nearest {
    pub feature: usize,
    /// How far the place is from that line, in nanometers; lines go on beyond their ends.
    pub off: f64,
    /// How the line slopes there: degrees from the axis, negative where it falls toward the chuck.
    pub slope: f64,
    distance: f64,
}

/// The line of the drawing nearest to a place.
pub(crate) fn nearest_line(profile: &Profile, at: Point) -> Option<Nearest> {
    let lines = profile.all().flat_map(|stretch| {
        nominal(stretch).into_iter().map(move |(from, line)| match line {
            Edge::Line(to) => straight(stretch.feature, at, from, to),
            Edge::Arc { to, center, .. } => round(stretch.feature, at, from, to, center),
        })
    });
    lines.min_by(|a, b| a.distance.total_cmp(&b.distance))
}

fn straight(feature: usize, at: Point, from: Point, to: Point) -> Nearest {
    let (dz, dr) = ((to.z - from.z) as f64, (to.r - from.r) as f64);
    let (pz, pr) = ((at.z - from.z) as f64, (at.r - from.r) as f64);
    let length = libm::hypot(dz, dr).max(1.0);
    Nearest {
        feature,
        off: ((pz * dr - pr * dz) / length).abs(),
        slope: libm::atan2(dr, -dz).to_degrees(),
        distance: nearest(at, from, to).0,
    }
}

fn round(feature: usize, at: Point, from: Point, to: Point, center: Point) -> Nearest {
    let away = |p: Point| ((p.z - center.z) as f64, (p.r - center.r) as f64);
    let (pz, pr) = away(at);
    let (fz, fr) = away(from);
    let (radius, distance) = (libm::hypot(fz, fr), libm::hypot(pz, pr));
    let off = (distance - radius).abs();
    // Beyond its ends the arc's ends are what is near.
    let (tz, tr) = away(to);
    let between = (fz * pr - fr * pz) * (fz * tr - fr * tz) >= 0.0
        && (pz * tr - pr * tz) * (fz * tr - fr * tz) >= 0.0;
    let ends = nearest(at, from, from).0.min(nearest(at, to, to).0);
    // Hollow arcs have their center outside of the metal: the same tangent.
    let (tz, tr) = (-pr, pz);
    let slope = libm::atan(-tr / if tz == 0.0 { 1.0 } else { tz }).to_degrees();
    Nearest { feature, off, slope, distance: if between { off } else { ends } }
}
