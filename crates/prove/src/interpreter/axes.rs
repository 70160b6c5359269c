//! Where axis words send the tool.

use super::modal::{Modal, MotionMode};
use super::words::{Once, Words, ask};
use super::{Interpreter, Reading};
use crate::action::{Arc, Ask, Path};
use crate::event::{Point, What};
use model::Length;
use nc::codes::GCode;

/// How far start and end of an arc may differ in their distance from its center.
/// Source: NISTIR 6556 §3.5.3.2, 0.002 mm.
const ARC_TOLERANCE_MM: f64 = 0.002;

impl Interpreter<'_> {
    pub(super) fn motion(&mut self, words: &Words, once: &Once, reading: &mut Reading) {
        match once.code {
            Some((GCode::Dwell, spot)) => self.dwell(words, spot, reading),
            Some((GCode::SetCoordinatesOrClamp | GCode::LocalShift, _)) => self.shift(words, once),
            Some((GCode::ReturnHome | GCode::ReturnSecondHome, _)) => {
                self.home(words, true, reading);
            }
            Some((GCode::MachineCoordinates, _)) => self.home(words, false, reading),
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

    fn move_to(&mut self, words: &Words, reading: &mut Reading) {
        let to = self.target(words);
        let spot = words.motion_spot();
        let path = match self.modal.motion {
            MotionMode::Rapid | MotionMode::Cycle => Path::Rapid,
            MotionMode::Line | MotionMode::Thread => Path::Line,
            MotionMode::Clockwise | MotionMode::Counterclockwise => match self.arc(words, to) {
                Some(arc) => Path::Arc(arc),
                None => {
                    reading.notes.push((spot, What::NoArc));
                    Path::Line
                }
            },
        };
        let feed = self.modal.feed();
        self.modal.position = to;
        ask(spot, Ask::Move { to, path, feed }, reading);
    }

    /// The end of the move that the axis words ask for.
    pub(super) fn target(&self, words: &Words) -> Point {
        let modal = &self.modal;
        let control = &self.setup.control;
        let length = |letter| words.get(letter).and_then(|said| said.length(modal.units, control));
        let mut to = modal.position;
        if let Some(x) = length(b'X') {
            to.r = if modal.incremental { to.r + x.half() } else { x.half() + modal.shift.r };
        }
        if let Some(z) = length(b'Z') {
            to.z = if modal.incremental { to.z + z } else { z + modal.shift.z };
        }
        if Modal::has_increment_words(control.code_system) || !modal.incremental {
            if let Some(u) = length(b'U') {
                to.r += u.half();
            }
            if let Some(w) = length(b'W') {
                to.z += w;
            }
        }
        to
    }

    fn shift(&mut self, words: &Words, once: &Once) {
        if !words.has_axis() {
            return;
        }
        let (modal, control) = (&self.modal, &self.setup.control);
        let length = |letter| words.get(letter).and_then(|said| said.length(modal.units, control));
        let (x, z) = (length(b'X').map(Length::half), length(b'Z'));
        let local = matches!(once.code, Some((GCode::LocalShift, _)));
        let mut shift = modal.shift;
        if let Some(x) = x {
            shift.r = if local { x } else { modal.position.r - x };
        }
        if let Some(z) = z {
            shift.z = if local { z } else { modal.position.z - z };
        }
        self.modal.shift = shift;
    }

    fn home(&mut self, words: &Words, via: bool, reading: &mut Reading) {
        let named =
            |letters: [u8; 2]| letters.into_iter().any(|letter| words.get(letter).is_some());
        let (x, z) = (named([b'X', b'U']), named([b'Z', b'W']));
        if !x && !z {
            return;
        }
        let spot = words.motion_spot();
        if via {
            let to = self.target(words);
            if to != self.modal.position {
                ask(spot, Ask::Move { to, path: Path::Rapid, feed: self.modal.feed() }, reading);
                self.modal.position = to;
            }
        }
        ask(spot, Ask::Home { x, z }, reading);
        let home = crate::lathe::away(self.setup);
        if x {
            self.modal.position.r = home.r;
        }
        if z {
            self.modal.position.z = home.z;
        }
    }

    /// The arc to `to`; none where no such arc exists.
    fn arc(&self, words: &Words, to: Point) -> Option<Arc> {
        let (modal, control) = (&self.modal, &self.setup.control);
        let length = |letter| words.get(letter).and_then(|said| said.length(modal.units, control));
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
