//! Lines and circles beside a leg, in millimeters, and where they meet.

use super::Leg;
use crate::action::{Arc, Path};
use crate::event::Point;
use model::Length;
use std::f64::consts::TAU;
use std::ops::{Add, Mul, Sub};

/// Distances in millimeters that are none: a few nanometers, into which every point is rounded.
pub(super) const TOUCH: f64 = 5e-6;

/// A place or direction of the half-plane in millimeters.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Vector {
    pub(super) z: f64,
    pub(super) r: f64,
}

impl Vector {
    pub(super) fn of(point: Point) -> Vector {
        Vector { z: point.z.mm(), r: point.r.mm() }
    }

    pub(super) fn point(self) -> Point {
        Point { r: Length::nearest_mm(self.r), z: Length::nearest_mm(self.z) }
    }

    pub(super) fn at_angle(angle: f64) -> Vector {
        Vector { z: libm::cos(angle), r: libm::sin(angle) }
    }

    pub(super) fn angle(self) -> f64 {
        libm::atan2(self.r, self.z)
    }

    pub(super) fn length(self) -> f64 {
        libm::hypot(self.z, self.r)
    }

    pub(super) fn dot(self, other: Vector) -> f64 {
        self.z * other.z + self.r * other.r
    }

    pub(super) fn cross(self, other: Vector) -> f64 {
        self.z * other.r - self.r * other.z
    }

    /// Turned a quarter counter-clockwise: what is left in the direction of travel.
    pub(super) fn left(self) -> Vector {
        Vector { z: -self.r, r: self.z }
    }
}

impl Add for Vector {
    type Output = Vector;
    fn add(self, other: Vector) -> Vector {
        Vector { z: self.z + other.z, r: self.r + other.r }
    }
}

impl Sub for Vector {
    type Output = Vector;
    fn sub(self, other: Vector) -> Vector {
        Vector { z: self.z - other.z, r: self.r - other.r }
    }
}

impl Mul<f64> for Vector {
    type Output = Vector;
    fn mul(self, times: f64) -> Vector {
        Vector { z: self.z * times, r: self.r * times }
    }
}

/// The angle between −π and π that differs from this one by whole turns.
pub(super) fn within_half_turn(angle: f64) -> f64 {
    let rest = libm::remainder(angle, TAU);
    if rest.is_finite() { rest } else { 0.0 }
}

/// What lies beside a leg.
pub(super) enum Beside {
    /// This.
    Curve(Curve),
    /// A point: the nose fills the arc exactly.
    Nothing,
    /// Nothing that could be followed: the arc is this much smaller than the nose.
    TooSmall(f64),
}

/// A line or an arc, which goes on as a whole line or circle beyond its ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Curve {
    shape: Shape,
    /// From its own start to its own end.
    pub(super) length: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Shape {
    Line {
        start: Vector,
        along: Vector,
    },
    /// `angle` is that of its start, `sense` 1 counter-clockwise and −1 clockwise.
    Arc {
        center: Vector,
        radius: f64,
        angle: f64,
        sense: f64,
    },
}

impl Curve {
    /// What lies this far to the left of a leg; negative to the right.
    pub(super) fn beside(leg: &Leg, offset: f64) -> Beside {
        if let Path::Arc(arc) = leg.path {
            return Curve::beside_arc(leg, &arc, offset);
        }
        let line = Curve::between(Vector::of(leg.from), Vector::of(leg.to));
        Beside::Curve(line.aside(offset))
    }

    fn beside_arc(leg: &Leg, arc: &Arc, offset: f64) -> Beside {
        let center = Vector { z: arc.center.1, r: arc.center.0 };
        let sense = arc.turn.signum();
        let radius = arc.radius - sense * offset;
        if radius < -TOUCH {
            return Beside::TooSmall(-radius);
        }
        if radius <= TOUCH {
            return Beside::Nothing;
        }
        let angle = (Vector::of(leg.from) - center).angle();
        let end = (Vector::of(leg.to) - center).angle();
        // The end as programmed decides, not the angle that was computed from it.
        let turn = arc.turn + within_half_turn(end - angle - arc.turn);
        let length = (turn * sense).max(0.0) * radius;
        Beside::Curve(Curve { shape: Shape::Arc { center, radius, angle, sense }, length })
    }

