//! Where axis words send the tool.

use super::block::Once;
use super::frame::Change;
use super::modal::{Modal, MotionMode};
use super::words::Words;
use super::{Interpreter, Reading};
use crate::action::{Arc, Feed, Path};
use crate::event::{Point, Spot, What};
use crate::lathe::away;
use model::Length;
use nc::codes::GCode;

/// How far start and end of an arc may differ in their distance from its center.
/// Source: NISTIR 6556 §3.5.3.2, 0.002 mm.
const ARC_TOLERANCE_MM: f64 = 0.002;

impl Interpreter<'_> {
    pub(super) fn motion(&mut self, words: Words<'_>, once: Once, reading: &mut Reading) {
        match once.code {
            Some((GCode::Dwell, spot)) => self.dwell(words, spot, reading),
            Some((GCode::SetCoordinatesOrClamp, _)) => self.set_coordinates(words),
            Some((GCode::LocalShift, _)) => {
                let (x, z) = self.said_place(words);
                self.modal.frame.set_local(x, z);
            }
            Some((GCode::DataSetting, spot)) => self.data(words, spot, reading),
            Some((GCode::ReturnHome, _)) => self.home(words, 1, true, reading),
            Some((GCode::ReturnSecondHome, _)) => {
                let number = words.whole(b'P').unwrap_or(2);
                self.home(words, number, true, reading);
            }
            Some((GCode::CheckHome, spot)) => self.check_home(words, spot, reading),
            Some((GCode::MachineCoordinates, _)) => self.machine_place(words, reading),
            // A signal may end this move anywhere; it is followed to its end.
            Some((GCode::SkipMove, _)) if words.has_axis() => {
                let to = self.target(words);
                self.make(to, Path::Line, self.modal.feed(), words.motion_spot(), reading);
            }
            Some((cycle, spot)) if cycle.is_cycle_once() => {
                self.cycle_once(cycle, words, spot, reading);
            }
            None if words.has_axis() && self.modal.motion == MotionMode::Cycle => {
                self.fixed_cycle(words, reading);
            }
            None if self.is_corner_move(words) => self.corner_move(words, reading),
            None if words.has_axis() => self.move_to(words, reading),
            Some(_) | None => {}
        }
    }

    fn move_to(&mut self, words: Words<'_>, reading: &mut Reading) {
        let to = self.target(words);
        let spot = words.motion_spot();
        let path = match self.modal.motion {
            MotionMode::Rapid | MotionMode::Cycle => Path::Rapid,
            MotionMode::Line | MotionMode::Thread | MotionMode::ThreadOfChangingLead => Path::Line,
            MotionMode::Clockwise | MotionMode::Counterclockwise => {
                if self.modal.other_plane {
                    let what = "arcs in another plane than that of Z and X";
                    reading.note(spot, What::NotModelled(what));
                }
                match self.arc(words, to) {
                    Some(arc) => Path::Arc(arc),
                    None => {
                        reading.note(spot, What::NoArc);
                        Path::Line
                    }
                }
            }
        };
        let feed = match self.modal.motion {
            mode if mode.is_thread() => self.lead(words),
            _ if path == Path::Rapid => self.modal.feed(),
            _ => self.feed(spot, reading),
        };
        self.make(to, path, feed, spot, reading);
    }

    /// The feed for a cut.
    pub(super) fn feed(&self, spot: Spot, reading: &mut Reading) -> Feed {
        let modal = &self.modal;
        if modal.feed.is_some() && modal.feed_is_per_revolution != modal.per_revolution {
            reading.note(spot, What::FeedOfOtherMode);
        }
        modal.feed()
    }

    /// The lead of a thread: F, and K where it changes with every turn.
    fn lead(&self, words: Words<'_>) -> Feed {
        let change = match self.modal.motion {
            MotionMode::ThreadOfChangingLead => words.length(b'K', self.modal.units),
            _ => None,
        };
        match self.modal.feed {
            Some(lead) => Feed::Lead { lead, change: change.unwrap_or_default().mm() },
            None => Feed::None,
        }
    }

    /// The end of the move that the axis words ask for.
    pub(super) fn target(&self, words: Words<'_>) -> Point {
        let modal = &self.modal;
        let shift = modal.frame.shift();
        let mut to = modal.position;
        for said in words.all().iter().filter(|said| said.is_axis()) {
            let Some(length) = said.length(modal.units) else { continue };
            match (said.letter, modal.incremental) {
                (b'X', false) => to.r = length.half() + shift.r,
                (b'Z', false) => to.z = length + shift.z,
                (b'X', true) => to.r += length.half(),
                (b'Z', true) => to.z += length,
                _ => {}
            }
        }
        if Modal::has_increment_words(self.setup.control.code_system) || !modal.incremental {
            to.r += words.length(b'U', modal.units).unwrap_or_default().half();
            to.z += words.length(b'W', modal.units).unwrap_or_default();
        }
        to
    }

    /// X as a radius and Z, where they are named.
    fn said_place(&self, words: Words<'_>) -> (Option<Length>, Option<Length>) {
        let units = self.modal.units;
        (words.length(b'X', units).map(Length::half), words.length(b'Z', units))
    }

    /// U as a radius and W, where they are named.
    fn said_increments_of_place(&self, words: Words<'_>) -> (Option<Length>, Option<Length>) {
        let units = self.modal.units;
        (words.length(b'U', units).map(Length::half), words.length(b'W', units))
    }

    fn set_coordinates(&mut self, words: Words<'_>) {
        let (x, z) = self.said_place(words);
        let (u, w) = self.said_increments_of_place(words);
        let position = self.modal.position;
        self.modal.frame.set_here(position, x, z);
        self.modal.frame.set_by(u.unwrap_or_default(), w.unwrap_or_default());
    }

    /// How X and Z of an offset change: to a place, or by an increment. C is an increment of Z
    /// where W is not one.
    fn said_changes(&self, words: Words<'_>) -> (Change, Change) {
        let (to, by) = (self.said_place(words), self.said_increments_of_place(words));
        if self.modal.incremental {
            let by = (to.0.or(by.0), to.1.or(by.1));
            return (Change { to: None, by: by.0 }, Change { to: None, by: by.1 });
        }
        let by_c = words.length(b'C', self.modal.units).or(by.1);
        (Change { to: to.0, by: by.0 }, Change { to: to.1, by: by_c })
    }

    /// Work offsets and tool offsets that the program itself sets.
    fn data(&mut self, words: Words<'_>, spot: Spot, reading: &mut Reading) {
        let units = self.modal.units;
        let (r, along) = self.said_changes(words);
        let number = words.whole(b'P').unwrap_or(0);
        match words.whole(b'L') {
            Some(2) if self.modal.frame.change_work(number, r, along) => {
                if number <= 1 && (r.to.is_some() || along.to.is_some()) {
                    let what =
                        "whether the work offset that the program sets lies on the finished face";
                    reading.note(spot, What::NotKnown(what));
                }
            }
            // Tool offsets: with L10 to L13, or with no L at all.
            None | Some(10..=13) => {
                if self.modal.frame.change_tool(number, r, along) {
                    let what = "what the tool offset held before the program set it";
                    reading.note(spot, What::NotKnown(what));
                }
                let radius = words.length(b'R', units);
                let tip = words.whole(b'Q').and_then(|tip| u8::try_from(tip).ok());
                if radius.is_some() || tip.is_some() {
                    self.modal.frame.set_nose(number % 10_000, radius, tip.filter(|tip| *tip <= 9));
                }
            }
            Some(_) => reading.note(spot, What::NotModelled("data set by the program")),
        }
    }

    /// Where a home position lies; unknown ones stand at the turret's clear point.
    fn home_place(&self, number: u32) -> (Point, bool) {
        let lathe = self.setup.lathe.as_ref();
        let home = lathe.and_then(|lathe| lathe.home(number)).zip(self.setup.jaw_face());
        match home {
            Some((home, jaw_face)) => (Point { r: home.x.half(), z: jaw_face + home.z }, true),
            None => (away(self.setup), false),
        }
    }

    /// The axes named go to a home position, with `via` through the place that they name.
    fn home(&mut self, words: Words<'_>, number: u32, via: bool, reading: &mut Reading) {
        let (x, z) = (words.has_x(), words.has_z());
        if !x && !z {
            return;
        }
        let spot = words.motion_spot();
        self.pause_nose(reading);
        if via {
            let to = self.target(words);
            if to != self.modal.position {
                self.make_plain(to, spot, reading);
            }
        }
        let (home, known) = self.home_place(number);
        if !known {
            reading.note(spot, What::NotKnown("the way to the home position"));
        }
        let now = self.modal.position;
        let to = Point { r: if x { home.r } else { now.r }, z: if z { home.z } else { now.z } };
        self.make_plain(to, spot, reading);
    }

    /// Goes to the place named, which must be the home position.
    fn check_home(&mut self, words: Words<'_>, spot: Spot, reading: &mut Reading) {
        self.pause_nose(reading);
        let to = self.target(words);
        self.make_plain(to, spot, reading);
        let (home, known) = self.home_place(1);
        if !known {
            return reading.note(spot, What::NotKnown("the check of the home position"));
        }
        if words.has_x() && to.r != home.r || words.has_z() && to.z != home.z {
            reading.fault(spot, What::NotHome);
        }
    }

    /// A place in machine coordinates, whose zero is taken to be the first home position.
    fn machine_place(&mut self, words: Words<'_>, reading: &mut Reading) {
        let (home, known) = self.home_place(1);
        if !known {
            return self.home(words, 1, false, reading);
        }
        self.pause_nose(reading);
        let (x, z) = self.said_place(words);
        let now = self.modal.position;
        let to = Point { r: x.map_or(now.r, |x| home.r + x), z: z.map_or(now.z, |z| home.z + z) };
        self.make_plain(to, words.motion_spot(), reading);
    }

    /// The arc to `to`; none where no such arc exists.
    fn arc(&self, words: Words<'_>, to: Point) -> Option<Arc> {
        let modal = &self.modal;
        let length = |letter| words.length(letter, modal.units);
        let from = (modal.position.r.mm(), modal.position.z.mm());
        let to = (to.r.mm(), to.z.mm());
        let clockwise = modal.motion == MotionMode::Clockwise;
        if let Some(radius) = length(b'R') {
            return over_chord(from, to, radius.mm(), clockwise);
        }
        let (i, k) = (length(b'I'), length(b'K'));
        if i.is_none() && k.is_none() {
            return None;
        }
        let (i, k) = (i.unwrap_or_default().mm(), k.unwrap_or_default().mm());
        let (center, radius) = ((from.0 + i, from.1 + k), libm::hypot(i, k));
        let end = (to.0 - center.0, to.1 - center.1);
        if radius == 0.0 || (libm::hypot(end.0, end.1) - radius).abs() > ARC_TOLERANCE_MM {
            return None;
        }
        let (start, end) = (libm::atan2(-i, -k), libm::atan2(end.0, end.1));
        Some(Arc { center, radius, turn: turn(start, end, clockwise) })
    }
}

