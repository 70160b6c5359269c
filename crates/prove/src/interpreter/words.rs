//! The words of a block: what they ask of the lathe, in the order in which a control does it.

use super::cycles::Fixed;
use super::modal::MotionMode;
use super::{Here, Interpreter, Reading};
use crate::action::{Action, Ask};
use crate::event::{EndedBy, Spot, What};
use crate::lathe::State;
use model::files::control::{Code, Does};
use model::quantity::{Seconds, SpindleSpeed};
use model::{Length, Span, Units};
use nc::codes::{Codes, GCode};
use nc::decimal;
use nc::tree::{ItemKind, Number, Value, Word};

/// One word with its value worked out.
#[derive(Debug, Clone, Copy)]
pub(super) struct Said {
    letter: u8,
    pub(super) spot: Spot,
    number: Option<Number>,
    value: f64,
    comma: bool,
}

/// What is left open by words of axes that a two-axis lathe does not have.
const OTHER_AXES: &str =
    "words of axes other than X and Z; C without a comma is a chamfer on some controls";

impl Said {
    const fn is_other_axis(&self) -> bool {
        matches!(self.letter, b'B' | b'C' | b'H' | b'V' | b'Y') && !self.comma
    }

    pub(super) const fn letter(&self) -> u8 {
        self.letter
    }

    pub(super) const fn value(&self) -> f64 {
        self.value
    }

    fn code(&self) -> Option<Code> {
        let tenths = (self.value * 10.0).round();
        let letter = char::from(self.letter);
        (0.0..1e8).contains(&tenths).then_some(Code { letter, tenths: tenths as u32 })
    }

    pub(super) fn whole(&self) -> Option<u32> {
        (0.0..4e9).contains(&self.value).then_some(self.value as u32)
    }

    /// As a length where a number without a point counts least increments on every control, as the
    /// steps and depths of cycles do.
    pub(super) fn increments(
        &self,
        units: Units,
        control: &model::files::Control,
    ) -> Option<Length> {
        match self.number {
            Some(number) if !number.point => {
                let steps = number.whole().map(i64::from)?;
                Some(control.increment(units) * steps)
            }
            _ => self.length(units, control),
        }
    }

    /// As a length by the control's rule for numbers without a point.
    pub(super) fn length(&self, units: Units, control: &model::files::Control) -> Option<Length> {
        match self.number {
            Some(number) => decimal::length(number, units, control),
            None => Some(decimal::length_of(self.value, units, control)),
        }
    }
}

/// The words of one block.
pub(super) struct Words {
    all: Vec<Said>,
    /// Where the block as a whole stands.
    pub(super) spot: Spot,
}

impl Words {
    /// All words, in the order of the block.
    pub(super) fn all(&self) -> &[Said] {
        &self.all
    }

    /// The last word with this letter and no comma: where one stands twice, controls take the last.
    pub(super) fn get(&self, letter: u8) -> Option<&Said> {
        self.all.iter().rev().find(|said| said.letter == letter && !said.comma)
    }

    /// The word with this letter behind a comma.
    pub(super) fn behind_comma(&self, letter: u8) -> Option<&Said> {
        self.all.iter().rev().find(|said| said.letter == letter && said.comma)
    }

    /// The word with this letter behind a comma, else without one.
    pub(super) fn get_comma(&self, letter: u8) -> Option<&Said> {
        self.behind_comma(letter).or(self.get(letter))
    }

    pub(super) fn has_axis(&self) -> bool {
        self.all.iter().any(|said| matches!(said.letter, b'X' | b'Z' | b'U' | b'W'))
    }

    /// The stretch that a motion is pointed at: its axis words.
    pub(super) fn motion_spot(&self) -> Spot {
        let axes = self.all.iter().filter(|said| matches!(said.letter, b'X' | b'Z' | b'U' | b'W'));
        match axes.map(|said| said.spot.span).reduce(Span::to) {
            Some(span) => Spot { span, ..self.spot },
            None => self.spot,
        }
    }
}

/// The G words of a block that are not modal.
#[derive(Default)]
pub(super) struct Once {
    pub(super) code: Option<(GCode, Spot)>,
}

