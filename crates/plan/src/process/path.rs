//! Writes a tool's way as moves to places that a program can say.

use super::contour::{At, Bend, Leg};
use super::drawing::Side;
use crate::cuts::{Move, Place, Way};
use model::quantity::FeedPerRev;
use model::{Length, Units};

/// How many times longer than its chord the radius of an arc is at most, for its center to be looked for.
const FLATTEST: f64 = 60.0;

/// A way being made, move by move.
pub(super) struct Path<'m> {
    side: Side,
    units: Units,
    feed: FeedPerRev,
    at: Option<At>,
    moves: &'m mut Vec<Move>,
}

impl<'m> Path<'m> {
    pub(super) fn new(
        side: Side,
        units: Units,
        feed: FeedPerRev,
        moves: &'m mut Vec<Move>,
    ) -> Path<'m> {
        Path { side, units, feed, at: None, moves }
    }

    /// How many moves there are.
    pub(super) fn count(&self) -> usize {
        self.moves.len()
    }

    /// Where it has come to.
    pub(super) const fn at(&self) -> Option<At> {
        self.at
    }

    /// The place as the program can write it.
    fn place(&self, at: At) -> Place {
        let written = |mm: f64| Length::nearest_mm(mm).round_to(self.units, self.units.decimals());
        Place { x: written(2.0 * self.side.r(at.r)), z: written(at.z) }
    }

    fn push(&mut self, at: At, way: Way) {
        let to = self.place(at);
        if self.moves.last().is_none_or(|last| last.to != to) {
            if self.goes_on(to, way) {
                self.moves.pop();
            }
            self.moves.push(Move { to, way });
        }
        self.at = Some(at);
    }

    /// Whether a straight cut goes on where the one before it leads.
    fn goes_on(&self, to: Place, way: Way) -> bool {
        let [.., before, last] = self.moves.as_slice() else { return false };
        let straight = matches!(way, Way::Straight(_)) && last.way == way;
        let seen = |place: Place| (place.x - before.to.x, place.z - before.to.z);
        let ((x, z), (last_x, last_z)) = (seen(to), seen(last.to));
        let [x, z, last_x, last_z] = [x.half(), z, last_x.half(), last_z].map(Length::mm);
        let (length, along) = (libm::hypot(x, z), x * last_x + z * last_z);
        // Off the line by less than can be written, and on the way to its end.
        let off = (x * last_z - z * last_x).abs();
        straight && along > 0.0 && along < length * length && off < 0.6 * self.step().mm() * length
    }

    const fn step(&self) -> Length {
        Length::from_nm(self.units.nanometers() / 10_i64.pow(self.units.decimals() as u32))
    }

    pub(super) fn rapid(&mut self, at: At) {
        self.push(at, Way::Rapid);
    }

    pub(super) fn cut(&mut self, at: At) {
        self.push(at, Way::Straight(self.feed));
    }

    /// The center that is written: of those which I and K can say from the start, the nearest to the
    /// true one from which start and end lie as far, or else the most nearly so.
    ///
    /// Start and end were rounded; a center moved along the chord makes up for that, the farther the
    /// flatter the arc is.
    fn center(&self, from: Place, to: Place, center: At) -> Place {
        let (step, true_x) = (self.step(), 2.0 * self.side.r(center.r));
        let steps =
            |from: Length, to: f64, step: Length| ((to - from.mm()) / step.mm()).round() as i64;
        let (across, along) = (steps(from.x, true_x, step * 2), steps(from.z, center.z, step));
        let far = |place: Place, end: Place| {
            libm::hypot((end.x - place.x).half().mm(), (end.z - place.z).mm())
        };
        let wrong = |place: &Place| {
            let off = libm::hypot((place.x.mm() - true_x) / 2.0, place.z.mm() - center.z);
            let unequal = (far(*place, from) - far(*place, to)).abs();
            100.0 * (unequal - 0.3 * step.mm()).max(0.0) + unequal + 0.05 * off
        };
        let chord = ((to.x - from.x).half().mm(), (to.z - from.z).mm());
        let long = libm::hypot(chord.0, chord.1).max(step.mm());
        let most =
            (far(Place { x: Length::nearest_mm(true_x), z: Length::nearest_mm(center.z) }, from)
                / long)
                .ceil()
                .min(FLATTEST);
        let moved = |count: i64, chord: f64| (count as f64 * chord / long).round() as i64;
        let places = (-(most as i64)..=most as i64).flat_map(|count| {
            let (x, z) = (moved(count, chord.0), moved(count, chord.1));
            let near = (-1..=1).flat_map(move |i| (-1..=1).map(move |k| (x + i, z + k)));
            near.map(|(i, k)| Place {
                x: from.x + step * 2 * (across + i),
                z: from.z + step * (along + k),
            })
        });
        places.min_by(|one, other| wrong(one).total_cmp(&wrong(other))).unwrap_or(from)
    }

    /// Along a leg, from its start.
    pub(super) fn follow(&mut self, leg: &Leg) {
        self.cut(leg.from);
        let Bend::Round { center, turn } = leg.bend else {
            self.cut(leg.to);
            return;
        };
        let turn = if self.side == Side::Bore { turn.other() } else { turn };
        let (from, to) = (self.place(leg.from), self.place(leg.to));
        // Too short to be an arc when written.
        let step = self.step() * 10;
        let short = (to.x - from.x).abs() <= step && (to.z - from.z).abs() <= step;
        let way = if short {
            Way::Straight(self.feed)
        } else {
            Way::Arc { center: self.center(from, to, center), turn, feed: self.feed }
        };
        self.push(leg.to, way);
    }
}
