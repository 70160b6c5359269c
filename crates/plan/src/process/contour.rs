//! Contours of lines and arcs in the half plane: z to the right, r up, in millimeters. They are
//! geometry on the way from the drawing to written places; what is written is rounded last.
//!
//! A contour runs from the front toward the chuck and has its metal below it, on its left.

use crate::cuts::Turn;
use std::f64::consts::{PI, TAU};

/// Lengths below this are taken for nothing: a millionth of a millimeter.
pub(super) const NOTHING: f64 = 1e-6;

/// A place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct At {
    pub z: f64,
    pub r: f64,
}

impl At {
    pub(super) const fn new(z: f64, r: f64) -> At {
        At { z, r }
    }

    pub(super) fn toward(self, angle: f64, way: f64) -> At {
        At::new(self.z + way * libm::cos(angle), self.r + way * libm::sin(angle))
    }

    pub(super) fn moved(self, z: f64, r: f64) -> At {
        At::new(self.z + z, self.r + r)
    }

    pub(super) fn distance(self, other: At) -> f64 {
        libm::hypot(other.z - self.z, other.r - self.r)
    }

    /// The direction to another place, as an angle from +Z toward +X.
    pub(super) fn angle_to(self, other: At) -> f64 {
        libm::atan2(other.r - self.r, other.z - self.z)
    }
}

/// How a leg runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Bend {
    Straight,
    Round { center: At, turn: Turn },
}

/// One piece of a contour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Leg {
    pub from: At,
    pub to: At,
    pub bend: Bend,
}

impl Leg {
    pub(super) const fn line(from: At, to: At) -> Leg {
        Leg { from, to, bend: Bend::Straight }
    }

    /// The place in its middle.
    pub(super) fn middle(&self) -> At {
        match self.bend {
            Bend::Straight => At::new(
                f64::midpoint(self.from.z, self.to.z),
                f64::midpoint(self.from.r, self.to.r),
            ),
            Bend::Round { center, .. } => {
                let angle = center.angle_to(self.from) + self.swept() / 2.0;
                center.toward(angle, center.distance(self.from))
            }
        }
    }

    /// How far an arc turns, counterclockwise counted positive; nothing for a line.
    pub(super) fn swept(&self) -> f64 {
        let Bend::Round { center, turn } = self.bend else { return 0.0 };
        let (start, end) = (center.angle_to(self.from), center.angle_to(self.to));
        match turn {
            Turn::Counterclockwise => (end - start).rem_euclid(TAU),
            Turn::Clockwise => -(start - end).rem_euclid(TAU),
        }
    }

    /// The direction in which it leaves its start, and that in which it comes to its end.
    pub(super) fn headings(&self) -> (f64, f64) {
        let Bend::Round { center, turn } = self.bend else {
            let heading = self.from.angle_to(self.to);
            return (heading, heading);
        };
        let quarter = if turn == Turn::Counterclockwise { PI / 2.0 } else { -PI / 2.0 };
        (center.angle_to(self.from) + quarter, center.angle_to(self.to) + quarter)
    }

    fn mapped(&self, place: impl Fn(At) -> At, flips: bool) -> Leg {
        let bend = match self.bend {
            Bend::Straight => Bend::Straight,
            Bend::Round { center, turn } => {
                Bend::Round { center: place(center), turn: if flips { turn.other() } else { turn } }
            }
        };
        Leg { from: place(self.from), to: place(self.to), bend }
    }

    pub(super) fn moved(&self, z: f64, r: f64) -> Leg {
        self.mapped(|at| at.moved(z, r), false)
    }

    /// The same leg from its end to its start.
    pub(super) fn turned_back(&self) -> Leg {
        let bend = match self.bend {
            Bend::Straight => Bend::Straight,
            Bend::Round { center, turn } => Bend::Round { center, turn: turn.other() },
        };
        Leg { from: self.to, to: self.from, bend }
    }

    pub(super) fn is_nothing(&self) -> bool {
        self.from.distance(self.to) < NOTHING
    }

    /// Its part up to a place on it, and its part from there.
    pub(super) fn split(&self, at: At) -> (Leg, Leg) {
        (Leg { to: at, ..*self }, Leg { from: at, ..*self })
    }

    /// Whether a place on its line or circle lies on the leg itself.
    fn holds(&self, at: At) -> bool {
        match self.bend {
            Bend::Straight => {
                let length = self.from.distance(self.to);
                let along = (at.z - self.from.z) * (self.to.z - self.from.z)
                    + (at.r - self.from.r) * (self.to.r - self.from.r);
                along >= -NOTHING * length && along <= length * (length + NOTHING)
            }
            Bend::Round { center, turn } => {
                let start = center.angle_to(self.from);
                let here = center.angle_to(at) - start;
                let gone = match turn {
                    Turn::Counterclockwise => here.rem_euclid(TAU),
                    Turn::Clockwise => (-here).rem_euclid(TAU),
                };
                let slack = NOTHING / center.distance(self.from).max(NOTHING);
                gone <= self.swept().abs() + slack || gone >= TAU - slack
            }
        }
    }

