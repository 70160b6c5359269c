//! Taking a sweep away from a region: the short way for one bite into one chain of edges.
//!
//! A turning tool nearly always enters the metal at one place of its boundary and leaves it at one
//! other. If boundary and (closed) convex piece have exactly one chain in common, from P to Q, the
//! result's boundary is the old one with that chain replaced by the piece's boundary from P
//! clockwise to Q: the rest of the piece's boundary cannot be inside the metal, because nothing of
//! the metal's boundary is there to end it. Everything else goes the general way.

use crate::boolean;
use crate::convex::{Convex, Place};
use crate::point::{Point, between, dot, meet, straighten, turn};
use crate::region::Region;
use crate::rounding::{Rounded, unharmed};
use crate::sweep::Sweep;

impl Region {
    /// The region without what a sweep covers.
    #[must_use]
    pub fn cut(&self, sweep: &Sweep) -> Region {
        if !self.bounds().is_some_and(|b| b.touches(sweep.bounds())) {
            return self.clone();
        }
        let mut out = self.clone();
        let mut bitten = false;
        for piece in sweep.pieces() {
            match bite(&out, piece) {
                Bite::Nothing => {}
                Bite::Chain { polygon, outline, points } => {
                    out.polygons[polygon].loops[outline] = points;
                    bitten = true;
                }
                Bite::Other => {
                    out = boolean::without(&out, piece);
                    bitten = false;
                }
            }
        }
        if bitten { Region::settled(out.polygons) } else { out }
    }

    /// [`Region::cut`] without the short way: slower, and equal in result. For tests and benches.
    #[must_use]
    pub fn cut_generally(&self, sweep: &Sweep) -> Region {
        sweep.pieces().iter().fold(self.clone(), |region, piece| boolean::without(&region, piece))
    }
}

/// What one convex piece takes from a region.
enum Bite {
    Nothing,
    /// One loop of one polygon becomes `points`.
    Chain {
        polygon: usize,
        outline: usize,
        points: Vec<Point>,
    },
    /// More than the short way can do.
    Other,
}

/// Where the boundary of the region is in the closed piece.
struct Chain {
    polygon: usize,
    outline: usize,
    /// The edges (by their first corner) in which it enters and leaves.
    first: usize,
    last: usize,
}

/// A point of a convex piece's boundary: on edge `edge`, at its first corner or behind it.
#[derive(Clone, Copy)]
struct Spot {
    edge: usize,
    at_corner: bool,
    point: Point,
    exact: bool,
}

fn bite(region: &Region, piece: &Convex) -> Bite {
    if !region.bounds().is_some_and(|b| b.touches(piece.bounds())) {
        return Bite::Nothing;
    }
    match chains(region, piece) {
        Found::None if region.depth_of(piece.points()[0]) == Some(false) => Bite::Nothing,
        Found::One(chain) => splice(region, piece, &chain).unwrap_or(Bite::Other),
        Found::None | Found::More => Bite::Other,
    }
}

enum Found {
    None,
    One(Chain),
    More,
}

/// The chains of the region's boundary in the closed piece.
fn chains(region: &Region, piece: &Convex) -> Found {
    let mut found = None;
    for (polygon, p) in region.polygons.iter().enumerate() {
        for (outline, points) in p.loops.iter().enumerate() {
            let n = points.len();
            let (mut first, mut last) = (None, None);
            let mut inside = 0;
            let mut a = points[n - 1];
            let mut a_out = piece.place(a) == Place::Outside;
            for (i, &b) in points.iter().enumerate() {
                let edge = if i == 0 { n - 1 } else { i - 1 };
                let b_out = piece.place(b) == Place::Outside;
                let both = a_out && b_out && piece.bounds().near(a, b) && stabs(piece, a, b);
                if (both || a_out && !b_out) && first.replace(edge).is_some() {
                    return Found::More;
                }
                if (both || b_out && !a_out) && last.replace(edge).is_some() {
                    return Found::More;
                }
                inside += usize::from(!b_out);
                (a, a_out) = (b, b_out);
            }
            match (first, last) {
                (Some(first), Some(last)) if found.is_none() => {
                    found = Some(Chain { polygon, outline, first, last });
                }
                (None, None) if inside == 0 => {}
                _ => return Found::More,
            }
        }
    }
    found.map_or(Found::None, Found::One)
}

/// Whether the segment between two points outside the piece touches it.
fn stabs(piece: &Convex, a: Point, b: Point) -> bool {
    match line(piece, a, b) {
        Line::Past => false,
        Line::Touches(k, l) => between(a, b, piece.points()[k]) || between(a, b, piece.points()[l]),
        Line::Through { enter, leave } => {
            let ((c, d), (e, f)) = (piece.edge(enter.0), piece.edge(leave.0));
            turn(c, d, a) < 0 && turn(e, f, b) < 0
        }
    }
}