impl Interpreter<'_> {
    pub(super) fn words(&mut self, here: &Here<'_>, state: &State, reading: &mut Reading) {
        let words = self.said(here, state, reading);
        if reading.ended.is_some() {
            return;
        }
        let once = self.g_words(&words, reading);
        if !self.goes_on_straight(&words, &once) {
            self.flush_corner(reading);
        }
        if let Some((GCode::MacroCall, spot)) = once.code {
            return self.macro_call(&words, spot, reading);
        }
        for other in words.all.iter().filter(|said| said.is_other_axis()) {
            reading.notes.push((other.spot, What::NotModelled(OTHER_AXES)));
        }
        self.feed_and_speed(&words, &once, reading);
        self.start_functions(&words, reading);
        if let Some(tool) = words.get(b'T') {
            self.tool(tool, reading);
        }
        self.motion(&words, &once, reading);
        self.other_functions(&words, reading);
        self.flow_functions(&words, reading);
    }

    fn said(&self, here: &Here<'_>, state: &State, reading: &mut Reading) -> Words {
        let mut all = Vec::with_capacity(8);
        for item in here.items() {
            let ItemKind::Word(Word { letter, value, comma }) = item.kind else { continue };
            let spot = here.spot(item.span);
            match value {
                Value::Number(number) => {
                    let value = number.value();
                    all.push(Said { letter, spot, number: Some(number), value, comma });
                }
                // A word whose value is null is as if not written.
                Value::Expression(term) => {
                    if let Some(value) = self.value(here, term, state, reading) {
                        all.push(Said { letter, spot, number: None, value, comma });
                    }
                }
            }
        }
        Words { all, spot: here.spot(here.block.span) }
    }

    fn g_words(&mut self, words: &Words, reading: &mut Reading) -> Once {
        let mut once = Once::default();
        for said in words.all.iter().filter(|said| said.letter == b'G') {
            let Some(code) = said.code() else { continue };
            if self.stops(code) {
                reading.stops_reading = true;
            }
            match Codes::of(&self.setup.control).meaning(code) {
                Some(meaning) => self.g_word(meaning, said.spot, &mut once, reading),
                None => ask(said.spot, Ask::Unknown(code), reading),
            }
        }
        once
    }

    fn g_word(&mut self, meaning: GCode, spot: Spot, once: &mut Once, reading: &mut Reading) {
        let modal = &mut self.modal;
        match meaning {
            GCode::Rapid => modal.motion = MotionMode::Rapid,
            GCode::Line => modal.motion = MotionMode::Line,
            GCode::ArcClockwise => modal.motion = MotionMode::Clockwise,
            GCode::ArcCounterclockwise => modal.motion = MotionMode::Counterclockwise,
            GCode::Thread | GCode::ThreadVariableLead => modal.motion = MotionMode::Thread,
            GCode::Inch => modal.units = Units::Inch,
            GCode::Millimeter => modal.units = Units::Mm,
            GCode::FeedPerMinute => modal.per_revolution = false,
            GCode::FeedPerRevolution => modal.per_revolution = true,
            GCode::SurfaceSpeed => modal.surface = true,
            GCode::FixedSpeed => {
                // Without a new S the spindle keeps the speed that it has.
                if modal.surface {
                    modal.speed = None;
                    ask(spot, Ask::HoldSpeed, reading);
                }
                modal.surface = false;
            }
            GCode::Absolute => modal.incremental = false,
            GCode::Incremental => modal.incremental = true,
            GCode::NoseLeft | GCode::NoseRight => {
                reading
                    .notes
                    .push((spot, What::NotModelled("the offset of the tool's nose radius")));
            }
            GCode::WorkOffset(number) if number > 1 => {
                reading.notes.push((spot, What::NotModelled("work offsets other than the first")));
            }
            GCode::Dwell
            | GCode::SetCoordinatesOrClamp
            | GCode::LocalShift
            | GCode::MachineCoordinates
            | GCode::ReturnHome
            | GCode::ReturnSecondHome
            | GCode::MacroCall => once.code = Some((meaning, spot)),
            meaning if meaning.is_cycle_once() => once.code = Some((meaning, spot)),
            meaning if meaning.is_cycle() => {
                modal.motion = MotionMode::Cycle;
                modal.fixed = Some(Fixed::new(meaning));
            }
            GCode::DrillingCycleEnd if modal.motion == MotionMode::Cycle => {
                modal.motion = MotionMode::Rapid;
            }
            _ => Self::other_g_word(meaning, spot, once, reading),
        }
    }

    fn other_g_word(meaning: GCode, spot: Spot, once: &mut Once, reading: &mut Reading) {
        if let Some(what) = meaning.not_modelled() {
            reading.notes.push((spot, What::NotModelled(what)));
            once.code = Some((meaning, spot));
        }
    }

    fn feed_and_speed(&mut self, words: &Words, once: &Once, reading: &mut Reading) {
        let unit = self.modal.units.nanometers() as f64 / 1e6;
        if let Some(feed) = words.get(b'F') {
            self.modal.feed = Some(feed.value * unit);
        }
        let Some(speed) = words.get(b'S') else { return };
        if matches!(once.code, Some((GCode::SetCoordinatesOrClamp, _))) {
            let clamp = SpindleSpeed::from_rpm(speed.value.max(0.0));
            return ask(speed.spot, Ask::Clamp(clamp), reading);
        }
        let factor = if self.modal.surface { self.modal.surface_unit() } else { 1.0 };
        self.modal.speed = Some(speed.value.max(0.0) * factor);
        if let Some(asked) = self.modal.speed() {
            ask(speed.spot, Ask::Speed(asked), reading);
        }
    }

    /// Spindle and coolant start with the block, before its motion.
    fn start_functions(&mut self, words: &Words, reading: &mut Reading) {
        for (code, spot) in m_words(words) {
            if self.stops(code) {
                reading.stops_reading = true;
            }
            if let Some(does) = self.meaning(code).filter(|does| starts(*does)) {
                ask(spot, Ask::Function(does, code), reading);
            }
        }
    }

    /// Everything else is done after the motion of its block.
    fn other_functions(&mut self, words: &Words, reading: &mut Reading) {
        for (code, spot) in m_words(words) {
            match self.meaning(code) {
                Some(does) if starts(does) => {}
                Some(does) => ask(spot, Ask::Function(does, code), reading),
                None if is_flow(code) => {}
                None => ask(spot, Ask::Unknown(code), reading),
            }
        }
    }

    fn flow_functions(&mut self, words: &Words, reading: &mut Reading) {
        let p = words.get(b'P').and_then(Said::whole);
        let l = words.get(b'L').and_then(Said::whole);
        for (code, spot) in m_words(words) {
            if self.meaning(code).is_some() {
                continue;
            }
            match code.tenths {
                0 | 10 => {
                    reading.stops_reading |= code.tenths == 0;
                    let halt = if code.tenths == 0 { Ask::Halt } else { Ask::OptionalHalt };
                    ask(spot, halt, reading);
                }
                20 | 300 => {
                    ask(spot, Ask::End(code), reading);
                    reading.stops_reading = true;
                    reading.ended = Some((spot, EndedBy::Count));
                }
                980 => self.call(p.unwrap_or(0), l, spot, reading),
                990 => self.give_back(p, spot, reading),
                _ => {}
            }
        }
    }

    fn meaning(&self, code: Code) -> Option<Does> {
        self.setup.control.function(code).map(|function| function.does)
    }

    /// `T0303`: the digits before the last two (or the last of three) are the station.
    fn tool(&mut self, said: &Said, reading: &mut Reading) {
        let Some(number) = said.whole() else { return };
        let station = if number < 100 { number } else { number / 100 };
        if station > 0 {
            ask(said.spot, Ask::Index(station), reading);
        }
        if self.stops(Code::new('T', 0)) {
            reading.stops_reading = true;
        }
    }

    pub(super) fn dwell(&self, words: &Words, spot: Spot, reading: &mut Reading) {
        let said = [b'X', b'U', b'P'].into_iter().find_map(|letter| words.get(letter));
        let time = match said {
            Some(Said { letter, number: Some(number), .. }) => {
                decimal::dwell(*letter, *number, &self.setup.control)
            }
            Some(said) => Seconds::from_s(said.value),
            None => Seconds::from_s(0.0),
        };
        ask(spot, Ask::Dwell(Seconds::from_s(time.s().max(0.0))), reading);
    }
}

fn m_words(words: &Words) -> impl Iterator<Item = (Code, Spot)> {
    words
        .all
        .iter()
        .filter(|said| said.letter == b'M')
        .filter_map(|said| said.code().map(|code| (code, said.spot)))
}

/// Adds what a word asks of the lathe.
pub(super) fn ask(spot: Spot, ask: Ask, reading: &mut Reading) {
    reading.actions.push(Action { spot, ask });
}

fn starts(does: Does) -> bool {
    matches!(
        does,
        Does::SpindleForward
            | Does::SpindleReverse
            | Does::CoolantOn
            | Does::CatcherOut
            | Does::AirOn
    )
}

fn is_flow(code: Code) -> bool {
    matches!(code.tenths, 0 | 10 | 20 | 300 | 980 | 990)
}
