//! Closed outlines of lines and arcs, as polygons on the grid.

use crate::convex::Convex;
use crate::parts;
use crate::point::{Bounds, Flaw, LIMIT, Point, cross, straighten, touches, twice_area};

/// The way round an arc goes, seen with z to the right and r up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Turn {
    /// From z towards r.
    Counterclockwise,
    /// From r towards z.
    Clockwise,
}

/// The side on which chords may miss an arc.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Side {
    /// Never more than the true shape: nothing is cut that the tool leaves.
    Inside,
    /// Never less than the true shape: nothing is missed that the tool touches.
    Outside,
}

/// How closely chords follow an arc.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Chord {
    /// The farthest a chord may be from its arc, in nanometers; at least 1.
    pub tolerance: i64,
    /// The side on which it is.
    pub side: Side,
}

impl Chord {
    /// 0.0002 mm, never less than the true shape: a touch or a gouge is not missed.
    pub const FINE: Chord = Chord { tolerance: 200, side: Side::Outside };
    /// 0.0002 mm, never more than the true shape: metal left over is not missed.
    pub const FINE_INSIDE: Chord = Chord { tolerance: 200, side: Side::Inside };
}

/// One edge of an outline, from where the one before ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Edge {
    /// A straight edge to a point.
    Line(Point),
    /// An arc to a point around a center; a full circle if it ends where it began.
    Arc {
        /// Its end.
        to: Point,
        /// Its center.
        center: Point,
        /// The way round.
        turn: Turn,
    },
}

/// A closed outline in the coordinates of its own reference point (a tool's tip), split once into
/// convex parts.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Outline {
    points: Vec<Point>,
    parts: Vec<Convex>,
    bounds: Bounds,
}

impl Outline {
    /// An outline of lines and arcs from `start`; the last edge ends at `start` or is closed by a
    /// line. It may run either way round.
    ///
    /// # Errors
    /// Any [`Flaw`].
    pub fn new(start: Point, edges: &[Edge], chord: Chord) -> Result<Outline, Flaw> {
        let corners = |apexes: Option<Turn>| -> Result<Vec<Point>, Flaw> {
            let mut points = vec![start];
            for edge in edges {
                let from = points[points.len() - 1];
                match *edge {
                    Edge::Line(to) => points.push(to.checked()?),
                    Edge::Arc { to, center, turn } => {
                        let arc = Arc::new(from, to, center, turn, chord.tolerance)?;
                        if apexes == Some(turn) {
                            points.extend((0..arc.chords).map(|i| arc.apex(i)));
                        } else {
                            points.extend((1..arc.chords).map(|i| arc.at(i)));
                        }
                        points.push(to);
                    }
                }
            }
            Ok(points)
        };
        // Which arcs bulge outwards shows only when the way round is known.
        let counterclockwise = twice_area(&corners(None)?) > 0;
        let apexes = match (counterclockwise, chord.side) {
            (true, Side::Outside) | (false, Side::Inside) => Turn::Counterclockwise,
            (true, Side::Inside) | (false, Side::Outside) => Turn::Clockwise,
        };
        Outline::polygon(&corners(Some(apexes))?)
    }

    /// An outline of straight edges between corners, either way round.
    ///
    /// # Errors
    /// Any [`Flaw`] but [`Flaw::NoArc`].
    pub fn polygon(corners: &[Point]) -> Result<Outline, Flaw> {
        for p in corners {
            p.checked()?;
        }
        let mut points = corners.to_vec();
        straighten(&mut points);
        let area = twice_area(&points);
        if area == 0 {
            return Err(Flaw::NoArea);
        }
        if area < 0 {
            points.reverse();
        }
        if !is_simple(&points) {
            return Err(Flaw::CrossesItself);
        }
        let bounds = Bounds::around(points.iter().copied()).ok_or(Flaw::NoArea)?;
        let parts = parts::convex_parts(&points)?;
        Ok(Outline { points, parts, bounds })
    }

    /// The corners, counterclockwise.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// Convex parts that together are the outline's inside.
    pub fn parts(&self) -> &[Convex] {
        &self.parts
    }

