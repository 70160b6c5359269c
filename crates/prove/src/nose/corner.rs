//! How the nose center goes from one leg to the next.
//!
//! With the nose on the side to which the path turns, the corner is an *inside* one, and both
//! legs end where their curves meet. Turning away from the nose it is an *outside* one:
//!
//! - [`Outside::Round`]: an arc of the nose's radius about the corner.
//! - [`Outside::Straight`]: the legs are extended in their own directions until they meet. A line
//!   is made longer; in front of or behind an arc a straight link is added. Where the path turns
//!   by more than 90° the extensions end one nose radius beyond the corner, and one more link
//!   joins them, so that a sharp corner sends the tool no further than √2 radii away. (The rule
//!   for lines is common practice; links at arcs and the limit at 90° are from memory.)
//!
//! Between two rapids an outside corner is always straight: a rapid makes no arc.

use super::curve::{Curve, Stretch, TOUCH, Vector};
use super::few::Few;
use super::{Leg, Outside};
use crate::action::Path;
use std::f64::consts::{FRAC_PI_2, PI};

/// An overcut of this many millimeters, or less, is none: the step of a lathe.
const LEAST_OVERCUT: f64 = 0.001;

/// What a piece of the center's path is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// The start-up move: from where the tool stood to the start of the first leg.
    Approach,
    /// Beside a leg.
    Leg,
    /// Added between two legs.
    Link,
}

/// A piece of the center's path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Piece {
    pub(super) kind: Kind,
    /// The leg it is beside, or whose block makes it.
    pub(super) leg: Leg,
    pub(super) curve: Curve,
    /// Where on the curve it begins and ends: zero and its length until corners change that.
    pub(super) ways: (f64, f64),
}

impl Piece {
    pub(super) fn new(kind: Kind, leg: Leg, curve: Curve) -> Piece {
        Piece { kind, leg, curve, ways: (0.0, curve.length) }
    }

    /// A straight link, where there is a gap.
    pub(super) fn link(owner: &Leg, from: Vector, to: Vector) -> Option<Piece> {
        let curve = Curve::between(from, to);
        (curve.length > TOUCH).then(|| Piece::new(Kind::Link, *owner, curve))
    }

    pub(super) fn begin(&self) -> Vector {
        self.curve.at(self.ways.0)
    }

    pub(super) fn end(&self) -> Vector {
        self.curve.at(self.ways.1)
    }

    pub(super) fn is_link(&self) -> bool {
        self.kind == Kind::Link
    }

    pub(super) fn is_rapid(&self) -> bool {
        self.leg.path == Path::Rapid
    }

    /// Whether it goes beside a leg at feed.
    pub(super) fn is_cut(&self) -> bool {
        self.kind == Kind::Leg && !self.is_rapid()
    }

    /// Whether it would be gone through from its end to its begin.
    pub(super) fn runs_backward(&self) -> bool {
        self.kind != Kind::Approach && self.ways.1 < self.ways.0 - TOUCH
    }

    /// Lets both end where their curves meet; `false` where they do not. Of two such places that
    /// one which makes neither longer, or else that which changes them least.
    pub(super) fn meet(&mut self, next: &mut Piece) -> bool {
        let (length, curve) = (self.curve.length, &next.curve);
        let ways = |place: Vector| (self.curve.way(place, length), curve.way(place, 0.0));
        let cost = |ways: &(f64, f64)| {
            let longer = ways.0 > length + TOUCH || ways.1 < -TOUCH;
            (longer, (ways.0 - length).abs() + ways.1.abs())
        };
        let cheaper = |a: &(f64, f64), b: &(f64, f64)| {
            let (a, b) = (cost(a), cost(b));
            a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
        };
        let meets = self.curve.meets(curve);
        let nearest = meets.into_iter().flatten().map(ways).min_by(cheaper);
        if let Some((end, begin)) = nearest {
            self.ways.1 = end;
            next.ways.0 = begin;
        }
        nearest.is_some()
    }
}

/// What two legs with a common point make there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Turn {
    /// One goes on into the other.
    None,
    /// Toward the nose, and the curves meet.
    Inside,
    /// Toward the nose, and the curves do not meet.
    Apart,
    /// Away from the nose.
    Outside,
}

