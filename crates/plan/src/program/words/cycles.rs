//! Cycles as blocks of a program.

use super::{Words, axes};
use crate::acts::Act;
use crate::cuts::{CycleForm, Place, ThreadPasses};
use model::Length;
use model::files::control::{CodeSystem, Does, Drilling};
use model::quantity::FeedPerRev;
use nc::codes::GCode;
use nc::write::Listing;

impl Words<'_> {
    pub(super) fn cycle(&mut self, form: &CycleForm, made: &[Act], listing: &mut Listing<'_>) {
        match form {
            CycleForm::Drill { bottom, peck, feed } => self.drill(*bottom, *peck, *feed, listing),
            CycleForm::FacePeck { bottom, peck, back, feed } => {
                self.face_peck(*bottom, (*peck, *back), *feed, listing);
            }
            CycleForm::Tap { bottom, lead } => self.tap(*bottom, *lead, listing),
            CycleForm::ThreadBox { ends, lead } => self.thread_box(ends, *lead, listing),
            CycleForm::ThreadPasses(passes) if passes.one_block => self.one_block(passes, listing),
            CycleForm::ThreadPasses(passes) => self.two_blocks(passes, listing),
        }
        self.at = made.iter().rev().find_map(|act| match act {
            Act::Rapid(to) | Act::Cut(to, _) | Act::Thread(to, _) => Some(*to),
            _ => None,
        });
        self.feed = None;
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