/// The angle from one direction to another, a whole turn where they are the same.
fn turn(start: f64, end: f64, clockwise: bool) -> f64 {
    const FULL: f64 = 2.0 * std::f64::consts::PI;
    let forward = ((end - start) % FULL + FULL) % FULL;
    match (clockwise, forward == 0.0) {
        (false, true) => FULL,
        (false, false) => forward,
        (true, _) => forward - FULL,
    }
}

/// The arc of a radius over a chord: the shorter one, or for a negative radius the longer.
/// Points are radius and distance from the face.
fn over_chord(from: (f64, f64), to: (f64, f64), radius: f64, clockwise: bool) -> Option<Arc> {
    let size = radius.abs();
    let (dr, dz) = (to.0 - from.0, to.1 - from.1);
    let chord = libm::hypot(dr, dz);
    if chord == 0.0 || chord > 2.0 * (size + ARC_TOLERANCE_MM) {
        return None;
    }
    let half = libm::asin((chord / (2.0 * size)).min(1.0));
    let height = size * libm::cos(half);
    // The center lies to the left of the chord for a short counter-clockwise arc.
    let left = if clockwise == (radius < 0.0) { height } else { -height };
    let middle = (from.0 + dr / 2.0, from.1 + dz / 2.0);
    let center = (middle.0 + left * dz / chord, middle.1 - left * dr / chord);
    let short = if radius < 0.0 { 2.0 * (std::f64::consts::PI - half) } else { 2.0 * half };
    let turn = if clockwise { -short } else { short };
    Some(Arc { center, radius: size, turn })
}
