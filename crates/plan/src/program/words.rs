//! Acts as blocks of a program.

mod cycles;

use crate::acts::Act;
use crate::cuts::{Place, Speed, Turn};
use model::Length;
use model::files::control::{CodeSystem, Does};
use model::files::tools::Turns;
use model::quantity::{FeedPerRev, Seconds};
use nc::codes::GCode;
use nc::write::{Label, Listing, Writer};

/// What is in force while acts are written; nothing is at the start, so that every stretch of
/// acts can be started from its top.
pub(super) struct Words<'c> {
    writer: Writer<'c>,
    at: Option<Place>,
    per_revolution: Option<bool>,
    /// The last F word of the feed mode in force.
    feed: Option<String>,
    coolant: Option<bool>,
    /// The first and the last block of the contour that was roughed along last.
    contour: Option<(Label, Label)>,
}

impl<'c> Words<'c> {
    pub(super) fn of(writer: Writer<'c>) -> Words<'c> {
        Words { writer, at: None, per_revolution: None, feed: None, coolant: None, contour: None }
    }

    pub(super) fn write(&mut self, acts: &[Act], listing: &mut Listing<'_>) {
        for act in acts {
            self.act(act, listing);
        }
    }

    fn act(&mut self, act: &Act, listing: &mut Listing<'_>) {
        match act {
            Act::Heading(words) => listing.remark(words),
            Act::Call { station, offset } => {
                listing.block(self.writer.tool(*station, *offset), "");
                // A person may start at any tool: each says its own feed.
                (self.at, self.per_revolution, self.feed) = (None, None, None);
            }
            Act::Turn(speed, turns) => self.turn(*speed, *turns, listing),
            Act::TurnBack(turns) => listing.block(self.turns(*turns), "spindle turns back"),
            Act::Cycle(form, made) => self.cycle(form, made, listing),
            Act::Rapid(to) => self.moved("G0", *to, "", listing),
            Act::Cut(to, feed) => {
                let mode = self.mode(true);
                let feed = self.feed(self.writer.feed_word(*feed));
                self.moved(&format!("{mode}G1"), *to, &feed, listing);
            }
            Act::CutArc { to, center, turn, feed } => {
                let mode = self.mode(true);
                let feed = self.feed(self.writer.feed_word(*feed));
                let from = self.at.unwrap_or(*to);
                // I and K count from the start to the center, I on the radius.
                let i = self.writer.length('I', center.x.half() - from.x.half());
                let k = self.writer.length('K', center.z - from.z);
                let code = if *turn == Turn::Clockwise { "G2" } else { "G3" };
                self.moved(&format!("{mode}{code}"), *to, &format!(" {i} {k}{feed}"), listing);
            }
            Act::Thread(to, lead) => {
                let words = self.mode(true) + &self.writer.g(GCode::Thread);
                let lead = self.lead(*lead);
                self.moved(&words, *to, &format!(" {lead}"), listing);
                // The lead stands in the F word: the next feed is said again.
                self.feed = None;
            }
            Act::Creep(to, rate) => {
                let mode = self.mode(false);
                let feed = self.feed(self.writer.rate_word(*rate));
                self.moved(&format!("{mode}G1"), *to, &feed, listing);
            }
            Act::Pull { by, to, speed } => {
                let mode = self.mode(false);
                let feed = self.feed(self.writer.rate_word(*speed));
                let pull = self.pull(*by, *to);
                listing.block(format!("{mode}G1 {pull}{feed}"), "draw the bar one advance");
                self.at = Some(*to);
            }
            Act::Function(does, wait) => self.wait_for(*does, *wait, listing),
            Act::Dwell(time) => listing.block(self.writer.dwell(*time), "settle"),
            Act::Coolant(on) => self.coolant(*on, listing),
        }
    }

    /// The lead of a thread in its F word.
    fn lead(&self, lead: FeedPerRev) -> String {
        self.writer.lead_word(self.writer.lead(lead))
    }

    fn turns(&self, turns: Turns) -> String {
        self.function(match turns {
            Turns::Forward => Does::SpindleForward,
            Turns::Reverse => Does::SpindleReverse,
        })
    }

    fn turn(&self, speed: Speed, turns: Turns, listing: &mut Listing<'_>) {
        let way = self.turns(turns);
        let (mode, word, remark) = match speed {
            Speed::Surface(speed) => {
                (GCode::SurfaceSpeed, self.writer.surface_word(speed), "surface speed")
            }
            Speed::Spindle(speed) => {
                (GCode::FixedSpeed, self.writer.speed_word(speed), "spindle speed")
            }
        };
        listing.block(format!("{} {word} {way}", self.writer.g(mode)), remark);
    }

    fn function(&self, does: Does) -> String {
        self.writer.function(does).unwrap_or_default()
    }

    /// A move; axes that stay are left out, and a move that goes nowhere with them.
    fn moved(&mut self, words: &str, to: Place, feed: &str, listing: &mut Listing<'_>) {
        let axes = axes(&self.writer, to, self.at);
        if !axes.is_empty() {
            listing.block(format!("{words}{axes}{feed}"), "");
        }
        self.at = Some(to);
    }

    /// System A draws by an increment; B and C by the place itself, so that no increment mode can
    /// be left in force.
    fn pull(&self, by: Length, to: Place) -> String {
        match self.writer.control.code_system {
            CodeSystem::A => self.writer.length('W', by),
            CodeSystem::B | CodeSystem::C => self.writer.length('Z', to.z),
        }
    }

    /// The word for the feed mode where it changes; a new mode makes the old feed void.
    fn mode(&mut self, per_revolution: bool) -> String {
        if self.per_revolution == Some(per_revolution) {
            return String::new();
        }
        self.per_revolution = Some(per_revolution);
        self.feed = None;
        let meaning = if per_revolution { GCode::FeedPerRevolution } else { GCode::FeedPerMinute };
        self.writer.g(meaning) + " "
    }

    /// The F word where it changes.
    fn feed(&mut self, word: String) -> String {
        if self.feed.as_ref() == Some(&word) {
            return String::new();
        }
        let written = format!(" {word}");
        self.feed = Some(word);
        written
    }

    fn wait_for(&self, does: Does, wait: Seconds, listing: &mut Listing<'_>) {
        let (what, until) = match does {
            Does::ChuckOpen => ("chuck open", "until the chuck is open"),
            Does::ChuckClose => ("chuck closed", "until the chuck grips"),
            Does::SpindleStop => ("spindle stop", "until the spindle stands"),
            Does::CatcherOut => ("catcher under the part", ""),
            Does::CatcherHome => ("catcher back", ""),
            _ => ("", ""),
        };
        listing.block(self.function(does), what);
        if wait.s() > 0.0 {
            listing.block(self.writer.dwell(wait), until);
        }
    }

    fn coolant(&mut self, on: bool, listing: &mut Listing<'_>) {
        let does = if on { Does::CoolantOn } else { Does::CoolantOff };
        if self.coolant != Some(on) {
            listing.block(self.function(does), if on { "coolant on" } else { "coolant off" });
        }
        self.coolant = Some(on);
    }
}

/// The axis words of a move, each with a blank before it.
pub(super) fn axes(writer: &Writer<'_>, to: Place, from: Option<Place>) -> String {
    let mut words = String::new();
    if from.is_none_or(|from| from.x != to.x) {
        words = words + " " + &writer.length('X', to.x);
    }
    if from.is_none_or(|from| from.z != to.z) {
        words = words + " " + &writer.length('Z', to.z);
    }
    words
}
