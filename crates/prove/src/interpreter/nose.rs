//! The offset of the nose radius in a program: when it starts and ends, and in what order the
//! moves it holds back and everything between them come to the lathe.

use super::{Interpreter, Reading, ask};
use crate::action::{Action, Ask, Feed, Path};
use crate::event::{Point, Spot, What};
use crate::nose::{Follower, Leg, Nose, Outside, Side, Trouble};
use model::Length;
use model::files::control::OutsideCorner;
use nc::codes::GCode;

/// The offset in force.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct NoseOffset {
    side: Option<Side>,
    /// Follows the contour; none while the offset is off, or cannot be followed.
    follower: Option<Box<Follower>>,
    /// Whether the block being read switches it off.
    ends: bool,
    /// How many moves were made so far.
    serial: u32,
    /// What blocks ask besides moves, each with the move behind which it comes.
    held: Vec<(u32, Action)>,
    /// Blocks without a move since the last one.
    idle: u32,
}

/// Blocks without a move that a control still sees across.
const SEEN_ACROSS: u32 = 2;

impl NoseOffset {
    pub(super) const fn side(&self) -> Option<Side> {
        self.side
    }

    /// The side alone, for a look at a contour.
    pub(super) fn side_only(&self) -> NoseOffset {
        NoseOffset { side: self.side, ..NoseOffset::default() }
    }
}

