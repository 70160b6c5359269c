//! Drilling, tapping and boring along Z, in both forms that controls have: as lathes do it, R
//! being the way from where the tool stands to the clear point, and the plain form, R being a
//! place. Source of the plain form: NISTIR 6556 §3.5.16.

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
    /// R: the way to the clear point, or its place.
    clear: Length,
    /// The bottom's place; in the plain form as Z was written.
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

/// How often a block makes its hole.
fn repeats(words: Words<'_>, letter: u8) -> u32 {
    /// More holes than any one block makes.
    const MOST: u32 = 1000;
    words.whole(letter).unwrap_or(1).min(MOST)
}

/// One hole, with everything known.
#[derive(Clone, Copy)]
struct Hole {
    kind: GCode,
    r: Length,
    clear: Length,
    bottom: Length,
    peck: Length,
    dwell: Seconds,
    /// Where the tool ends.
    level: Length,
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
        self.hear(&mut fixed.drilling, words);
        let plain = !matches!(fixed.kind, GCode::FaceDrill | GCode::FaceTap | GCode::FaceBore);
        if plain {
            self.plain_holes(&mut fixed, words, spot, reading);
        } else {
            self.lathe_holes(&mut fixed, words, spot, reading);
        }
        self.modal.fixed = Some(fixed);
    }

    /// Peck and dwell, which both forms say alike.
    fn hear(&self, said: &mut Drilling, words: Words<'_>) {
        said.peck = self.said_increments(words, b'Q').unwrap_or(said.peck).abs();
        if let Some(dwell) = words.get(b'P') {
            said.dwell = match dwell.written() {
                Some(number) => decimal::dwell(b'P', number, &self.setup.control),
                None => Seconds::from_s(dwell.value / 1000.0),
            };
        }
    }

    fn lathe_holes(
        &mut self,
        fixed: &mut Fixed,
        words: Words<'_>,
        spot: Spot,
        reading: &mut Reading,
    ) {
        let start = fixed.start.unwrap_or(self.modal.position);
        let said = &mut fixed.drilling;
        said.clear = self.said_length(words, b'R').unwrap_or(said.clear);
        let initial = start.z;
        let clear = initial + said.clear;
        let target = self.target(words);
        if words.get(b'Z').is_some() {
            said.bottom = Some(target.z);
        } else if let Some(along) = self.said_length(words, b'W') {
            said.bottom = Some(clear + along);
        }
        let Some(bottom) = said.bottom else { return };
        let (kind, r) = (fixed.kind, target.r);
        let level = if self.modal.return_to_clearance { clear } else { initial };
        let (peck, dwell) = (said.peck, said.dwell);
        for _ in 0..repeats(words, b'K') {
            if reading.is_over(spot) {
                return;
            }
            let now = self.modal.position;
            self.rapid_to(Point { r, z: now.z }, spot, reading);
            self.hole(Hole { kind, r, clear, bottom, peck, dwell, level }, spot, reading);
        }
    }

    /// The plain form. In increments, X and R count from where the tool stands and Z from the
    /// clear point, once more with every repeat.
    fn plain_holes(
        &mut self,
        fixed: &mut Fixed,
        words: Words<'_>,
        spot: Spot,
        reading: &mut Reading,
    ) {
        let (incremental, shift) = (self.modal.incremental, self.modal.frame.shift());
        let said = &mut fixed.drilling;
        said.clear = self.said_length(words, b'R').unwrap_or(said.clear);
        said.bottom = self.said_length(words, b'Z').or(said.bottom);
        let Some(bottom) = said.bottom else { return };
        let old = self.modal.position.z;
        let clear = said.clear + if incremental { old } else { shift.z };
        let bottom = bottom + if incremental { clear } else { shift.z };
        let initial = fixed.start.map_or(old, |start| start.z);
        let level = if self.modal.return_to_clearance { clear } else { initial.max(clear) };
        let (kind, peck) = (fixed.kind, said.peck);
        let waits =
            matches!(kind, GCode::PlainDrillDwell | GCode::PlainBoreStop | GCode::PlainBoreDwell);
        let dwell = if waits { said.dwell } else { Seconds::from_s(0.0) };
        let step = self.said_length(words, b'X').unwrap_or_default().half();
        if old < clear {
            self.rapid_to(Point { z: clear, ..self.modal.position }, spot, reading);
        }
        for _ in 0..repeats(words, b'L') {
            if reading.is_over(spot) {
                return;
            }
            let now = self.modal.position;
            let r = match (incremental, words.get(b'X')) {
                (true, _) => now.r + step,
                (false, Some(_)) => step + shift.r,
                (false, None) => now.r,
            };
            self.rapid_to(Point { r, z: now.z }, spot, reading);
            self.hole(Hole { kind, r, clear, bottom, peck, dwell, level }, spot, reading);
        }
    }

    fn hole(&mut self, hole: Hole, spot: Spot, reading: &mut Reading) {
        self.rapid_to(hole.at(hole.clear), spot, reading);
        match hole.kind {
            GCode::FaceTap | GCode::PlainTap => self.tap(hole, spot, reading),
            GCode::FaceBore | GCode::PlainBore | GCode::PlainBoreDwell => {
                self.line_to(hole.at(hole.bottom), spot, reading);
                self.wait(hole.dwell, spot, reading);
                self.line_to(hole.at(hole.clear), spot, reading);
            }
            GCode::PlainBoreStop => {
                self.line_to(hole.at(hole.bottom), spot, reading);
                self.wait(hole.dwell, spot, reading);
                self.ask(spot, Ask::Rest, reading);
                self.rapid_to(hole.at(hole.level), spot, reading);
                self.ask(spot, Ask::TurnOn, reading);
            }
            GCode::PlainDrill | GCode::PlainDrillDwell => {
                self.pecks_down(Hole { peck: Length::ZERO, ..hole }, spot, reading);
            }
            _ => self.pecks_down(hole, spot, reading),
        }
        self.rapid_to(hole.at(hole.level), spot, reading);
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
            if reading.is_over(spot) {
                return;
            }
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
