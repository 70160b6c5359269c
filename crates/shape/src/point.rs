//! Grid points and the exact tests on them.

use std::fmt;

/// The farthest coordinate, in nanometers: 2³⁶ nm, about 68.7 m. Within it every product of three
/// coordinates fits 128 bits.
pub const LIMIT: i64 = 1 << 36;

/// Why a shape is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flaw {
    /// A coordinate beyond ±[`LIMIT`].
    TooFar,
    /// Fewer than three corners that are not in one line.
    NoArea,
    /// The outline crosses or touches itself.
    CrossesItself,
    /// An arc whose ends are not equally far from its center (by more than 50 µm), or without radius.
    NoArc,
}

impl fmt::Display for Flaw {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Flaw::TooFar => "a coordinate is beyond 68 m",
            Flaw::NoArea => "the outline encloses no area",
            Flaw::CrossesItself => "the outline crosses or touches itself",
            Flaw::NoArc => "the ends of an arc are not equally far from its center",
        })
    }
}

impl std::error::Error for Flaw {}

/// A point of the half-plane, in nanometers. Ordered by z, then r.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Point {
    /// Along the axis.
    pub z: i64,
    /// Out from the axis; negative on the far side of it.
    pub r: i64,
}

impl Point {
    /// Both coordinates at once.
    pub const fn new(z: i64, r: i64) -> Self {
        Self { z, r }
    }

    /// Refuses a point beyond [`LIMIT`].
    pub(crate) fn checked(self) -> Result<Self, Flaw> {
        let near = |c: i64| (-LIMIT..=LIMIT).contains(&c);
        if near(self.z) && near(self.r) { Ok(self) } else { Err(Flaw::TooFar) }
    }

    pub(crate) fn plus(self, other: Point) -> Point {
        Point::new(self.z.saturating_add(other.z), self.r.saturating_add(other.r))
    }

    pub(crate) fn minus(self, other: Point) -> Point {
        Point::new(self.z.saturating_sub(other.z), self.r.saturating_sub(other.r))
    }

    pub(crate) fn mirrored(self) -> Point {
        Point::new(self.z, self.r.saturating_neg())
    }
}

/// The cross product of two vectors.
pub(crate) fn cross(a: Point, b: Point) -> i128 {
    i128::from(a.z) * i128::from(b.r) - i128::from(a.r) * i128::from(b.z)
}

/// The scalar product of two vectors.
pub(crate) fn dot(a: Point, b: Point) -> i128 {
    i128::from(a.z) * i128::from(b.z) + i128::from(a.r) * i128::from(b.r)
}

/// Twice the area of the triangle `a b p`: positive if `p` is left of `a → b`, 0 if on the line.
#[inline]
pub(crate) fn turn(a: Point, b: Point, p: Point) -> i128 {
    let (az, ar) = (b.z - a.z, b.r - a.r);
    let (bz, br) = (p.z - a.z, p.r - a.r);
    i128::from(az) * i128::from(br) - i128::from(ar) * i128::from(bz)
}

/// The crossing of the lines `a b` and `c d`, as the nearest grid point (a half goes up), and
/// whether it is exact. `None` for parallel lines.
pub(crate) fn meet(a: Point, b: Point, c: Point, d: Point) -> Option<(Point, bool)> {
    let (u, v) = (b.minus(a), d.minus(c));
    let below = cross(u, v);
    if below == 0 {
        return None;
    }
    let above = cross(c.minus(a), v);
    let (above, below) = if below < 0 { (-above, -below) } else { (above, below) };
    let (z, z_exact) = nearest(above * i128::from(u.z), below);
    let (r, r_exact) = nearest(above * i128::from(u.r), below);
    Some((Point::new(a.z + z, a.r + r), z_exact && r_exact))
}

/// `above / below` to the nearest integer, a half up; `below > 0`.
fn nearest(above: i128, below: i128) -> (i64, bool) {
    let floor = above.div_euclid(below);
    let rest = above.rem_euclid(below);
    ((floor + i128::from(2 * rest >= below)) as i64, rest == 0)
}