/// How a line meets a convex piece.
enum Line {
    Past,
    /// In one corner (twice the same) or along one edge, in the line's direction.
    Touches(usize, usize),
    /// Through two edges, each with whether it is met at its first corner.
    Through {
        enter: (usize, bool),
        leave: (usize, bool),
    },
}

fn line(piece: &Convex, a: Point, b: Point) -> Line {
    let corners = piece.points();
    let (mut enter, mut leave, mut on) = (None, None, None);
    let (mut left, mut right) = (false, false);
    let last = corners.len() - 1;
    let mut before = turn(a, b, corners[last]);
    for (k, &corner) in corners.iter().enumerate() {
        let now = turn(a, b, corner);
        let edge = if k == 0 { last } else { k - 1 };
        left |= now > 0;
        right |= now < 0;
        if now == 0 {
            on = Some(match on {
                None => (k, k),
                Some((l, _)) if dot(corner.minus(corners[l]), b.minus(a)) > 0 => (l, k),
                Some((l, _)) => (k, l),
            });
        }
        if before >= 0 && now < 0 {
            enter = Some((edge, before == 0));
        } else if before <= 0 && now > 0 {
            leave = Some((edge, before == 0));
        }
        before = now;
    }
    match (left && right, enter, leave, on) {
        (true, Some(enter), Some(leave), _) => Line::Through { enter, leave },
        (false, _, _, Some((k, l))) => Line::Touches(k, l),
        _ => Line::Past,
    }
}

/// Where edge `a b` enters (or leaves) the piece; it is known to.
fn spot(piece: &Convex, a: Point, b: Point, entering: bool) -> Option<Spot> {
    let corner =
        |k: usize| Spot { edge: k, at_corner: true, point: piece.points()[k], exact: true };
    match line(piece, a, b) {
        Line::Past => None,
        Line::Touches(k, l) => Some(corner(if entering { k } else { l })),
        Line::Through { enter, leave } => {
            let (edge, at_corner) = if entering { enter } else { leave };
            if at_corner {
                return Some(corner(edge));
            }
            let (c, d) = piece.edge(edge);
            let (point, exact) = meet(a, b, c, d)?;
            Some(Spot { edge, at_corner, point, exact })
        }
    }
}

fn splice(region: &Region, piece: &Convex, chain: &Chain) -> Option<Bite> {
    let points = &region.polygons[chain.polygon].loops[chain.outline];
    let n = points.len();
    let edge = |i: usize| (points[i], points[if i + 1 == n { 0 } else { i + 1 }]);
    let (a, b) = edge(chain.first);
    let enter = spot(piece, a, b, true)?;
    let (a, b) = edge(chain.last);
    let leave = spot(piece, a, b, false)?;
    if !(enter.exact && leave.exact) {
        let apart = leave.point.minus(enter.point);
        let spots = [(enter, chain.first), (leave, chain.last)];
        let rounded: Vec<Rounded> = spots
            .into_iter()
            .filter(|(spot, _)| !spot.exact)
            .map(|(spot, i)| Rounded { point: spot.point, on: [edge(i), piece.edge(spot.edge)] })
            .collect();
        if apart.z.abs().max(apart.r.abs()) < 4 || !unharmed(region, piece, &rounded) {
            return None;
        }
    }
    if enter.point == leave.point {
        return None;
    }
    let mut out = Vec::with_capacity(n + piece.points().len() + 2);
    let (from, to) = ((chain.last + 1) % n, chain.first);
    if from <= to {
        out.extend_from_slice(&points[from..=to]);
    } else {
        out.extend_from_slice(&points[from..]);
        out.extend_from_slice(&points[..=to]);
    }
    out.push(enter.point);
    clockwise(piece, enter, leave, &mut out);
    out.push(leave.point);
    straighten(&mut out);
    (!out.is_empty()).then_some(Bite::Chain {
        polygon: chain.polygon,
        outline: chain.outline,
        points: out,
    })
}

/// Adds the corners of the piece strictly between two spots, clockwise.
fn clockwise(piece: &Convex, enter: Spot, leave: Spot, out: &mut Vec<Point>) {
    let m = piece.points().len();
    let before = |k: usize| if k == 0 { m - 1 } else { k - 1 };
    let mut k = enter.edge;
    if k == leave.edge {
        let (c, d) = piece.edge(k);
        if dot(leave.point.minus(enter.point), d.minus(c)) <= 0 {
            return;
        }
        // All the way round.
        if !enter.at_corner {
            out.push(piece.points()[k]);
        }
        k = before(k);
    } else if enter.at_corner {
        k = before(k);
    }
    while k != leave.edge {
        out.push(piece.points()[k]);
        k = before(k);
    }
}
