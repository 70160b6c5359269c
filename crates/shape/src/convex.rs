//! Convex polygons: what a tool's outline is split into and what its moves sweep.

use crate::point::{Bounds, Flaw, Point, cross, dot, straighten, turn};

/// A convex polygon: counterclockwise from its least point, no three corners in a line.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Convex {
    points: Vec<Point>,
    /// Index of the greatest point: the lower chain ends there.
    far: usize,
    bounds: Bounds,
}

/// Where a point lies against a convex polygon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Place {
    Outside,
    On,
    Inside,
}

impl Convex {
    /// The convex hull of points.
    ///
    /// # Errors
    /// [`Flaw::NoArea`] if all points are in a line, [`Flaw::TooFar`] beyond [`crate::LIMIT`].
    pub fn hull(points: &[Point]) -> Result<Convex, Flaw> {
        let mut sorted = points.to_vec();
        for p in &sorted {
            p.checked()?;
        }
        sorted.sort_unstable();
        sorted.dedup();
        let mut hull = chain(sorted.iter().copied());
        hull.pop();
        hull.extend(chain(sorted.iter().rev().copied()));
        hull.pop();
        Convex::from_ccw(hull)
    }

    /// Takes corners that already run counterclockwise around a convex polygon.
    pub(crate) fn from_ccw(mut points: Vec<Point>) -> Result<Convex, Flaw> {
        straighten(&mut points);
        let least = (0..points.len()).min_by_key(|&i| points[i]).ok_or(Flaw::NoArea)?;
        points.rotate_left(least);
        let far = (0..points.len()).max_by_key(|&i| points[i]).unwrap_or(0);
        let bounds = Bounds::around(points.iter().copied()).ok_or(Flaw::NoArea)?;
        bounds.min.checked()?;
        bounds.max.checked()?;
        Ok(Convex { points, far, bounds })
    }

    /// The corners, counterclockwise.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// The smallest box around it.
    pub fn bounds(&self) -> &Bounds {
        &self.bounds
    }

    /// The start and end of edge `k`, which runs from corner `k`.
    #[inline]
    pub(crate) fn edge(&self, k: usize) -> (Point, Point) {
        let next = if k + 1 == self.points.len() { 0 } else { k + 1 };
        (self.points[k], self.points[next])
    }

    /// The same polygon moved.
    pub(crate) fn moved(&self, by: Point) -> Convex {
        Convex {
            points: self.points.iter().map(|p| p.plus(by)).collect(),
            far: self.far,
            bounds: Bounds { min: self.bounds.min.plus(by), max: self.bounds.max.plus(by) },
        }
    }

    /// The same polygon on the other side of the axis.
    pub(crate) fn mirrored(&self) -> Result<Convex, Flaw> {
        Convex::from_ccw(self.points.iter().rev().map(|p| p.mirrored()).collect())
    }

    /// Everything the polygon covers on its straight way from `from` to `to`: exact.
    pub(crate) fn swept(&self, from: Point, to: Point) -> Result<Convex, Flaw> {
        let way = to.minus(from);
        if way == Point::default() {
            return Ok(self.moved(from));
        }
        let mut out = Vec::with_capacity(self.points.len() + 2);
        let (_, mut was_ahead) = ends(way, self.edge(self.points.len() - 1));
        for (k, &p) in self.points.iter().enumerate() {
            let (start_ahead, end_ahead) = ends(way, self.edge(k));
            let (near, ahead) = (p.plus(from), p.plus(to));
            out.push(if was_ahead { ahead } else { near });
            if start_ahead != was_ahead {
                out.push(if start_ahead { ahead } else { near });
            }
            was_ahead = end_ahead;
        }
        Convex::from_ccw(out)
    }

    /// Where `p` lies: exact, by bisection.
    #[inline]
    pub(crate) fn place(&self, p: Point) -> Place {
        let b = &self.bounds;
        if p.z < b.min.z || p.z > b.max.z || p.r < b.min.r || p.r > b.max.r {
            return Place::Outside;
        }
        let (lower, upper) = (&self.points[..=self.far], &self.points[self.far..]);
        let i = lower.partition_point(|q| q.z < p.z);
        let above =
            if i == 0 { i128::from(p.r - lower[0].r) } else { turn(lower[i - 1], lower[i], p) };
        if above < 0 {
            return Place::Outside;
        }
        let i = upper.partition_point(|q| q.z > p.z);
        let below = if i == 0 {
            i128::from(upper[0].r - p.r)
        } else {
            turn(upper[i - 1], *upper.get(i).unwrap_or(&self.points[0]), p)
        };
        if below < 0 {
            return Place::Outside;
        }
        if above == 0 || below == 0 || p.z == b.min.z || p.z == b.max.z {
            return Place::On;
        }
        Place::Inside
    }
}

/// One chain of a hull: left turns only.
fn chain(points: impl Iterator<Item = Point>) -> Vec<Point> {
    let mut out: Vec<Point> = Vec::new();
    for p in points {
        while out.len() > 1 && turn(out[out.len() - 2], out[out.len() - 1], p) <= 0 {
            out.pop();
        }
        out.push(p);
    }
    out
}

/// Whether an edge's start and its end go with the front of a move along `way`.
fn ends(way: Point, (a, b): (Point, Point)) -> (bool, bool) {
    let edge = b.minus(a);
    match cross(way, edge).signum() {
        1 => (true, true),
        -1 => (false, false),
        _ if dot(way, edge) > 0 => (false, true),
        _ => (true, false),
    }
}
