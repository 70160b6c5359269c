//! Corner and angle words: `,C` breaks a corner, `,R` rounds it, `,A` gives a line by its angle.
//! What such a block cuts depends on the block behind it, so it waits for that.

use super::block::Once;
use super::modal::MotionMode;
use super::words::Words;
use super::{Interpreter, Reading};
use crate::action::{Arc, Feed, Path};
use crate::event::{Point, Spot, What};
use model::Length;
use nc::blocks::Said;

/// How a corner is cut.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Cut {
    /// Both legs shortened by this.
    Leg(Length),
    /// An arc of this radius that touches both.
    Radius(Length),
}

/// A straight cut that waits for the next one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corner {
    from: Point,
    /// Its end where it is known; otherwise its angle decides, with that of the next.
    to: Option<Point>,
    angle: Option<f64>,
    cut: Option<Cut>,
    feed: Feed,
    spot: Spot,
}

impl Interpreter<'_> {
    /// Whether the words of this block go straight on from a corner that waits.
    pub(super) fn goes_on_straight(&self, words: Words<'_>, once: Once) -> bool {
        let straight = self.modal.motion == MotionMode::Line && once.code.is_none();
        straight && words.all().iter().all(|said| !matches!(said.letter, b'M' | b'T'))
    }

    /// Whether this block has corner or angle words, or follows one that has.
    pub(super) fn is_corner_move(&self, words: Words<'_>) -> bool {
        if self.modal.motion != MotionMode::Line {
            return false;
        }
        let has = |letter| words.get_comma(letter).is_some();
        let corner =
            words.behind_comma(b'C').is_some() || has(b'R') || has(b'A') || has(b'I') || has(b'K');
        (self.modal.corner.is_some() && words.has_axis())
            || (corner && (words.has_axis() || has(b'A')))
    }

    /// A straight cut with corner words, or behind one.
    pub(super) fn corner_move(&mut self, words: Words<'_>, reading: &mut Reading) {
        let spot = words.motion_spot();
        let angle = words.get_comma(b'A').map(|said| said.value);
        let said_to = words.has_axis().then(|| self.target(words));
        let to = match (said_to, angle, self.modal.corner) {
            // Two lines by their angles: the first one's end is where they meet.
            (Some(to), Some(angle), Some(Corner { to: None, angle: Some(first), from, .. })) => {
                let meets = meet(from, first, to, angle);
                if let (Some(corner), Some(meets)) = (self.modal.corner.as_mut(), meets) {
                    corner.to = Some(meets);
                }
                Some(to)
            }
            (Some(to), Some(angle), _) => Some(self.by_angle(words, to, angle)),
            (to, _, _) => to,
        };
        self.join(to, reading);
        let cut = self.corner_word(words);
        if cut.is_none() && to.is_some() {
            return self.line(to, spot, reading);
        }
        let (from, feed) = (self.modal.position, self.feed(spot, reading));
        self.modal.corner = Some(Corner { from, to, angle, cut, feed, spot });
        if let Some(to) = to {
            self.modal.position = to;
        }
    }

    fn line(&mut self, to: Option<Point>, spot: Spot, reading: &mut Reading) {
        let Some(to) = to else { return };
        let feed = self.feed(spot, reading);
        self.make(to, Path::Line, feed, spot, reading);
    }

    fn corner_word(&self, words: Words<'_>) -> Option<Cut> {
        let units = self.modal.units;
        let length = |said: &Said| said.length(units).map(Length::abs);
        let chamfer = words.behind_comma(b'C').or(words.get(b'I')).or(words.get(b'K'));
        let leg = chamfer.and_then(length).map(Cut::Leg);
        leg.or(words.get_comma(b'R').and_then(length).map(Cut::Radius))
    }

    /// The end of a line of which one coordinate is given, and its angle.
    fn by_angle(&self, words: Words<'_>, to: Point, angle: f64) -> Point {
        let from = self.modal.position;
        let slope = libm::tan(angle.to_radians());
        match (words.has_x(), words.has_z()) {
            (true, false) if slope != 0.0 => {
                Point { z: from.z + Length::nearest_mm((to.r - from.r).mm() / slope), ..to }
            }
            (false, true) => {
                Point { r: from.r + Length::nearest_mm((to.z - from.z).mm() * slope), ..to }
            }
            _ => to,
        }
    }

    /// Cuts the line that waits, with its corner toward the next end.
    fn join(&mut self, next: Option<Point>, reading: &mut Reading) {
        let Some(corner) = self.modal.corner.take() else { return };
        let Some(to) = corner.to else {
            reading.note(corner.spot, What::NoCorner);
            self.modal.position = corner.from;
            return;
        };
        let joined = corner.cut.zip(next).and_then(|(cut, next)| joint(corner.from, to, next, cut));
        let (feed, spot) = (corner.feed, corner.spot);
        match (joined, corner.cut) {
            (Some((first, second, path)), _) => {
                self.make(first, Path::Line, feed, spot, reading);
                self.make(second, path, feed, spot, reading);
            }
            (None, cut) => {
                if cut.is_some() {
                    reading.note(spot, What::NoCorner);
                }
                self.make(to, Path::Line, feed, spot, reading);
            }
        }
    }

    /// What waits is cut without its corner: no straight cut follows it.
    pub(super) fn flush_corner(&mut self, reading: &mut Reading) {
        self.join(None, reading);
    }
}

