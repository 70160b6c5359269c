//! Fixed cycles, in force until another motion is called: turning, facing, threading in boxes, and
//! drilling on the axis.

use super::super::words::Words;
use super::super::{Interpreter, Reading};
use super::steps;
use crate::event::{Point, Spot};
use model::Length;
use nc::codes::GCode;

/// The fixed cycle in force, with what its earlier blocks said.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fixed {
    kind: GCode,
    /// Where the tool stood when the cycle was first run; each box starts and ends there.
    start: Option<Point>,
    end: Option<Point>,
    /// Difference of radius from start to end of a taper, or the way to a hole's clear point.
    r: Length,
    peck: Length,
}

impl Fixed {
    /// A cycle that has just been called.
    pub const fn new(kind: GCode) -> Fixed {
        Fixed { kind, start: None, end: None, r: Length::ZERO, peck: Length::ZERO }
    }
}

impl Interpreter<'_> {
    /// Runs the fixed cycle in force with the axis words of this block.
    pub(in super::super) fn fixed_cycle(&mut self, words: &Words, reading: &mut Reading) {
        let Some(mut fixed) = self.modal.fixed else { return };
        let spot = words.motion_spot();
        let start = fixed.start.unwrap_or(self.modal.position);
        // Increments count from the start of the box, and words that are left out stay.
        self.modal.position = start;
        let said = self.target(words);
        let before = fixed.end.unwrap_or(start);
        let has = |letters: [u8; 2]| letters.into_iter().any(|letter| words.get(letter).is_some());
        let end = Point {
            r: if has([b'X', b'U']) { said.r } else { before.r },
            z: if has([b'Z', b'W']) { said.z } else { before.z },
        };
        (fixed.start, fixed.end) = (Some(start), Some(end));
        fixed.r = self.said_length(words, b'R').unwrap_or(fixed.r);
        fixed.peck = self.said_increments(words, b'Q').unwrap_or(fixed.peck);
        self.modal.fixed = Some(fixed);
        match fixed.kind {
            GCode::FacingCycle => self.facing_box(start, end, fixed.r, spot, reading),
            GCode::TurningCycle | GCode::ThreadingCycle => {
                self.turning_box(start, end, fixed.r, spot, reading);
            }
            _ => self.drill(&fixed, start, end, spot, reading),
        }
    }

    /// In along X, cut along Z, out along X, back along Z. A thread is the same with its lead as
    /// feed; its pull-out is not followed.
    fn turning_box(
        &mut self,
        start: Point,
        end: Point,
        taper: Length,
        spot: Spot,
        reading: &mut Reading,
    ) {
        let thread = self.modal.fixed.is_some_and(|fixed| fixed.kind == GCode::ThreadingCycle);
        self.rapid_to(Point { r: end.r + taper, z: start.z }, spot, reading);
        self.line_to(end, spot, reading);
        let out = Point { r: start.r, z: end.z };
        if thread {
            self.rapid_to(out, spot, reading);
        } else {
            self.line_to(out, spot, reading);
        }
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

    /// To the clear point, down in pecks with a full way back after each, and back to the start.
    fn drill(
        &mut self,
        fixed: &Fixed,
        start: Point,
        end: Point,
        spot: Spot,
        reading: &mut Reading,
    ) {
        let at = |z| Point { r: end.r, z };
        let clear = start.z + fixed.r;
        self.rapid_to(at(start.z), spot, reading);
        self.rapid_to(at(clear), spot, reading);
        let bottoms = match steps(clear, end.z, fixed.peck) {
            bottoms if bottoms.is_empty() => vec![end.z],
            bottoms => bottoms,
        };
        let pecks = bottoms.len();
        let mut before = clear;
        for (index, bottom) in bottoms.into_iter().enumerate() {
            self.rapid_to(at(before), spot, reading);
            self.line_to(at(bottom), spot, reading);
            let feeds_out = matches!(fixed.kind, GCode::FaceTap | GCode::FaceBore);
            if feeds_out && index + 1 == pecks {
                self.line_to(at(clear), spot, reading);
            } else {
                self.rapid_to(at(clear), spot, reading);
            }
            before = bottom;
        }
        self.rapid_to(at(start.z), spot, reading);
    }
}