    /// The curve this far to its left, its ends square to its own; negative to the right.
    pub(super) fn aside(&self, offset: f64) -> Curve {
        match self.shape {
            Shape::Line { start, along } => {
                let shape = Shape::Line { start: start + along.left() * offset, along };
                Curve { shape, ..*self }
            }
            Shape::Arc { center, radius, angle, sense } => {
                let beside = (radius - sense * offset).max(TOUCH);
                let shape = Shape::Arc { center, radius: beside, angle, sense };
                Curve { shape, length: self.length / radius * beside }
            }
        }
    }

    /// The straight line from one place to another.
    pub(super) fn between(from: Vector, to: Vector) -> Curve {
        let length = (to - from).length();
        let along =
            if length > 0.0 { (to - from) * (1.0 / length) } else { Vector { z: 1.0, r: 0.0 } };
        Curve { shape: Shape::Line { start: from, along }, length }
    }

    /// The arc about a center from a place, by a signed angle.
    pub(super) fn about(center: Vector, from: Vector, turn: f64) -> Curve {
        let (radius, angle) = ((from - center).length(), (from - center).angle());
        let shape = Shape::Arc { center, radius, angle, sense: 1.0_f64.copysign(turn) };
        Curve { shape, length: radius * turn.abs() }
    }

    pub(super) const fn is_arc(&self) -> bool {
        matches!(self.shape, Shape::Arc { .. })
    }

    /// Its radius; without end for a line.
    pub(super) const fn radius(&self) -> f64 {
        match self.shape {
            Shape::Line { .. } => f64::INFINITY,
            Shape::Arc { radius, .. } => radius,
        }
    }

    /// The place this far from its start.
    pub(super) fn at(&self, way: f64) -> Vector {
        match self.shape {
            Shape::Line { start, along } => start + along * way,
            Shape::Arc { center, radius, angle, sense } => {
                center + Vector::at_angle(angle + sense * way / radius) * radius
            }
        }
    }

    /// The direction of travel this far from its start.
    pub(super) fn along(&self, way: f64) -> Vector {
        match self.shape {
            Shape::Line { along, .. } => along,
            Shape::Arc { radius, angle, sense, .. } => {
                Vector::at_angle(angle + sense * way / radius).left() * sense
            }
        }
    }

    /// How far from its start a place on it lies, told from the nearer side of `near`.
    pub(super) fn way(&self, place: Vector, near: f64) -> f64 {
        match self.shape {
            Shape::Line { start, along } => (place - start).dot(along),
            Shape::Arc { center, radius, angle, sense } => {
                let beyond = (place - center).angle() - angle - sense * near / radius;
                near + sense * within_half_turn(beyond) * radius
            }
        }
    }

    /// The move from one way to another of the tip that lies `tip` from the nose center.
    pub(super) fn arc_of_tip(&self, ways: (f64, f64), tip: Vector) -> Option<Arc> {
        let Shape::Arc { center, radius, sense, .. } = self.shape else { return None };
        let center = center + tip;
        let turn = sense * (ways.1 - ways.0) / radius;
        Some(Arc { center: (center.r, center.z), radius, turn })
    }

    /// Where the whole lines or circles meet.
    pub(super) fn meets(&self, other: &Curve) -> [Option<Vector>; 2] {
        match (self.shape, other.shape) {
            (Shape::Line { start, along }, Shape::Line { start: other, along: beside }) => {
                let across = along.cross(beside);
                let meet = (across.abs() > 1e-9)
                    .then(|| start + along * ((other - start).cross(beside) / across));
                [meet, None]
            }
            (Shape::Line { start, along }, Shape::Arc { center, radius, .. })
            | (Shape::Arc { center, radius, .. }, Shape::Line { start, along }) => {
                let foot = start + along * (center - start).dot(along);
                let far = (foot - center).length();
                both_sides(foot, along, radius, far)
            }
            (
                Shape::Arc { center, radius, .. },
                Shape::Arc { center: other, radius: beside, .. },
            ) => {
                let apart = (other - center).length();
                if apart <= TOUCH {
                    return [None, None];
                }
                let toward = (other - center) * (1.0 / apart);
                let far = f64::midpoint(apart, (radius - beside) * (radius + beside) / apart);
                both_sides(center + toward * far, toward.left(), radius, far.abs())
            }
        }
    }

