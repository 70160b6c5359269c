//! Cycles as blocks of a program.

use super::{Words, axes};
use crate::acts::Act;
use crate::cuts::{CycleForm, Move, Place, ThreadPasses, Turn, Way};
use model::Length;
use model::files::control::{CodeSystem, Does, Drilling};
use model::quantity::FeedPerRev;
use nc::codes::GCode;
use nc::write::{Label, Listing};

impl Words<'_> {
    pub(super) fn cycle(&mut self, form: &CycleForm, made: &[Act], listing: &mut Listing<'_>) {
        match form {
            CycleForm::Drill { bottom, peck, feed } => self.drill(*bottom, *peck, *feed, listing),
            CycleForm::FacePeck { bottom, peck, back, feed } => {
                self.face_peck(*bottom, (*peck, *back), *feed, listing);
            }
            CycleForm::Tap { bottom, lead } => self.tap(*bottom, *lead, listing),
            CycleForm::RoughTurning { depth, lift, allowance, feed, contour } => {
                self.rough((*depth, *lift), *allowance, *feed, contour, listing);
            }
            CycleForm::FinishTurning => self.finish(listing),
            CycleForm::NoseOffset { right, moves } => self.nose_offset(*right, moves, listing),
            CycleForm::ThreadBox { ends, lead } => self.thread_box(ends, *lead, listing),
            CycleForm::ThreadPasses(passes) if passes.one_block => self.one_block(passes, listing),
            CycleForm::ThreadPasses(passes) => self.two_blocks(passes, listing),
        }
        self.at = made.iter().rev().find_map(|act| match act {
            Act::Rapid(to) | Act::Cut(to, _) | Act::CutArc { to, .. } | Act::Thread(to, _) => {
                Some(*to)
            }
            _ => None,
        });
        self.feed = None;
    }

    /// Two blocks, and the contour behind them.
    fn rough(
        &mut self,
        (depth, lift): (Length, Length),
        (across, along): (Length, Length),
        feed: FeedPerRev,
        contour: &[Move],
        listing: &mut Listing<'_>,
    ) {
        let code = self.writer.g(GCode::RoughTurning);
        let mode = self.mode(true);
        let (depth, lift) = (self.writer.length('U', depth), self.writer.length('R', lift));
        listing.block(format!("{mode}{code} {depth} {lift}"), "depth and lift");
        let labels = listing.contour_labels();
        let allowances =
            format!(" {} {}", self.writer.length('U', across), self.writer.length('W', along));
        let behind = format!("{allowances} {}", self.writer.feed_word(feed));
        listing.naming(code, labels, behind, "layers");
        self.feed = None;
        let last = contour.len().saturating_sub(1);
        for (index, one) in contour.iter().enumerate() {
            let label = match index {
                0 => Some(labels.0),
                _ if index == last => Some(labels.1),
                _ => None,
            };
            self.contour_block(one, "", label, listing);
        }
        self.contour = Some(labels);
    }

    fn finish(&mut self, listing: &mut Listing<'_>) {
        if let Some(labels) = self.contour {
            listing.naming(self.writer.g(GCode::FinishCycle), labels, "", "finish");
        }
    }

    fn nose_offset(&mut self, right: bool, moves: &[Move], listing: &mut Listing<'_>) {
        let side = if right { GCode::NoseRight } else { GCode::NoseLeft };
        let feeds = |one: &Move| one.feed().is_some();
        // The last move at rapid before the contour takes the offset in, the last cut takes it out.
        let first = moves.iter().position(feeds).unwrap_or_default().saturating_sub(1);
        let last = moves.iter().rposition(feeds).unwrap_or_default();
        for (index, one) in moves.iter().enumerate() {
            let offset = match index {
                _ if index == first => self.writer.g(side) + " ",
                _ if index == last => self.writer.g(GCode::NoseOff) + " ",
                _ => String::new(),
            };
            self.contour_block(one, &offset, None, listing);
        }
    }

    /// One move of a contour, always with its words.
    fn contour_block(
        &mut self,
        one: &Move,
        before: &str,
        label: Option<Label>,
        listing: &mut Listing<'_>,
    ) {
        let from = self.at.unwrap_or(one.to);
        let (code, center) = match one.way {
            Way::Arc { center, turn, .. } => {
                let i = self.writer.length('I', center.x.half() - from.x.half());
                let k = self.writer.length('K', center.z - from.z);
                (if turn == Turn::Clockwise { "G2" } else { "G3" }, format!(" {i} {k}"))
            }
            Way::Rapid => ("G0", String::new()),
            _ => ("G1", String::new()),
        };
        let mode = if one.feed().is_some() { self.mode(true) } else { String::new() };
        let feed = one.feed().map(|feed| self.feed(self.writer.feed_word(feed)));
        let axes = axes(&self.writer, one.to, self.at);
        let words = format!("{before}{mode}{code}{axes}{center}{}", feed.unwrap_or_default());
        match label {
            Some(label) => listing.labeled(label, words, ""),
            None => listing.block(words, ""),
        }
        self.at = Some(one.to);
    }

    fn drill(
        &mut self,
        bottom: Place,
        peck: Option<Length>,
        feed: FeedPerRev,
        listing: &mut Listing<'_>,
    ) {
        let plain = self.writer.control.drilling == Drilling::Plain;
        let meaning = match (plain, peck) {
            (false, _) => GCode::FaceDrill,
            (true, None) => GCode::PlainDrill,
            (true, Some(_)) => GCode::PlainPeck,
        };
        let peck = peck.map_or(String::new(), |peck| {
            let word = if plain {
                self.writer.length('Q', peck)
            } else {
                self.writer.increments('Q', peck)
            };
            format!(" {word}")
        });
        let feed = self.writer.feed_word(feed);
        let words = self.hole(meaning, bottom);
        listing.block(format!("{words}{peck} {feed}"), "drill");
        listing.block(self.writer.g(GCode::DrillingCycleEnd), "");
    }

    /// The words that all drilling cycles share: the bottom, and the clear point where the tool stands.
    fn hole(&mut self, meaning: GCode, bottom: Place) -> String {
        let mode = self.mode(true);
        let here = self.at.unwrap_or(bottom);
        let systems_with_return = self.writer.control.code_system != CodeSystem::A;
        let back = if systems_with_return {
            self.writer.g(GCode::ReturnToInitial) + " "
        } else {
            String::new()
        };
        let clear = match self.writer.control.drilling {
            Drilling::Lathe => self.writer.length('R', Length::ZERO),
            Drilling::Plain => self.writer.length('R', here.z),
        };
        let code = self.writer.g(meaning);
        let bottom = self.writer.length('Z', bottom.z);
        format!("{mode}{back}{code} {bottom} {clear}")
    }

    fn face_peck(
        &mut self,
        bottom: Place,
        (peck, back): (Length, Length),
        feed: FeedPerRev,
        listing: &mut Listing<'_>,
    ) {
        let mode = self.mode(true);
        let writer = self.writer;
        let code = writer.g(GCode::FacePeck);
        listing.block(format!("{mode}{code} {}", writer.length('R', back)), "goes back");
        let (z, q) = (writer.length('Z', bottom.z), writer.increments('Q', peck));
        let feed = writer.feed_word(feed);
        listing.block(format!("{code} {z} {q} {feed}"), "drill");
    }

    fn tap(&mut self, bottom: Place, lead: FeedPerRev, listing: &mut Listing<'_>) {
        let plain = self.writer.control.drilling == Drilling::Plain;
        let rigid = self.function(Does::RigidTapping);
        listing.block(rigid, "tap in step with the spindle");
        let words = self.hole(if plain { GCode::PlainTap } else { GCode::FaceTap }, bottom);
        listing.block(format!("{words} {}", self.lead(lead)), "tap");
        listing.block(self.writer.g(GCode::DrillingCycleEnd), "");
    }

    fn thread_box(&mut self, ends: &[Place], lead: FeedPerRev, listing: &mut Listing<'_>) {
        let mut words = self.mode(true) + &self.writer.g(GCode::ThreadingCycle);
        let mut lead = format!(" {}", self.lead(lead));
        let mut from = None;
        for end in ends {
            // A pass at the same depth has no word that is new: X is said again.
            let again = from == Some(*end);
            let axes = axes(&self.writer, *end, from.filter(|_| !again));
            let remark = if again { "spring pass" } else { "" };
            listing.block(format!("{words}{axes}{lead}").trim_start(), remark);
            (words, lead, from) = (String::new(), String::new(), Some(*end));
        }
    }

    fn two_blocks(&mut self, passes: &ThreadPasses, listing: &mut Listing<'_>) {
        let mode = self.mode(true);
        let writer = self.writer;
        let code = writer.g(GCode::MultipassThread);
        let packed = format!("P{:02}{:02}{:02}", passes.finishing, passes.pull_out, passes.angle);
        let (least, rest) =
            (writer.increments('Q', passes.least), writer.length('R', passes.allowance));
        listing
            .block(format!("{mode}{code} {packed} {least} {rest}"), "last passes, pull-out, angle");
        let end = axes(&writer, passes.end, None);
        let (height, first) =
            (writer.increments('P', passes.height), writer.increments('Q', passes.first));
        let lead = self.lead(passes.lead);
        listing.block(format!("{code}{end} {height} {first} {lead}"), "thread");
    }

    fn one_block(&mut self, passes: &ThreadPasses, listing: &mut Listing<'_>) {
        let mode = self.mode(true);
        let writer = self.writer;
        let code = writer.g(GCode::MultipassThread);
        let end = axes(&writer, passes.end, None);
        let (height, first) =
            (writer.length('K', passes.height), writer.increments('D', passes.first));
        let (angle, lead) = (passes.angle, self.lead(passes.lead));
        listing.block(format!("{mode}{code}{end} {height} {first} A{angle} P1 {lead}"), "thread");
    }
}
