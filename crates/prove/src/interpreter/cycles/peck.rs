//! Pecking cycles on the face and on the outside: in steps along one axis, again and again along
//! the other.

use super::super::words::Words;
use super::super::{Interpreter, Reading};
use super::steps;
use crate::event::{Point, Spot};
use model::Length;
use nc::codes::GCode;

impl Interpreter<'_> {
    /// The first block says how far the tool goes back after each peck, the second all the rest.
    pub(super) fn peck(&mut self, cycle: GCode, words: &Words, spot: Spot, reading: &mut Reading) {
        if !words.has_axis() {
            self.modal.depths.back = self.said_length(words, b'R').unwrap_or_default();
            return;
        }
        let start = self.modal.position;
        let end = self.target(words);
        let along_x = self.said_increments(words, b'P').unwrap_or_default();
        let along_z = self.said_increments(words, b'Q').unwrap_or_default();
        if cycle == GCode::FacePeck {
            for r in places(start.r, end.r, along_x) {
                self.pecks(&|z| Point { r, z }, start.z, end.z, along_z, spot, reading);
            }
        } else {
            for z in places(start.z, end.z, along_z) {
                self.pecks(&|r| Point { r, z }, start.r, end.r, along_x, spot, reading);
            }
        }
        self.rapid_to(start, spot, reading);
    }

    /// Pecks from one place to another and goes back.
    fn pecks(
        &mut self,
        at: &dyn Fn(Length) -> Point,
        from: Length,
        to: Length,
        step: Length,
        spot: Spot,
        reading: &mut Reading,
    ) {
        self.rapid_to(at(from), spot, reading);
        let bottoms = match steps(from, to, step) {
            bottoms if bottoms.is_empty() => vec![to],
            bottoms => bottoms,
        };
        let back = if to < from { self.modal.depths.back } else { -self.modal.depths.back };
        let last = bottoms.len() - 1;
        for (index, bottom) in bottoms.into_iter().enumerate() {
            self.line_to(at(bottom), spot, reading);
            if index < last {
                self.rapid_to(at(bottom + back), spot, reading);
            }
        }
        self.rapid_to(at(from), spot, reading);
    }
}

/// The start and every step to the end.
fn places(from: Length, to: Length, step: Length) -> Vec<Length> {
    let mut places = vec![from];
    places.extend(steps(from, to, step));
    places
}