    /// Where the curves cross between their ends, well away from these.
    pub(super) fn crosses(
        &self,
        ways: (f64, f64),
        other: &Curve,
        others: (f64, f64),
    ) -> Option<Vector> {
        let inside = |curve: &Curve, ways: (f64, f64), place: Vector| {
            let way = curve.way(place, f64::midpoint(ways.0, ways.1));
            way > ways.0 + 2.0 * TOUCH && way < ways.1 - 2.0 * TOUCH
        };
        let meets = self.meets(other);
        meets
            .into_iter()
            .flatten()
            .find(|place| inside(self, ways, *place) && inside(other, others, *place))
    }
}

/// A stretch of a curve, from one way to another.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stretch {
    curve: Curve,
    ways: (f64, f64),
}

impl Stretch {
    pub(super) fn new(curve: Curve, ways: (f64, f64)) -> Stretch {
        Stretch { curve, ways: (ways.0.min(ways.1), ways.0.max(ways.1)) }
    }

    pub(super) fn whole(curve: Curve) -> Stretch {
        Stretch::new(curve, (0.0, curve.length))
    }

    /// Whether it can be seen without further reckoning that it is no nearer than this.
    pub(super) fn is_far_from(&self, other: &Stretch, least: f64) -> bool {
        let middle = |stretch: &Stretch| f64::midpoint(stretch.ways.0, stretch.ways.1);
        let halves = [self, other].map(|stretch| (stretch.ways.1 - stretch.ways.0) / 2.0);
        let (own, others) = (self.curve.at(middle(self)), other.curve.at(middle(other)));
        (own - others).length() > halves[0] + halves[1] + least
    }

    fn has(&self, place: Vector) -> bool {
        let way = self.curve.way(place, f64::midpoint(self.ways.0, self.ways.1));
        (self.ways.0..=self.ways.1).contains(&way)
    }

    fn ends(&self) -> [Option<Vector>; 2] {
        [Some(self.curve.at(self.ways.0)), Some(self.curve.at(self.ways.1))]
    }

    /// Its least distance from a place.
    fn apart_from_place(&self, place: Vector) -> f64 {
        let foot = match self.curve.shape {
            Shape::Line { start, along } => start + along * (place - start).dot(along),
            Shape::Arc { center, radius, .. } => {
                center + Vector::at_angle((place - center).angle()) * radius
            }
        };
        let feet = self.ends().into_iter().flatten().chain(self.has(foot).then_some(foot));
        feet.map(|foot| (foot - place).length()).fold(f64::INFINITY, f64::min)
    }

    /// The places where its distance from another whole line or circle may be least.
    fn nearest_to(&self, other: &Curve) -> [Option<Vector>; 2] {
        match (self.curve.shape, other.shape) {
            (Shape::Line { start, along }, Shape::Arc { center, .. }) => {
                [Some(start + along * (center - start).dot(along)), None]
            }
            (Shape::Arc { center, radius, .. }, Shape::Line { along, .. }) => {
                [Some(center + along.left() * radius), Some(center - along.left() * radius)]
            }
            (Shape::Arc { center, radius, .. }, Shape::Arc { center: other, .. }) => {
                let toward = Vector::at_angle((other - center).angle()) * radius;
                [Some(center + toward), Some(center - toward)]
            }
            (Shape::Line { .. }, Shape::Line { .. }) => [None, None],
        }
    }

    /// Its least distance from another stretch.
    pub(super) fn apart_from(&self, other: &Stretch) -> f64 {
        let between =
            self.nearest_to(&other.curve).into_iter().chain(self.curve.meets(&other.curve));
        let own = between.flatten().filter(|place| self.has(*place));
        let own =
            own.chain(self.ends().into_iter().flatten()).map(|place| other.apart_from_place(place));
        let others = other.ends().into_iter().flatten().map(|place| self.apart_from_place(place));
        own.chain(others).fold(f64::INFINITY, f64::min)
    }
}

/// The places on a chord, `far` from the center of a circle, to both sides of its middle.
fn both_sides(middle: Vector, along: Vector, radius: f64, far: f64) -> [Option<Vector>; 2] {
    if far > radius + TOUCH {
        return [None, None];
    }
    let half = libm::sqrt(((radius - far) * (radius + far)).max(0.0));
    [Some(middle + along * half), Some(middle - along * half)]
}

/// Whether the figures are those of an arc.
pub(super) fn is_an_arc(arc: &Arc) -> bool {
    let figures = [arc.center.0, arc.center.1, arc.radius, arc.turn];
    figures.iter().all(|figure| figure.abs() < 1e12) && arc.radius > TOUCH && arc.length() > TOUCH
}
