//! One block: its statements first, then its words in the order in which a control does them.

use super::cycles::Fixed;
use super::modal::MotionMode;
use super::words::Words;
use super::{Here, Interpreter, Reading};
use crate::action::Ask;
use crate::event::{EndedBy, Spot, What};
use crate::lathe::State;
use model::Units;
use model::files::control::{Code, Does, DwellCounts, MixedBlock};
use model::quantity::{Seconds, SpindleSpeed};
use nc::blocks::{MCode, Meaning, Said};
use nc::codes::GCode;
use nc::decimal::{self, ToolCall};
use std::sync::Arc;

/// What is left open by words of axes that a two-axis lathe does not have.
const OTHER_AXES: &str =
    "words of axes other than X and Z; C without a comma is a chamfer on some controls";

/// The G word of a block that is not modal.
#[derive(Clone, Copy, Default)]
pub(super) struct Once {
    pub(super) code: Option<(GCode, Spot)>,
}

impl Interpreter<'_> {
    /// Does one block.
    pub(super) fn block(&mut self, here: Here, state: &State, reading: &mut Reading) {
        let files = Arc::clone(&self.ready);
        let blocks = &files[here.tree as usize];
        let Some(block) = blocks.block(here.block) else { return };
        let all = blocks.words(block);
        let words_first = self.setup.control.terms.mixed_block == MixedBlock::WordsFirst;
        if words_first && block.has_terms && blocks.sets_a_variable(block) {
            let mut room = std::mem::take(&mut self.room);
            room.clear();
            if self.work_out(all, here, state, &mut room, reading)
                && self.statements(blocks, block, here, state, reading)
            {
                self.words(Words::new(&room, here), reading);
            }
            self.room = room;
            return;
        }
        if !self.statements(blocks, block, here, state, reading) {
            return;
        }
        let all = match block.skip_inside {
            Some((level, before)) if self.skips(level, here.spot(here.span), reading) => {
                &all[..(before as usize).min(all.len())]
            }
            _ => all,
        };
        if all.is_empty() {
            return;
        }
        if !block.has_terms {
            return self.words(Words::new(all, here), reading);
        }
        let mut room = std::mem::take(&mut self.room);
        room.clear();
        if self.work_out(all, here, state, &mut room, reading) {
            self.words(Words::new(&room, here), reading);
        }
        self.room = room;
    }

    /// Works out the terms of words; a word whose value is null is as if not written.
    fn work_out(
        &mut self,
        all: &[Said],
        here: Here,
        state: &State,
        room: &mut Vec<Said>,
        reading: &mut Reading,
    ) -> bool {
        for said in all {
            match said.term {
                None => room.push(*said),
                Some(term) => {
                    let value = self.value(here, term, state, reading);
                    reading.goes_by(value);
                    if let Some(value) = value {
                        room.push(said.worked_out(value, &self.setup.control));
                    }
                }
            }
        }
        reading.ended.is_none()
    }

    fn words(&mut self, words: Words<'_>, reading: &mut Reading) {
        let once = self.g_words(words, reading);
        if self.modal.corner.is_some() && !self.goes_on_straight(words, once) {
            self.flush_corner(reading);
        }
        match once.code {
            Some((GCode::MacroCall, spot)) => return self.macro_call(words, spot, reading),
            Some((GCode::ModalMacroCall, _)) => return self.macro_call_after_moves(words),
            _ => {}
        }
        let threads = self.threads(once);
        for said in words.all() {
            if is_other_axis(said) {
                reading.note(words.spot(said), What::NotModelled(OTHER_AXES));
            } else if said.letter == b'E' && !threads {
                reading.note(words.spot(said), What::NotModelled("what E means"));
            }
        }
        self.feed_and_speed(words, once, reading);
        self.functions(words, true, reading);
        if let Some(tool) = words.get(b'T') {
            self.tool(tool, words.spot(tool), reading);
        }
        let before = self.modal.position;
        self.motion(words, once, reading);
        self.functions(words, false, reading);
        let moved = before != self.modal.position;
        self.end_block_of_nose(moved, words.whole_spot(), reading);
        if moved && once.code.is_none() && !self.after_moves.is_empty() && reading.ended.is_none() {
            self.call_after_move(words.whole_spot(), reading);
        }
    }

    fn g_words(&mut self, words: Words<'_>, reading: &mut Reading) -> Once {
        let mut once = Once::default();
        for said in words.all() {
            let Meaning::G(code, meaning) = said.meaning else { continue };
            let spot = words.spot(said);
            reading.stops_reading |= self.stops(code);
            match meaning {
                Some(meaning) => self.g_word(meaning, spot, &mut once, reading),
                None => self.ask(spot, Ask::Unknown(code), reading),
            }
        }
        once
    }

    fn g_word(&mut self, meaning: GCode, spot: Spot, once: &mut Once, reading: &mut Reading) {
        let modal = &mut self.modal;
        if let Some(what) = meaning.not_modelled() {
            reading.note(spot, What::NotModelled(what));
        }
        match meaning {
            GCode::Rapid => modal.motion = MotionMode::Rapid,
            GCode::Line => modal.motion = MotionMode::Line,
            GCode::ArcClockwise => modal.motion = MotionMode::Clockwise,
            GCode::ArcCounterclockwise => modal.motion = MotionMode::Counterclockwise,
            GCode::Thread => modal.motion = MotionMode::Thread,
            GCode::ThreadVariableLead => modal.motion = MotionMode::ThreadOfChangingLead,
            GCode::Inch => modal.units = Units::Inch,
            GCode::Millimeter => modal.units = Units::Mm,
            GCode::FeedPerMinute => modal.per_revolution = false,
            GCode::FeedPerRevolution => modal.per_revolution = true,
            GCode::SurfaceSpeed => modal.surface = true,
            // Without a new S the spindle keeps the speed that it has.
            GCode::FixedSpeed if std::mem::take(&mut modal.surface) => {
                modal.speed = None;
                self.ask(spot, Ask::HoldSpeed, reading);
            }
            GCode::Absolute => modal.incremental = false,
            GCode::Incremental => modal.incremental = true,
            GCode::ReturnToInitial => modal.return_to_clearance = false,
            GCode::ReturnToClearance => modal.return_to_clearance = true,
            GCode::PlaneXy | GCode::PlaneYz => modal.other_plane = true,
            GCode::PlaneZx => modal.other_plane = false,
            GCode::NoseOff | GCode::NoseLeft | GCode::NoseRight => {
                self.nose_word(meaning, spot, reading);
            }
            GCode::WorkOffset(number) => self.work_offset(number, spot, reading),
            GCode::DrillingCycleEnd => {
                if modal.motion == MotionMode::Cycle {
                    modal.motion = MotionMode::Rapid;
                }
                modal.fixed = None;
            }
            GCode::ModalMacroCallEnd => self.end_calls_after_moves(),
            meaning if meaning.is_cycle() => {
                modal.motion = MotionMode::Cycle;
                modal.fixed = Some(Fixed::new(meaning));
            }
            meaning if meaning.group() == nc::codes::Group::Once => {
                once.code = Some((meaning, spot));
            }
            GCode::ModalMacroCall | GCode::StrokeCheckOn => once.code = Some((meaning, spot)),
            _ => {}
        }
        // An exact stop changes no place and, from rest to rest, no time that is counted here.
        if matches!(once.code, Some((GCode::ExactStop | GCode::DataSettingEnd, _))) {
            once.code = None;
        }
    }

    fn work_offset(&mut self, number: u8, spot: Spot, reading: &mut Reading) {
        if !self.modal.frame.choose(number) {
            reading.note(spot, What::NotKnown("where work offsets other than the first lie"));
        }
    }

    fn feed_and_speed(&mut self, words: Words<'_>, once: Once, reading: &mut Reading) {
        let unit = self.modal.units.nanometers() as f64 / 1e6;
        if let Some(feed) = words.get(b'F').or_else(|| self.lead_word(words, once)) {
            self.modal.feed = Some(feed.value * unit);
            self.modal.feed_is_per_revolution = self.modal.per_revolution;
        }
        let Some(speed) = words.get(b'S') else { return };
        let spot = words.spot(speed);
        if matches!(once.code, Some((GCode::SetCoordinatesOrClamp, _))) {
            let clamp = SpindleSpeed::from_rpm(speed.value.max(0.0));
            return self.ask(spot, Ask::Clamp(clamp), reading);
        }
        let factor = if self.modal.surface { self.modal.surface_unit() } else { 1.0 };
        self.modal.speed = Some(speed.value.max(0.0) * factor);
        if let Some(asked) = self.modal.speed() {
            self.ask(spot, Ask::Speed(asked), reading);
        }
    }

    /// Whether this block cuts a thread, whose lead E may give more finely than F.
    fn threads(&self, once: Once) -> bool {
        let fixed = self.modal.fixed.filter(|_| self.modal.motion == MotionMode::Cycle);
        self.modal.motion.is_thread()
            || fixed.is_some_and(|fixed| fixed.kind() == GCode::ThreadingCycle)
            || matches!(once.code, Some((GCode::MultipassThread, _)))
    }

    fn lead_word<'w>(&self, words: Words<'w>, once: Once) -> Option<&'w Said> {
        words.get(b'E').filter(|_| self.threads(once))
    }

    /// Spindle, coolant and air start with the block; everything else is done behind its motion.
    fn functions(&mut self, words: Words<'_>, at_start: bool, reading: &mut Reading) {
        for said in words.all() {
            let Meaning::M(code, means) = said.meaning else { continue };
            if matches!(means, MCode::Does(does) if starts(does)) != at_start {
                continue;
            }
            let spot = words.spot(said);
            reading.stops_reading |= self.stops(code);
            match means {
                MCode::Does(does) => self.ask(spot, Ask::Function(does, code), reading),
                MCode::Unknown => self.ask(spot, Ask::Unknown(code), reading),
                _ => self.flow_word(means, code, words, spot, reading),
            }
        }
    }

    fn flow_word(
        &mut self,
        means: MCode,
        code: Code,
        words: Words<'_>,
        spot: Spot,
        reading: &mut Reading,
    ) {
        let (p, l) = (words.whole(b'P'), words.whole(b'L'));
        match means {
            MCode::Stop => {
                reading.stops_reading = true;
                self.ask(spot, Ask::Halt, reading);
            }
            MCode::OptionalStop => self.ask(spot, Ask::OptionalHalt, reading),
            MCode::End => {
                self.ask(spot, Ask::End(code), reading);
                reading.stops_reading = true;
                reading.ended = Some((spot, EndedBy::Count));
            }
            MCode::Call => self.call(p.unwrap_or(0), l, spot, reading),
            MCode::CallHere => self.call_here(p.unwrap_or(0), l, spot, reading),
            MCode::GiveBack => self.give_back(p, spot, reading),
            MCode::Does(_) | MCode::Unknown => {}
        }
    }

    /// `T0303`: station and offset.
    fn tool(&mut self, said: &Said, spot: Spot, reading: &mut Reading) {
        let Some(number) = said.whole() else { return };
        let ToolCall { station, offset } = decimal::tool(number, &self.setup.control);
        // A station alone, such as T3, has the offset of its own number on most controls.
        let alone = offset == 0 && station == number;
        let offset = if alone { station } else { offset };
        if station > 0 {
            self.pause_nose(reading);
            self.ask(spot, Ask::Index(station, offset), reading);
        }
        self.modal.station = station;
        self.modal.frame.use_tool_offset(offset);
        self.nose_of_another_tool(spot, reading);
        reading.stops_reading |= self.stops(Code::new('T', 0));
    }

    pub(super) fn dwell(&mut self, words: Words<'_>, spot: Spot, reading: &mut Reading) {
        let said = [b'X', b'U', b'P'].into_iter().find_map(|letter| words.get(letter));
        let time = said.map_or(0.0, |said| match said.written() {
            Some(number) => decimal::dwell(said.letter, number, &self.setup.control).s(),
            None => said.value,
        });
        let counts = self.setup.control.numbers.dwell_counts;
        if counts == DwellCounts::Revolutions && self.modal.per_revolution {
            return self.ask(spot, Ask::DwellTurns(time.max(0.0)), reading);
        }
        self.ask(spot, Ask::Dwell(Seconds::from_s(time.max(0.0))), reading);
    }
}

const fn is_other_axis(said: &Said) -> bool {
    matches!(said.letter, b'B' | b'C' | b'H' | b'V' | b'Y') && !said.comma
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