/// The nose as corners need it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Round {
    /// Its radius in millimeters.
    pub(super) radius: f64,
    /// 1 to the left of the path, −1 to the right.
    pub(super) side: f64,
    pub(super) outside: Outside,
}

impl Round {
    /// The signed angle by which the path turns from one piece to the next.
    pub(super) fn turn(first: &Piece, second: &Piece) -> f64 {
        let (along, next) = (first.curve.along(first.curve.length), second.curve.along(0.0));
        libm::atan2(along.cross(next), along.dot(next))
    }

    /// Whether the nose on a piece takes more off than another's leg leaves. Nothing is said of
    /// rapids, and of legs that cross as programmed.
    pub(super) fn cuts_into(&self, piece: &Piece, other: &Piece) -> bool {
        if piece.kind == Kind::Approach || piece.is_rapid() || !other.is_cut() {
            return false;
        }
        let leg = self.programmed(other);
        let least = self.radius - LEAST_OVERCUT;
        let (along, leg) = (Stretch::new(piece.curve, piece.ways), Stretch::whole(leg));
        !along.is_far_from(&leg, least)
            && along.apart_from(&leg) < least
            && !self.cross_as_programmed(piece, other)
    }

    /// Whether the legs of two pieces cross, well away from their ends: then their curves cross
    /// without any fault.
    pub(super) fn cross_as_programmed(&self, piece: &Piece, other: &Piece) -> bool {
        let (first, second) = (self.programmed(piece), self.programmed(other));
        let cross = || first.crosses((0.0, first.length), &second, (0.0, second.length));
        piece.is_cut() && other.is_cut() && cross().is_some()
    }

    /// The leg itself that the nose goes beside.
    fn programmed(&self, piece: &Piece) -> Curve {
        piece.curve.aside(-self.side * self.radius)
    }

    /// Ends the first piece and begins the second at their corner; what comes between goes to
    /// `links`, in the block of `owner`.
    pub(super) fn join(
        &self,
        first: &mut Piece,
        second: &mut Piece,
        owner: &Leg,
        links: &mut Few<Piece, 3>,
    ) -> Turn {
        let turn = Round::turn(first, second);
        first.ways.1 = first.curve.length;
        second.ways.0 = 0.0;
        let is_sharp = turn.abs() > PI - 1e-9;
        let inside = turn * self.side > 0.0 && !is_sharp;
        if self.radius * turn * turn / 2.0 < TOUCH {
            self.meet_halfway(first, second, turn);
            return Turn::None;
        }
        if !inside {
            let turn = if is_sharp { -self.side * PI } else { turn };
            self.go_around(first, second, turn, owner, links);
            return Turn::Outside;
        }
        match first.meet(second) {
            true => Turn::Inside,
            // Rounded coordinates: a line and an arc that just touch may just miss each other.
            false if turn.abs() < 0.1 => {
                self.meet_halfway(first, second, turn);
                Turn::None
            }
            false => Turn::Apart,
        }
    }

    /// At a corner so small that the curves hardly differ from their tangents: where these meet.
    fn meet_halfway(&self, first: &mut Piece, second: &mut Piece, turn: f64) {
        let back = self.side * self.radius * libm::tan(turn / 2.0);
        first.ways.1 -= back;
        second.ways.0 += back;
    }

    fn go_around(
        &self,
        first: &mut Piece,
        second: &mut Piece,
        turn: f64,
        owner: &Leg,
        links: &mut Few<Piece, 3>,
    ) {
        let corner = Vector::of(second.leg.from);
        let both_rapid = first.is_rapid() && second.is_rapid();
        if self.outside == Outside::Round && !both_rapid {
            let curve = Curve::about(corner, first.end(), turn);
            links.push(Piece::new(Kind::Link, *owner, curve));
            return;
        }
        let beyond = self.radius * libm::tan(turn.abs().min(FRAC_PI_2) / 2.0);
        let end =
            first.curve.at(first.curve.length) + first.curve.along(first.curve.length) * beyond;
        let begin = second.curve.at(0.0) - second.curve.along(0.0) * beyond;
        let mut link = |from, to| links.push_all(Piece::link(owner, from, to));
        if first.curve.is_arc() {
            link(first.end(), end);
        } else {
            first.ways.1 += beyond;
        }
        link(end, begin);
        if second.curve.is_arc() {
            link(begin, second.begin());
        } else {
            second.ways.0 -= beyond;
        }
    }
}