/// A direction as a pair of radius and axis parts, of length one.
fn direction(from: Point, to: Point) -> Option<((f64, f64), f64)> {
    let (dr, dz) = ((to.r - from.r).mm(), (to.z - from.z).mm());
    let length = libm::hypot(dr, dz);
    (length > 0.0).then(|| ((dr / length, dz / length), length))
}

/// Where the corner begins and ends, and the path between; none where a leg is too short.
fn joint(from: Point, at: Point, next: Point, cut: Cut) -> Option<(Point, Point, Path)> {
    let ((r1, z1), first) = direction(from, at)?;
    let ((r2, z2), second) = direction(at, next)?;
    // The change of direction, counter-clockwise positive with r up and z to the right.
    let change = libm::atan2(z1 * r2 - r1 * z2, z1 * z2 + r1 * r2);
    let leg = match cut {
        Cut::Leg(leg) => leg.mm(),
        Cut::Radius(radius) => radius.mm() * libm::tan(change.abs() / 2.0),
    };
    if leg > first || leg > second || !leg.is_finite() {
        return None;
    }
    let along = |(r, z): (f64, f64), by: f64| Point {
        r: at.r + Length::nearest_mm(r * by),
        z: at.z + Length::nearest_mm(z * by),
    };
    let (begin, end) = (along((r1, z1), -leg), along((r2, z2), leg));
    let path = match cut {
        Cut::Leg(_) => Path::Line,
        Cut::Radius(radius) => {
            let (side, radius) = (change.signum(), radius.mm());
            // The center lies square to the first line, on the side it turns to.
            let center = (begin.r.mm() + side * radius * z1, begin.z.mm() - side * radius * r1);
            Path::Arc(Arc { center, radius, turn: change })
        }
    };
    Some((begin, end, path))
}

/// Where a line from one point at an angle meets a line into another point at an angle.
fn meet(from: Point, first: f64, to: Point, second: f64) -> Option<Point> {
    let (s1, c1) = (libm::sin(first.to_radians()), libm::cos(first.to_radians()));
    let (s2, c2) = (libm::sin(second.to_radians()), libm::cos(second.to_radians()));
    let cross = c1 * s2 - s1 * c2;
    if cross.abs() < 1e-9 {
        return None;
    }
    let (dr, dz) = ((to.r - from.r).mm(), (to.z - from.z).mm());
    let way = (dz * s2 - dr * c2) / cross;
    Some(Point {
        r: from.r + Length::nearest_mm(way * s1),
        z: from.z + Length::nearest_mm(way * c1),
    })
}
