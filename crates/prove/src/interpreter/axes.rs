//! Where axis words send the tool.

use super::modal::{Modal, MotionMode};
use super::words::{Once, Words, ask};
use super::{Interpreter, Reading};
use crate::action::{Ask, Path};
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
            Some((GCode::RoughTurning | GCode::RoughFacing | GCode::PatternRepeat, spot)) => {
                reading.notes.push((spot, What::NotModelled("roughing cycles")));
                self.pass_contour(words);
            }
            None if words.has_axis() && self.modal.moves() => self.move_to(words, reading),
            Some(_) | None => {}
        }
    }

    fn move_to(&mut self, words: &Words, reading: &mut Reading) {
        let to = self.target(words);
        let spot = words.motion_spot();
        let path = match self.modal.motion {
            MotionMode::Rapid | MotionMode::Cycle => Path::Rapid,
            MotionMode::Line | MotionMode::Thread => Path::Line,
            MotionMode::Clockwise | MotionMode::Counterclockwise => {
                match self.arc_length(words, to) {
                    Some(length) => Path::Arc(length),
                    None => {
                        reading.notes.push((spot, What::NoArc));
                        Path::Line
                    }
                }
            }
        };
        let feed = self.modal.feed();
        self.modal.position = to;
        ask(spot, Ask::Move { to, path, feed }, reading);
    }

    /// The end of the move that the axis words ask for.
    fn target(&self, words: &Words) -> Point {
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

    /// The contour of a roughing cycle is run by the cycle only: reading goes on behind it.
    fn pass_contour(&mut self, words: &Words) {
        let whole = |letter| words.get(letter).map(super::words::Said::whole);
        let (Some(Some(first)), Some(Some(last))) = (whole(b'P'), whole(b'Q')) else { return };
        let (program, block) = (self.at.program, self.at.block);
        let starts = self.library.search(program, block, first);
        let ends = self.library.search(program, block, last);
        if let (Some(start), Some(end)) = (starts, ends)
            && start == block
            && end >= start
        {
            self.at.block = end + 1;
        }
    }

    /// Length in millimeters of the arc to `to`; none where no such arc exists.
    fn arc_length(&self, words: &Words, to: Point) -> Option<f64> {
        let (modal, control) = (&self.modal, &self.setup.control);
        let length = |letter| words.get(letter).and_then(|said| said.length(modal.units, control));
        let from = modal.position;
        let (dz, dr) = ((to.z - from.z).mm(), (to.r - from.r).mm());
        let chord = libm::hypot(dz, dr);
        let clockwise = modal.motion == MotionMode::Clockwise;
        if let Some(radius) = length(b'R') {
            return radius_arc(chord, radius.mm());
        }
        let (i, k) = (length(b'I'), length(b'K'));
        if i.is_none() && k.is_none() {
            return None;
        }
        let (i, k) = (i.unwrap_or_default().mm(), k.unwrap_or_default().mm());
        let start_radius = libm::hypot(i, k);
        let (end_z, end_r) = (dz - k, dr - i);
        if (libm::hypot(end_z, end_r) - start_radius).abs() > ARC_TOLERANCE_MM {
            return None;
        }
        let (start, end) = (libm::atan2(-i, -k), libm::atan2(end_r, end_z));
        let turn = if clockwise { start - end } else { end - start };
        let full = 2.0 * std::f64::consts::PI;
        let turn = if chord == 0.0 { full } else { (turn % full + full) % full };
        Some(turn * start_radius)
    }
}

/// The arc of a radius over a chord: the shorter one, or for a negative radius the longer.
fn radius_arc(chord: f64, radius: f64) -> Option<f64> {
    let size = radius.abs();
    if chord == 0.0 || chord > 2.0 * (size + ARC_TOLERANCE_MM) {
        return None;
    }
    let half = libm::asin((chord / (2.0 * size)).min(1.0));
    let turn = if radius < 0.0 { 2.0 * (std::f64::consts::PI - half) } else { 2.0 * half };
    Some(turn * size)
}
