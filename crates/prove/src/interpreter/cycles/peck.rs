//! Pecking cycles on the face and on the outside: in steps along one axis, again and again along
//! the other.

use super::super::words::Words;
use super::super::{Interpreter, Reading};
use super::steps;
use crate::event::{CycleTrouble, Point, Spot};
use model::Length;
use nc::codes::GCode;

impl Interpreter<'_> {
    /// The first block says how far the tool goes back after each peck, the second all the rest.
    pub(super) fn peck(
        &mut self,
        cycle: GCode,
        words: Words<'_>,
        spot: Spot,
        reading: &mut Reading,
    ) {
        if !words.has_axis() {
            self.modal.depths.back = self.said_length(words, b'R').unwrap_or_default();
            return;
        }
        let start = self.modal.position;
        let end = self.target(words);
        let along_x = self.said_increments(words, b'P').unwrap_or_default();
        let along_z = self.said_increments(words, b'Q').unwrap_or_default();
        let zero = |letter| words.get(letter).is_some_and(|said| said.value == 0.0);
        if zero(if cycle == GCode::FacePeck { b'Q' } else { b'P' }) {
            return Self::lacks(spot, CycleTrouble::NoPeck, reading);
        }
        // In the second block R is how far the tool moves aside at the bottom of each stroke.
        let aside = self.said_length(words, b'R').unwrap_or_default();
        let stroke = |to: Length, step| Stroke { to, step, aside: Length::ZERO };
        if cycle == GCode::FacePeck {
            let back = if end.r < start.r { aside } else { -aside };
            for (index, r) in places(start.r, end.r, along_x).enumerate() {
                if reading.is_over(spot) {
                    return;
                }
                let aside = if index == 0 { Length::ZERO } else { back };
                let stroke = Stroke { aside, ..stroke(end.z, along_z) };
                self.pecks(&|z, aside| Point { r: r + aside, z }, start.z, stroke, spot, reading);
            }
        } else {
            let back = if end.z < start.z { aside } else { -aside };
            for (index, z) in places(start.z, end.z, along_z).enumerate() {
                if reading.is_over(spot) {
                    return;
                }
                let aside = if index == 0 { Length::ZERO } else { back };
                let stroke = Stroke { aside, ..stroke(end.r, along_x) };
                self.pecks(&|r, aside| Point { r, z: z + aside }, start.r, stroke, spot, reading);
            }
        }
        self.rapid_to(start, spot, reading);
    }

    /// Pecks to the bottom of a stroke and goes back.
    fn pecks(
        &mut self,
        at: &dyn Fn(Length, Length) -> Point,
        from: Length,
        stroke: Stroke,
        spot: Spot,
        reading: &mut Reading,
    ) {
        let on = |depth| at(depth, Length::ZERO);
        let back = self.modal.depths.back;
        let back = if stroke.to < from { back } else { -back };
        self.rapid_to(on(from), spot, reading);
        for bottom in steps(from, stroke.to, stroke.step) {
            if reading.is_over(spot) {
                return;
            }
            self.line_to(on(bottom), spot, reading);
            if bottom != stroke.to {
                self.rapid_to(on(bottom + back), spot, reading);
            }
        }
        if stroke.aside != Length::ZERO {
            self.rapid_to(at(stroke.to, stroke.aside), spot, reading);
            self.rapid_to(at(from, stroke.aside), spot, reading);
        }
        self.rapid_to(on(from), spot, reading);
    }
}

/// One stroke of a pecking cycle.
#[derive(Clone, Copy)]
struct Stroke {
    to: Length,
    step: Length,
    /// How far the tool moves aside at the bottom before it goes back.
    aside: Length,
}

/// The start and every step to the end; the start alone without a step.
fn places(from: Length, to: Length, step: Length) -> impl Iterator<Item = Length> {
    let to = if step.is_positive() { to } else { from };
    std::iter::once(from).chain(steps(from, to, step))
}
