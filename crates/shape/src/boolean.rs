//! Booleans of any regions, by `i_overlay` on the grid itself (never its own scaling).
//!
//! Crossings of the two operands are rounded here, by [`meet`], before the library sees them: what
//! it is given crosses in common corners only, unless rounding made edges cross anew, which it
//! resolves.

use std::borrow::Cow;

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::{IntOverlayOptions, Overlay, ShapeType};
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::core::solver::Solver;
use i_overlay::i_float::int::point::IntPoint;

use crate::convex::Convex;
use crate::point::{Bounds, Point, crosses, dot, meet};
use crate::region::{Polygon, Region};
use crate::sweep::Sweep;

impl Region {
    /// What is in this region or in the other.
    #[must_use]
    pub fn union(&self, other: &Region) -> Region {
        overlay(&borrowed(self), &borrowed(other), OverlayRule::Union)
    }

    /// What is in this region and in the other.
    #[must_use]
    pub fn intersection(&self, other: &Region) -> Region {
        overlay(&borrowed(self), &borrowed(other), OverlayRule::Intersect)
    }

    /// What is in this region and not in the other.
    #[must_use]
    pub fn difference(&self, other: &Region) -> Region {
        overlay(&borrowed(self), &borrowed(other), OverlayRule::Difference)
    }
}

impl From<&Sweep> for Region {
    /// The sweep as one region: for pictures, areas and checks.
    fn from(sweep: &Sweep) -> Region {
        joined(sweep.pieces())
    }
}

/// The union of pieces, neighbors first: they have most in common.
fn joined(pieces: &[Convex]) -> Region {
    match pieces {
        [] => Region::empty(),
        [piece] => Region::settled(vec![Polygon { loops: vec![piece.points().to_vec()] }]),
        _ => {
            let (first, second) = pieces.split_at(pieces.len() / 2);
            joined(first).union(&joined(second))
        }
    }
}

/// The general way to take one convex piece away.
pub(crate) fn without(region: &Region, piece: &Convex) -> Region {
    overlay(&borrowed(region), &[Cow::Borrowed(piece.points())], OverlayRule::Difference)
}

/// The region loops enclose by the even-odd rule.
pub(crate) fn resolved(loops: &[Vec<Point>]) -> Region {
    let mut engine = engine(loops.len());
    for points in loops {
        engine.add_contour(&grid(points), ShapeType::Subject);
    }
    region(engine.overlay(OverlayRule::Subject, FillRule::EvenOdd))
}

type Loop<'a> = Cow<'a, [Point]>;

fn borrowed(region: &Region) -> Vec<Loop<'_>> {
    region.loops().map(Cow::Borrowed).collect()
}

fn overlay(subject: &[Loop<'_>], clip: &[Loop<'_>], rule: OverlayRule) -> Region {
    let (subject, clip) = met(subject, clip);
    let mut engine = engine(subject.len() + clip.len());
    for points in &subject {
        engine.add_contour(&grid(points), ShapeType::Subject);
    }
    for points in &clip {
        engine.add_contour(&grid(points), ShapeType::Clip);
    }
    region(engine.overlay(rule, FillRule::Positive))
}

/// The library with room for some loops; its results have polygons that hang together (`ogc`).
fn engine(loops: usize) -> Overlay<i64> {
    let options = IntOverlayOptions { ogc: true, ..IntOverlayOptions::default() };
    Overlay::new_custom(32 * loops, options, Solver::default())
}

fn grid(points: &[Point]) -> Vec<IntPoint<i64>> {
    points.iter().map(|p| IntPoint::new(p.z, p.r)).collect()
}

fn region(shapes: Vec<Vec<Vec<IntPoint<i64>>>>) -> Region {
    let points = |path: Vec<IntPoint<i64>>| path.iter().map(|p| Point::new(p.x, p.y)).collect();
    let polygon = |shape: Vec<_>| Polygon { loops: shape.into_iter().map(points).collect() };
    Region::settled(shapes.into_iter().map(polygon).collect())
}

/// Both operands with their rounded crossings as corners.
fn met(one: &[Loop<'_>], two: &[Loop<'_>]) -> (Vec<Vec<Point>>, Vec<Vec<Point>>) {
    let edges = |loops: &[Loop<'_>]| -> Vec<(Point, Point, Vec<Point>)> {
        let open = |points: &Loop<'_>| {
            let n = points.len();
            (0..n).map(|i| (points[i], points[(i + 1) % n], Vec::new())).collect::<Vec<_>>()
        };
        loops.iter().flat_map(open).collect()
    };
    let (mut first, mut second) = (edges(one), edges(two));
    for (a, b, on_first) in &mut first {
        let near = Bounds { min: *a, max: *a }.with(*b);
        for (c, d, on_second) in &mut second {
            let crossing = (near.near(*c, *d) && crosses(*a, *b, *c, *d))
                .then(|| meet(*a, *b, *c, *d))
                .flatten();
            if let Some((p, _)) = crossing {
                on_first.push(p);
                on_second.push(p);
            }
        }
    }
    (rejoined(one, first), rejoined(two, second))
}

fn rejoined(loops: &[Loop<'_>], edges: Vec<(Point, Point, Vec<Point>)>) -> Vec<Vec<Point>> {
    let mut edges = edges.into_iter();
    loops
        .iter()
        .map(|points| {
            let mut out = Vec::with_capacity(points.len());
            for (a, b, mut on) in edges.by_ref().take(points.len()) {
                out.push(a);
                on.sort_by_key(|&p| (dot(p.minus(a), b.minus(a)), p));
                out.extend(on);
            }
            out
        })
        .collect()
}