    /// The smallest box around it.
    pub fn bounds(&self) -> &Bounds {
        &self.bounds
    }

    /// The outline on the other side of the axis (r becomes −r): for a tool that works there.
    ///
    /// # Errors
    /// None in fact: a mirrored outline is as good as the outline.
    pub fn mirrored(&self) -> Result<Outline, Flaw> {
        Outline::polygon(&self.points.iter().map(|p| p.mirrored()).collect::<Vec<_>>())
    }
}

fn is_simple(points: &[Point]) -> bool {
    let n = points.len();
    let edge = |i: usize| (points[i], points[(i + 1) % n]);
    (0..n).all(|i| {
        let (a, b) = edge(i);
        (i + 2..n).filter(|&j| (j + 1) % n != i).all(|j| {
            let (c, d) = edge(j);
            !Bounds { min: a, max: a }.with(b).near(c, d) || !touches(a, b, c, d)
        })
    })
}

/// An arc split into equal chords.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Arc {
    from: Point,
    to: Point,
    center: Point,
    radius: (f64, f64),
    start: f64,
    step: f64,
    pub(crate) chords: usize,
}

/// Two radii of one arc may differ by what controls let pass; between them the arc is a spiral.
const RADIUS_PLAY: f64 = 50_000.0;
const MOST_CHORDS: f64 = 100_000.0;

impl Arc {
    pub(crate) fn new(
        from: Point,
        to: Point,
        center: Point,
        turn: Turn,
        tolerance: i64,
    ) -> Result<Arc, Flaw> {
        let (a, b) = (from.checked()?.minus(center.checked()?), to.checked()?.minus(center));
        let length = |v: Point| libm::hypot(v.z as f64, v.r as f64);
        let radius = (length(a), length(b));
        if radius.0 < 1.0 || radius.1 < 1.0 || (radius.0 - radius.1).abs() > RADIUS_PLAY {
            return Err(Flaw::NoArc);
        }
        let (a, b) = if turn == Turn::Counterclockwise { (a, b) } else { (b, a) };
        let full = 2.0 * core::f64::consts::PI;
        let swept = if from == to {
            full
        } else {
            let angle = libm::atan2(cross(a, b) as f64, crate::point::dot(a, b) as f64);
            if angle < 0.0 { angle + full } else { angle }
        };
        // The tangent polygon is farther from the arc than the chords are: it decides.
        let greatest = radius.0.max(radius.1);
        let half = libm::acos(greatest / (greatest + tolerance.clamp(1, LIMIT) as f64));
        let chords = libm::ceil(swept / (2.0 * half.min(core::f64::consts::FRAC_PI_8))).max(1.0);
        if chords > MOST_CHORDS {
            return Err(Flaw::TooFar);
        }
        let first = from.minus(center);
        let sign = if turn == Turn::Counterclockwise { 1.0 } else { -1.0 };
        Ok(Arc {
            from,
            to,
            center,
            radius,
            start: libm::atan2(first.r as f64, first.z as f64),
            step: sign * swept / chords,
            chords: chords as usize,
        })
    }

    /// The end of chord `i` of [`Arc::chords`], on the arc; the ends are exact.
    pub(crate) fn at(&self, i: usize) -> Point {
        match i {
            0 => self.from,
            i if i >= self.chords => self.to,
            i => self.polar(i as f64, 1.0),
        }
    }

    /// Where the tangents at both ends of chord `i` (from 0) meet.
    pub(crate) fn apex(&self, i: usize) -> Point {
        self.polar(i as f64 + 0.5, 1.0 / libm::cos(self.step / 2.0))
    }

    fn polar(&self, steps: f64, stretch: f64) -> Point {
        let part = steps / self.chords as f64;
        let radius = (self.radius.0 + (self.radius.1 - self.radius.0) * part) * stretch;
        let angle = self.start + self.step * steps;
        self.center.plus(Point::new(
            libm::round(radius * libm::cos(angle)) as i64,
            libm::round(radius * libm::sin(angle)) as i64,
        ))
    }
}
