//! Cycles: one block that stands for many moves. Each is run as the moves it stands for, so that
//! everything behind the interpreter knows moves only.

mod contour;
mod drill;
mod fixed;
mod peck;
mod rough;
mod thread;

pub(in crate::interpreter) use fixed::Fixed;

use super::words::Words;
use super::{Interpreter, Reading};
use crate::action::{Feed, Path};
use crate::event::{CycleTrouble, Point, Spot, What};
use model::Length;
use nc::codes::GCode;

/// What the first block of a cycle of two blocks leaves for the second, and for later ones.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Depths {
    /// Depth of a roughing layer.
    pub layer: Length,
    /// How far a roughing tool lifts off.
    pub lift: Length,
    /// How far a pecking tool goes back.
    pub back: Length,
    /// Relief on the radius, relief along the axis, and passes of a pattern.
    pub pattern: (Length, Length, u32),
    /// What the first block of a threading cycle says.
    pub thread: thread::Thread,
}

impl Interpreter<'_> {
    /// Runs a cycle that stands in its own block.
    pub(super) fn cycle_once(
        &mut self,
        cycle: GCode,
        words: Words<'_>,
        spot: Spot,
        reading: &mut Reading,
    ) {
        let spot = if words.has_axis() { words.motion_spot() } else { spot };
        if self.reads_contour {
            return Self::lacks(spot, CycleTrouble::ContourBlock, reading);
        }
        if cycle == GCode::FinishCycle {
            return self.finish(words, spot, reading);
        }
        // Only the finishing pass goes beside its contour; common practice, from memory.
        self.pause_nose(reading);
        let nose = std::mem::take(&mut self.modal.nose);
        match cycle {
            GCode::FacePeck | GCode::RadialPeck => self.peck(cycle, words, spot, reading),
            GCode::MultipassThread => self.multipass(words, spot, reading),
            GCode::RoughTurning | GCode::RoughFacing => self.rough(cycle, words, spot, reading),
            _ => self.pattern(words, spot, reading),
        }
        self.modal.nose = nose;
    }

    /// A length in a word of this block.
    fn said_length(&self, words: Words<'_>, letter: u8) -> Option<Length> {
        words.length(letter, self.modal.units)
    }

    /// A step or depth in a word of this block.
    fn said_increments(&self, words: Words<'_>, letter: u8) -> Option<Length> {
        words.get(letter)?.increments(self.modal.units, &self.setup.control)
    }

    fn rapid_to(&mut self, to: Point, spot: Spot, reading: &mut Reading) {
        self.go(to, Path::Rapid, self.modal.feed(), spot, reading);
    }

    fn line_to(&mut self, to: Point, spot: Spot, reading: &mut Reading) {
        let feed = self.feed(spot, reading);
        self.go(to, Path::Line, feed, spot, reading);
    }

    fn go(&mut self, to: Point, path: Path, feed: Feed, spot: Spot, reading: &mut Reading) {
        if to != self.modal.position {
            self.make(to, path, feed, spot, reading);
        }
    }

    /// Tells what a cycle lacks; the control stops with an alarm.
    fn lacks(spot: Spot, trouble: CycleTrouble, reading: &mut Reading) {
        reading.fault(spot, What::Cycle(trouble));
    }
}

/// Steps from one value toward another, the last one clipped; the start itself is not among them.
/// Without a step the whole way is one; without a way there is none.
fn steps(from: Length, to: Length, step: Length) -> impl Iterator<Item = Length> {
    /// More steps than any cycle on a lathe has.
    const MOST: i64 = 100_000;
    let way = (to - from).abs();
    let whole = if step.is_positive() { (way / step).min(MOST) } else { 0 };
    let sign = if to < from { -1 } else { 1 };
    let last = (step.max(Length::ZERO) * whole != way).then_some(to);
    (1..=whole).map(move |index| from + step * (index * sign)).chain(last)
}
