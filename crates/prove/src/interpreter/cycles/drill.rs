//! Drilling, tapping and boring on the axis of the spindle, as lathes do it: R is the way from
//! where the tool stands to the clear point.

use super::super::words::Words;
use super::super::{Interpreter, Reading};
use super::fixed::Fixed;
use super::steps;
use crate::action::{Ask, Feed, Path};
use crate::event::{Point, Spot};
use model::Length;
use model::quantity::Seconds;
use nc::codes::GCode;
use nc::decimal;

/// What the blocks of a drilling cycle have said so far.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Drilling {
    /// From where the tool stands to the clear point.
    clear: Length,
    bottom: Option<Length>,
    peck: Length,
    dwell: Seconds,
}

impl Drilling {
    pub(super) const fn none_said() -> Drilling {
        let dwell = Seconds::from_s(0.0);
        Drilling { clear: Length::ZERO, bottom: None, peck: Length::ZERO, dwell }
    }
}

/// One hole, with everything known.
#[derive(Clone, Copy)]
struct Hole {
    kind: GCode,
    r: Length,
    initial: Length,
    clear: Length,
    bottom: Length,
    peck: Length,
    dwell: Seconds,
}

impl Hole {
    const fn at(&self, z: Length) -> Point {
        Point { r: self.r, z }
    }
}

impl Interpreter<'_> {
    /// Runs a drilling cycle with the words of this block.
    pub(super) fn drilling_cycle(
        &mut self,
        mut fixed: Fixed,
        words: Words<'_>,
        spot: Spot,
        reading: &mut Reading,
    ) {
        /// More holes than any one block makes.
        const MOST_REPEATS: u32 = 1000;
        let start = fixed.start.unwrap_or(self.modal.position);
        let said = &mut fixed.drilling;
        said.clear = self.said_length(words, b'R').unwrap_or(said.clear);
        said.peck = self.said_increments(words, b'Q').unwrap_or(said.peck).abs();
        if let Some(dwell) = words.get(b'P') {
            said.dwell = match dwell.written() {
                Some(number) => decimal::dwell(b'P', number, &self.setup.control),
                None => Seconds::from_s(dwell.value / 1000.0),
            };
        }
        let initial = self.modal.position.z.max(start.z);
        let clear = initial + said.clear;
        let target = self.target(words);
        if words.get(b'Z').is_some() {
            said.bottom = Some(target.z);
        } else if let Some(along) = self.said_length(words, b'W') {
            said.bottom = Some(clear + along);
        }
        let Some(bottom) = said.bottom else { return };
        let hole = Hole {
            kind: fixed.kind,
            r: target.r,
            initial,
            clear,
            bottom,
            peck: said.peck,
            dwell: said.dwell,
        };
        self.modal.fixed = Some(fixed);
        let repeats = words.whole(b'K').unwrap_or(1).min(MOST_REPEATS);
        for _ in 0..repeats {
            self.hole(hole, spot, reading);
        }
    }

    fn hole(&mut self, hole: Hole, spot: Spot, reading: &mut Reading) {
        self.rapid_to(hole.at(hole.initial), spot, reading);
        self.rapid_to(hole.at(hole.clear), spot, reading);
        match hole.kind {
            GCode::FaceTap => self.tap(hole, spot, reading),
            GCode::FaceBore => {
                self.line_to(hole.at(hole.bottom), spot, reading);
                self.wait(hole.dwell, spot, reading);
                self.line_to(hole.at(hole.clear), spot, reading);
            }
            _ => self.pecks_down(hole, spot, reading),
        }
        let level = if self.modal.return_to_clearance { hole.clear } else { hole.initial };
        self.rapid_to(hole.at(level), spot, reading);
    }

    fn wait(&mut self, time: Seconds, spot: Spot, reading: &mut Reading) {
        if time.s() > 0.0 {
            self.ask(spot, Ask::Dwell(time), reading);
        }
    }

    /// Down in pecks; after each, all the way back or as far as the control says.
    fn pecks_down(&mut self, hole: Hole, spot: Spot, reading: &mut Reading) {
        let back = self.setup.control.cycles.drill_back;
        let mut before = hole.clear;
        for bottom in steps(hole.clear, hole.bottom, hole.peck) {
            self.rapid_to(hole.at(before), spot, reading);
            self.line_to(hole.at(bottom), spot, reading);
            self.wait(hole.dwell, spot, reading);
            let short = back.is_positive() && bottom != hole.bottom;
            let up = if short { (bottom + back).min(hole.clear) } else { hole.clear };
            self.rapid_to(hole.at(up), spot, reading);
            before = if short { up } else { bottom };
        }
    }

    /// Down and up with the spindle, which turns back at the bottom.
    fn tap(&mut self, hole: Hole, spot: Spot, reading: &mut Reading) {
        let feed = match self.modal.feed() {
            Feed::PerRevolution(lead) => Feed::Lead { lead, change: 0.0 },
            feed => feed,
        };
        self.go(hole.at(hole.bottom), Path::Line, feed, spot, reading);
        self.wait(hole.dwell, spot, reading);
        self.ask(spot, Ask::TurnBack, reading);
        self.go(hole.at(hole.clear), Path::Line, feed, spot, reading);
        self.ask(spot, Ask::TurnBack, reading);
    }
}