    /// Where the line through a place in a direction crosses the leg, as ways from that place.
    pub(super) fn crossings(&self, origin: At, heading: f64) -> Vec<f64> {
        let (cos, sin) = (libm::cos(heading), libm::sin(heading));
        // Along the line and to its left.
        let seen = |at: At| {
            let (z, r) = (at.z - origin.z, at.r - origin.r);
            (z * cos + r * sin, r * cos - z * sin)
        };
        let candidates = match self.bend {
            Bend::Straight => {
                let ((x0, y0), (x1, y1)) = (seen(self.from), seen(self.to));
                if (y1 - y0).abs() < NOTHING * NOTHING {
                    return Vec::new();
                }
                vec![x0 + (x1 - x0) * (-y0 / (y1 - y0))]
            }
            Bend::Round { center, .. } => {
                let (x, y) = seen(center);
                let radius = center.distance(self.from);
                let half = radius * radius - y * y;
                if half < 0.0 {
                    return Vec::new();
                }
                let half = half.sqrt();
                vec![x - half, x + half]
            }
        };
        let at = |way: f64| origin.toward(heading, way);
        candidates.into_iter().filter(|way| self.holds(at(*way))).collect()
    }
}

impl Turn {
    pub(super) const fn other(self) -> Turn {
        match self {
            Turn::Clockwise => Turn::Counterclockwise,
            Turn::Counterclockwise => Turn::Clockwise,
        }
    }
}

/// A contour: legs that go on from one another.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Contour {
    pub legs: Vec<Leg>,
}

impl Contour {
    pub(super) const fn of(legs: Vec<Leg>) -> Contour {
        Contour { legs }
    }

    pub(super) fn start(&self) -> Option<At> {
        self.legs.first().map(|leg| leg.from)
    }

    pub(super) fn end(&self) -> Option<At> {
        self.legs.last().map(|leg| leg.to)
    }

    /// Goes on straight to a place; nothing where it is there already.
    pub(super) fn line_to(&mut self, from: At, to: At) {
        let leg = Leg::line(self.end().unwrap_or(from), to);
        if !leg.is_nothing() {
            self.legs.push(leg);
        }
    }

    pub(super) fn push(&mut self, leg: Leg) {
        if !leg.is_nothing() {
            self.legs.push(leg);
        }
    }

    pub(super) fn moved(&self, z: f64, r: f64) -> Contour {
        Contour::of(self.legs.iter().map(|leg| leg.moved(z, r)).collect())
    }

    /// The same contour with lines that go on straight as one.
    pub(super) fn joined(self) -> Contour {
        let mut joined = Contour::default();
        for leg in self.legs {
            let goes_on = |last: &Leg| {
                let turn = (leg.headings().0 - last.headings().1).rem_euclid(TAU);
                let lines = leg.bend == Bend::Straight && last.bend == Bend::Straight;
                lines && !(1e-7..=TAU - 1e-7).contains(&turn)
            };
            match joined.legs.last_mut().filter(|last| goes_on(last)) {
                Some(last) => last.to = leg.to,
                None => joined.push(leg),
            }
        }
        joined
    }

    /// What of it lies in front of a place along the axis.
    pub(super) fn before(&self, z: f64) -> Contour {
        let mut legs = Vec::new();
        for leg in &self.legs {
            if leg.to.z >= z - NOTHING {
                legs.push(*leg);
                continue;
            }
            let origin = At::new(z, 0.0);
            let ways = leg.crossings(origin, PI / 2.0);
            // An arc that crosses twice goes behind the place at the first.
            let first = ways.into_iter().map(|way| origin.moved(0.0, way));
            let near = |one: &At, other: &At| {
                leg.from.distance(*one).total_cmp(&leg.from.distance(*other))
            };
            if let Some(at) = first.min_by(near) {
                legs.push(leg.split(at).0);
            }
            break;
        }
        legs.retain(|leg| !leg.is_nothing());
        Contour::of(legs)
    }

    /// What of it lies behind a place along the axis.
    pub(super) fn behind(&self, z: f64) -> Contour {
        self.seen_from_behind().before(-z).seen_from_behind()
    }

    /// Mirrored along the axis and gone through backward, so that its metal is below it again.
    pub(super) fn seen_from_behind(&self) -> Contour {
        let mirror = |at: At| At::new(-at.z, at.r);
        let back = self.legs.iter().rev().map(Leg::turned_back);
        Contour::of(back.map(|leg| leg.mapped(mirror, true)).collect())
    }

    /// The smallest and the largest r, arcs by their ends and their crests.
    pub(super) fn radii(&self) -> (f64, f64) {
        let places = self.legs.iter().flat_map(|leg| {
            let crests = match leg.bend {
                Bend::Straight => [None, None],
                Bend::Round { center, .. } => {
                    let radius = center.distance(leg.from);
                    [center.moved(0.0, radius), center.moved(0.0, -radius)]
                        .map(|at| leg.holds(at).then_some(at))
                }
            };
            [Some(leg.from), Some(leg.to)].into_iter().chain(crests).flatten()
        });
        places.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
            (low.min(at.r), high.max(at.r))
        })
    }
}
