//! Regions: sets of polygons with holes, in one canonical form.

use crate::outline::Outline;
use crate::point::{Bounds, Flaw, LIMIT, Point, between, straighten, turn};

/// A polygon with holes. The inside is left of every edge.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Polygon {
    /// Its loops: the outer one, counterclockwise, then the holes, clockwise.
    pub(crate) loops: Vec<Vec<Point>>,
}

impl Polygon {
    /// The outer loop, counterclockwise from its least point.
    pub fn outer(&self) -> &[Point] {
        self.loops.first().map_or(&[], Vec::as_slice)
    }

    /// The holes, clockwise, each from its least point.
    pub fn holes(&self) -> &[Vec<Point>] {
        self.loops.get(1..).unwrap_or(&[])
    }

    /// The smallest box around it.
    pub fn bounds(&self) -> Option<Bounds> {
        Bounds::around(self.outer().iter().copied())
    }
}

/// A flat region: polygons with holes that have no area in common; they may touch in points.
///
/// Regions with the same points are equal and hash alike: loops start at their least point, have no
/// corner in a straight line, and polygons and holes are sorted.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Default)]
pub struct Region {
    pub(crate) polygons: Vec<Polygon>,
    bounds: Option<Bounds>,
}

impl Region {
    /// The region without a point.
    pub fn empty() -> Region {
        Region::default()
    }

    /// The rectangle between two opposite corners.
    ///
    /// # Errors
    /// [`Flaw::NoArea`], [`Flaw::TooFar`].
    pub fn rectangle(a: Point, b: Point) -> Result<Region, Flaw> {
        let corners = [a, Point::new(b.z, a.r), b, Point::new(a.z, b.r)];
        Ok(Region::from(&Outline::polygon(&corners)?))
    }

    /// The region that loops enclose; where loops lie within each other, every second one is a
    /// hole. Loops may cross.
    ///
    /// # Errors
    /// [`Flaw::TooFar`].
    pub fn from_loops(loops: &[Vec<Point>]) -> Result<Region, Flaw> {
        for p in loops.iter().flatten() {
            p.checked()?;
        }
        Ok(crate::boolean::resolved(loops))
    }

    /// Brings polygons into canonical form. The inside must be left of every edge.
    pub(crate) fn settled(mut polygons: Vec<Polygon>) -> Region {
        polygons.retain_mut(|polygon| {
            for points in &mut polygon.loops {
                straighten(points);
                let least = (0..points.len()).min_by_key(|&i| points[i]).unwrap_or(0);
                points.rotate_left(least);
            }
            if polygon.outer().is_empty() {
                return false;
            }
            polygon.loops.retain(|points| !points.is_empty());
            polygon.loops[1..].sort_unstable();
            true
        });
        polygons.sort_unstable();
        let bounds = Bounds::around(polygons.iter().flat_map(|p| p.outer().iter().copied()));
        Region { polygons, bounds }
    }

    /// The polygons in canonical order. Metal that hangs together is one polygon.
    pub fn polygons(&self) -> &[Polygon] {
        &self.polygons
    }

    /// All loops, of all polygons.
    pub fn loops(&self) -> impl Iterator<Item = &[Point]> {
        self.polygons.iter().flat_map(|p| &p.loops).map(Vec::as_slice)
    }

    /// Whether the region has no point.
    pub fn is_empty(&self) -> bool {
        self.polygons.is_empty()
    }

    /// The smallest box around it; `None` if empty.
    pub fn bounds(&self) -> Option<&Bounds> {
        self.bounds.as_ref()
    }

    /// The number of corners.
    pub fn corners(&self) -> usize {
        self.loops().map(<[Point]>::len).sum()
    }

    /// The connected pieces, each a region: after a part-off, the bar and the part. Pieces that
    /// only touch in a point are two.
    pub fn pieces(&self) -> impl Iterator<Item = Region> + '_ {
        self.polygons.iter().map(|p| Region { polygons: vec![p.clone()], bounds: p.bounds() })
    }

    /// The region moved along the axis, but no farther than to the end of the grid ([`crate::LIMIT`]).
    #[must_use]
    pub fn shifted(&self, dz: i64) -> Region {
        let by = Point::new(self.room_for(dz), 0);
        let mut out = self.clone();
        for p in out.polygons.iter_mut().flat_map(|p| &mut p.loops).flatten() {
            *p = p.plus(by);
        }
        out.bounds = self.bounds.map(|b| Bounds { min: b.min.plus(by), max: b.max.plus(by) });
        out
    }

    /// How far of `dz` the region can move within the grid.
    pub(crate) fn room_for(&self, dz: i64) -> i64 {
        let room = |b: Bounds| dz.clamp((-LIMIT - b.min.z).min(0), (LIMIT - b.max.z).max(0));
        self.bounds.map_or(0, room)
    }

    /// Whether a point lies in the region; its boundary counts.
    pub fn contains(&self, p: Point) -> bool {
        self.bounds.is_some_and(|b| b.near(p, p)) && self.depth_of(p) != Some(false)
    }

    /// `Some(true)` inside, `Some(false)` outside, `None` on the boundary.
    pub(crate) fn depth_of(&self, p: Point) -> Option<bool> {
        let mut inside = false;
        for (a, b) in self.loops().flat_map(crate::point::edges) {
            if (a.z <= p.z) != (b.z <= p.z) {
                let side = turn(a, b, p);
                if side == 0 {
                    return None;
                }
                inside ^= (side > 0) == (b.z > a.z);
            } else if a == p || (a.z == p.z && b.z == p.z && between(a, b, p)) {
                return None;
            }
        }
        Some(inside)
    }
}

impl From<&Outline> for Region {
    fn from(outline: &Outline) -> Region {
        Region::settled(vec![Polygon { loops: vec![outline.points().to_vec()] }])
    }
}