impl Interpreter<'_> {
    /// G40, G41, G42.
    pub(super) fn nose_word(&mut self, meaning: GCode, spot: Spot, reading: &mut Reading) {
        let side = match meaning {
            GCode::NoseLeft => Side::Left,
            GCode::NoseRight => Side::Right,
            _ => {
                self.modal.nose.ends = self.modal.nose.follower.is_some();
                self.modal.nose.side = None;
                return;
            }
        };
        let before = self.modal.nose.side.replace(side);
        if self.reads_contour || before == Some(side) && self.modal.nose.follower.is_some() {
            return;
        }
        let Some(nose) = self.nose_at_work(spot, reading) else { return };
        let mut offset = std::mem::take(&mut self.modal.nose);
        let mut told = std::mem::take(&mut self.told);
        match &mut offset.follower {
            Some(follower) => follower.change(nose, side, &mut told.legs, &mut told.troubles),
            None => {
                let outside = match self.setup.control.cycles.outside_corner {
                    OutsideCorner::Straight => Outside::Straight,
                    OutsideCorner::Round => Outside::Round,
                };
                let fresh = Follower::new(nose, side, outside);
                // The room of the last one is used again: programs switch it on for every part.
                let mut room = self.follower_room.take();
                match &mut room {
                    Some(room) => **room = fresh,
                    None => room = Some(Box::new(fresh)),
                }
                offset.follower = room;
            }
        }
        self.modal.nose = offset;
        self.pass_on(told, reading);
    }

    /// Another tool came to work: its nose is another.
    pub(super) fn nose_of_another_tool(&mut self, spot: Spot, reading: &mut Reading) {
        let word = match self.modal.nose.side {
            Some(Side::Left) => GCode::NoseLeft,
            Some(Side::Right) => GCode::NoseRight,
            None => return,
        };
        reading.note(spot, What::Nose(Trouble::LeftOn));
        self.modal.nose.follower = None;
        self.nose_word(word, spot, reading);
    }

    /// The nose of the tool at work; none where it has no radius, or nobody knows it.
    fn nose_at_work(&self, spot: Spot, reading: &mut Reading) -> Option<Nose> {
        let what = What::NotKnown("the offset of the tool's nose radius");
        let set = self.modal.frame.nose();
        let station = self.setup.tools.as_ref().and_then(|tools| tools.station(self.modal.station));
        let known = set.or_else(|| station.and_then(|it| Some((it.nose_radius, it.tip?))));
        let Some((radius, tip)) = known else {
            // A sharp tool has no offset, wherever its tip is.
            if station.is_none_or(|station| station.nose_radius != Length::ZERO) {
                reading.note(spot, what);
            }
            return None;
        };
        radius.is_positive().then_some(Nose { radius, tip })
    }

    /// Makes a move, beside the programmed path where the offset is in force.
    pub(super) fn make(
        &mut self,
        to: Point,
        path: Path,
        feed: Feed,
        spot: Spot,
        reading: &mut Reading,
    ) {
        let from = std::mem::replace(&mut self.modal.position, to);
        let offset = &mut self.modal.nose;
        let Some(follower) = &mut offset.follower else {
            return ask(spot, Ask::Move { to, path, feed }, reading);
        };
        (offset.serial, offset.idle) = (offset.serial.wrapping_add(1), 0);
        let leg = Leg { from, to, path, feed, spot, serial: offset.serial };
        let mut told = std::mem::take(&mut self.told);
        if offset.ends {
            follower.cancel(Some(leg), &mut told.legs, &mut told.troubles);
            self.follower_room = offset.follower.take();
            offset.ends = false;
        } else {
            follower.push(leg, &mut told.legs, &mut told.troubles);
        }
        self.pass_on(told, reading);
    }

    /// Makes a rapid move on which the offset comes off; the next move starts it up again.
    pub(super) fn make_off(&mut self, to: Point, spot: Spot, reading: &mut Reading) {
        if self.modal.nose.follower.is_none() {
            return self.make(to, Path::Rapid, Feed::None, spot, reading);
        }
        let from = std::mem::replace(&mut self.modal.position, to);
        let mut told = std::mem::take(&mut self.told);
        let offset = &mut self.modal.nose;
        offset.serial = offset.serial.wrapping_add(1);
        let leg =
            Leg { from, to, path: Path::Rapid, feed: Feed::None, spot, serial: offset.serial };
        if let Some(follower) = &mut offset.follower {
            follower.cancel(Some(leg), &mut told.legs, &mut told.troubles);
        }
        self.pass_on(told, reading);
        self.release(u32::MAX, reading);
    }

    /// Makes a rapid move that never goes beside its path.
    pub(super) fn make_plain(&mut self, to: Point, spot: Spot, reading: &mut Reading) {
        self.modal.position = to;
        ask(spot, Ask::Move { to, path: Path::Rapid, feed: Feed::None }, reading);
    }

    /// Asks for something else than a move: behind the moves that are still held back, and where a
    /// person or the bar is concerned, only when these are made.
    pub(super) fn ask(&mut self, spot: Spot, what: Ask, reading: &mut Reading) {
        let offset = &mut self.modal.nose;
        if offset.follower.is_none() {
            return ask(spot, what, reading);
        }
        let waits = matches!(what, Ask::Speed(_) | Ask::HoldSpeed | Ask::Clamp(_) | Ask::Dwell(_))
            || matches!(what, Ask::Function(does, _) if !does.concerns_the_bar());
        if !waits {
            self.settle_nose(reading);
            return ask(spot, what, reading);
        }
        offset.held.push((offset.serial, Action { spot, ask: what }));
    }

    /// Makes the moves that are held back as far as they are known.
    pub(super) fn settle_nose(&mut self, reading: &mut Reading) {
        let mut told = std::mem::take(&mut self.told);
        if let Some(follower) = &mut self.modal.nose.follower {
            follower.settle(&mut told.legs, &mut told.troubles);
        }
        self.pass_on(told, reading);
        self.release(u32::MAX, reading);
    }

    /// Takes the offset off for moves that are never beside their path: the tool stands where it
    /// stands, and the next move of the contour starts up anew.
    pub(super) fn pause_nose(&mut self, reading: &mut Reading) {
        let Some(follower) = &mut self.modal.nose.follower else { return };
        let mut told = std::mem::take(&mut self.told);
        if let Some(at) = follower.suspend(&mut told.legs, &mut told.troubles) {
            self.modal.position = at;
        }
        self.pass_on(told, reading);
        self.release(u32::MAX, reading);
    }

    /// Takes the offset off where the tool stands: it goes back onto the programmed place.
    fn end_nose(&mut self, reading: &mut Reading) {
        let Some(mut follower) = self.modal.nose.follower.take() else { return };
        let mut told = std::mem::take(&mut self.told);
        follower.cancel(None, &mut told.legs, &mut told.troubles);
        self.modal.nose.ends = false;
        self.follower_room = Some(follower);
        self.pass_on(told, reading);
    }

    /// At the end of a block: G40 without a move comes off where it stands, and a control that
    /// has nothing to look ahead to goes on without.
    pub(super) fn end_block_of_nose(&mut self, moved: bool, spot: Spot, reading: &mut Reading) {
        if self.modal.nose.follower.is_none() {
            return;
        }
        if self.modal.nose.ends {
            self.end_nose(reading);
        } else if !moved {
            self.modal.nose.idle += 1;
            if self.modal.nose.idle == SEEN_ACROSS + 1 {
                reading.note(spot, What::NoseSeesNothing);
                self.settle_nose(reading);
            }
        }
        if reading.stops_reading || reading.ended.is_some() {
            self.settle_nose(reading);
        }
    }

    /// Brings decided moves, and what stands between them, to the lathe.
    fn pass_on(&mut self, mut told: Told, reading: &mut Reading) {
        for (spot, trouble) in told.troubles.drain(..) {
            reading.note(spot, What::Nose(trouble));
        }
        for leg in told.legs.drain(..) {
            self.release(leg.serial, reading);
            ask(leg.spot, Ask::Move { to: leg.to, path: leg.path, feed: leg.feed }, reading);
        }
        if self.modal.nose.follower.is_none() {
            self.release(u32::MAX, reading);
        }
        self.told = told;
    }

    /// Brings what stands before a move to the lathe.
    fn release(&mut self, before: u32, reading: &mut Reading) {
        let held = &mut self.modal.nose.held;
        let count = held.iter().take_while(|(behind, _)| *behind < before).count();
        reading.actions.extend(held.drain(..count).map(|(_, action)| action));
    }
}

/// What a follower has decided.
#[derive(Debug, Clone, Default)]
pub(super) struct Told {
    legs: Vec<Leg>,
    troubles: Vec<(Spot, crate::nose::Trouble)>,
}