/// Whether `p` lies in the closed box around `a` and `b`.
pub(crate) fn between(a: Point, b: Point, p: Point) -> bool {
    p.z >= a.z.min(b.z) && p.z <= a.z.max(b.z) && p.r >= a.r.min(b.r) && p.r <= a.r.max(b.r)
}

/// Whether `a b` and `c d` cross inside both of them.
pub(crate) fn crosses(a: Point, b: Point, c: Point, d: Point) -> bool {
    let (s, t) = (turn(a, b, c).signum(), turn(a, b, d).signum());
    s * t < 0 && turn(c, d, a).signum() * turn(c, d, b).signum() < 0
}

/// Whether the closed segments `a b` and `c d` have a point in common.
pub(crate) fn touches(a: Point, b: Point, c: Point, d: Point) -> bool {
    let (s, t) = (turn(a, b, c), turn(a, b, d));
    let (u, v) = (turn(c, d, a), turn(c, d, b));
    (s.signum() * t.signum() < 0 && u.signum() * v.signum() < 0)
        || (s == 0 && between(a, b, c))
        || (t == 0 && between(a, b, d))
        || (u == 0 && between(c, d, a))
        || (v == 0 && between(c, d, b))
}

/// Twice the signed area of a loop; positive when it runs counterclockwise (z to the right, r up).
pub(crate) fn twice_area(points: &[Point]) -> i128 {
    edges(points).map(|(a, b)| cross(a, b)).sum()
}

/// The edges of a loop, the closing one first.
pub(crate) fn edges(points: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    let last = points.last().copied().into_iter();
    last.chain(points.iter().copied()).zip(points.iter().copied())
}

/// Removes repeated corners and corners in a straight line, spikes included.
pub(crate) fn straighten(points: &mut Vec<Point>) {
    let bent = |a, b, c| turn(a, b, c) != 0;
    let clean = points.len() > 2
        && edges(points).zip(points.iter().cycle().skip(1)).all(|((a, b), &c)| bent(a, b, c));
    if clean {
        return;
    }
    let mut kept: Vec<Point> = Vec::with_capacity(points.len());
    for &p in points.iter() {
        while kept.len() > 1 && !bent(kept[kept.len() - 2], kept[kept.len() - 1], p) {
            kept.pop();
        }
        if kept.last() != Some(&p) {
            kept.push(p);
        }
    }
    // The seam: the loop's ends may be in line with each other.
    let mut first = 0;
    loop {
        let n = kept.len() - first;
        if n < 3 {
            kept.clear();
            first = 0;
            break;
        }
        let (last, before) = (kept[kept.len() - 1], kept[kept.len() - 2]);
        if last == kept[first] || !bent(before, last, kept[first]) {
            kept.pop();
        } else if !bent(last, kept[first], kept[first + 1]) {
            first += 1;
        } else {
            break;
        }
    }
    kept.drain(..first);
    *points = kept;
}

/// A box with sides along z and r, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Bounds {
    /// The corner with the least z and r.
    pub min: Point,
    /// The corner with the greatest z and r.
    pub max: Point,
}

impl Bounds {
    /// The smallest box around points; `None` without points.
    pub fn around(points: impl IntoIterator<Item = Point>) -> Option<Bounds> {
        let mut points = points.into_iter();
        let first = points.next()?;
        Some(points.fold(Bounds { min: first, max: first }, Bounds::with))
    }

    pub(crate) fn with(self, p: Point) -> Bounds {
        Bounds {
            min: Point::new(self.min.z.min(p.z), self.min.r.min(p.r)),
            max: Point::new(self.max.z.max(p.z), self.max.r.max(p.r)),
        }
    }

    /// Whether the boxes have a point in common; touching counts.
    #[inline]
    pub fn touches(&self, other: &Bounds) -> bool {
        self.min.z <= other.max.z
            && self.max.z >= other.min.z
            && self.min.r <= other.max.r
            && self.max.r >= other.min.r
    }

    /// Whether the box around the segment `a b` touches this box.
    #[inline]
    pub(crate) fn near(&self, a: Point, b: Point) -> bool {
        (a.z <= self.max.z || b.z <= self.max.z)
            && (a.z >= self.min.z || b.z >= self.min.z)
            && (a.r <= self.max.r || b.r <= self.max.r)
            && (a.r >= self.min.r || b.r >= self.min.r)
    }
}
