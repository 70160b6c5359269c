//! Fixed cycles, in force until another motion is called: turning, facing and threading in boxes,
//! and drilling.

use super::super::words::Words;
use super::super::{Interpreter, Reading};
use super::drill::Drilling;
use super::thread::Pass;
use crate::event::{CycleTrouble, Point, Spot};
use model::Length;
use nc::codes::GCode;

/// The fixed cycle in force, with what its earlier blocks said.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fixed {
    pub(super) kind: GCode,
    /// Where the tool stood when the cycle was first run; each box starts and ends there.
    pub(super) start: Option<Point>,
    end: Option<Point>,
    /// Difference of radius from start to end of a taper.
    taper: Length,
    pub(super) drilling: Drilling,
}

impl Fixed {
    /// A cycle that has just been called.
    pub const fn new(kind: GCode) -> Fixed {
        Fixed { kind, start: None, end: None, taper: Length::ZERO, drilling: Drilling::none_said() }
    }
}

impl Fixed {
    /// Which cycle it is.
    pub const fn kind(&self) -> GCode {
        self.kind
    }
}

impl Interpreter<'_> {
    /// Runs the fixed cycle in force with the axis words of this block.
    pub(in super::super) fn fixed_cycle(&mut self, words: Words<'_>, reading: &mut Reading) {
        let Some(mut fixed) = self.modal.fixed else { return };
        if self.reads_contour {
            return Self::lacks(words.motion_spot(), CycleTrouble::ContourBlock, reading);
        }
        self.pause_nose(reading);
        let nose = std::mem::take(&mut self.modal.nose);
        self.one_of_cycle(&mut fixed, words, reading);
        self.modal.nose = nose;
    }

    fn one_of_cycle(&mut self, fixed: &mut Fixed, words: Words<'_>, reading: &mut Reading) {
        let spot = words.motion_spot();
        let start = fixed.start.unwrap_or(self.modal.position);
        fixed.start = Some(start);
        if !matches!(fixed.kind, GCode::TurningCycle | GCode::FacingCycle | GCode::ThreadingCycle) {
            return self.drilling_cycle(*fixed, words, spot, reading);
        }
        // Increments count from the start of the box, and words that are left out stay.
        self.modal.position = start;
        let said = self.target(words);
        let before = fixed.end.unwrap_or(start);
        let end = Point {
            r: if words.has_x() { said.r } else { before.r },
            z: if words.has_z() { said.z } else { before.z },
        };
        fixed.end = Some(end);
        fixed.taper = self.said_length(words, b'R').unwrap_or(fixed.taper);
        self.modal.fixed = Some(*fixed);
        match fixed.kind {
            GCode::FacingCycle => self.facing_box(start, end, fixed.taper, spot, reading),
            GCode::ThreadingCycle => {
                let tenths = self.setup.control.cycles.thread_pull_out;
                let from = Point { r: end.r + fixed.taper, z: start.z };
                let pass = Pass { from, to: end, out: start.r, pull_out: self.pull_out(tenths) };
                self.thread_pass(pass, spot, reading);
                self.rapid_to(start, spot, reading);
            }
            _ => self.turning_box(start, end, fixed.taper, spot, reading),
        }
    }

    /// In along X, cut along Z, out along X, back along Z.
    fn turning_box(
        &mut self,
        start: Point,
        end: Point,
        taper: Length,
        spot: Spot,
        reading: &mut Reading,
    ) {
        self.rapid_to(Point { r: end.r + taper, z: start.z }, spot, reading);
        self.line_to(end, spot, reading);
        self.line_to(Point { r: start.r, z: end.z }, spot, reading);
        self.rapid_to(start, spot, reading);
    }

    /// In along Z, cut along X, out along Z, back along X.
    fn facing_box(
        &mut self,
        start: Point,
        end: Point,
        taper: Length,
        spot: Spot,
        reading: &mut Reading,
    ) {
        self.rapid_to(Point { r: start.r, z: end.z + taper }, spot, reading);
        self.line_to(end, spot, reading);
        self.line_to(Point { r: end.r, z: start.z }, spot, reading);
        self.rapid_to(start, spot, reading);
    }
}
