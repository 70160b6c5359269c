//! Acts as words of one control.

use super::text::{self, Text};
use crate::acts::Act;
use crate::cuts::Place;
use model::files::control::{CodeSystem, Does};
use model::files::job::Job;
use model::quantity::{FeedPerRev, FeedRate, Seconds, SurfaceSpeed};
use model::{Length, Units};
use nc::codes::{self, GCode};

/// The words of a job's control, and what is in force while acts are written.
pub(super) struct Words<'j> {
    job: &'j Job,
    at: Option<Place>,
    per_revolution: Option<bool>,
    feed: Option<f64>,
    coolant: Option<bool>,
}

impl<'j> Words<'j> {
    pub(super) fn of(job: &'j Job) -> Words<'j> {
        Words { job, at: None, per_revolution: None, feed: None, coolant: None }
    }

    fn file_units(&self) -> Units {
        self.job.file.units
    }

    /// A G word by its meaning.
    pub(super) fn g(&self, meaning: GCode) -> String {
        let word = codes::word(self.job.control.code_system, meaning);
        word.map(|word| word.to_string()).unwrap_or_default()
    }

    pub(super) fn units(&self) -> String {
        let absolute = match self.job.control.code_system {
            CodeSystem::A => String::new(),
            _ => format!(" {}", self.g(GCode::Absolute)),
        };
        let units = match self.file_units() {
            Units::Mm => self.g(GCode::Millimeter),
            Units::Inch => self.g(GCode::Inch),
        };
        units + &absolute
    }

    /// A function's word.
    fn function(&self, does: Does) -> String {
        self.job.control.that(does).map(|function| function.word.to_string()).unwrap_or_default()
    }

    /// A rapid move; axes that stay are left out.
    pub(super) fn rapid(&self, to: Place, from: Option<Place>) -> String {
        format!("G0{}", self.axes(to, from))
    }

    fn axes(&self, to: Place, from: Option<Place>) -> String {
        let units = self.file_units();
        let mut words = String::new();
        if from.is_none_or(|from| from.x != to.x) {
            words = words + " " + &text::place('X', to.x, units);
        }
        if from.is_none_or(|from| from.z != to.z) {
            words = words + " " + &text::place('Z', to.z, units);
        }
        words
    }

    pub(super) fn write(&mut self, acts: &[Act], out: &mut Text) {
        for act in acts {
            self.act(act, out);
        }
    }

    fn act(&mut self, act: &Act, out: &mut Text) {
        match act {
            Act::Heading(words) => out.comment(words),
            Act::Call { station, offset } => {
                out.block(&format!("T{station:02}{offset:02}"), "");
                self.at = None;
            }
            Act::Turn(speed) => out.block(&self.turn(*speed), "surface speed"),
            Act::Rapid(to) => self.moved("G0", *to, "", out),
            Act::Cut(to, feed) => {
                let mode = self.mode(true);
                let feed = self.per_revolution_feed(*feed);
                self.moved(&format!("{mode}G1"), *to, &feed, out);
            }
            Act::Creep(to, rate) => {
                let mode = self.mode(false);
                let feed = self.per_minute_feed(*rate);
                self.moved(&format!("{mode}G1"), *to, &feed, out);
            }
            Act::Pull { by, to, speed } => {
                let feed = self.per_minute_feed(*speed);
                out.block(&format!("G1 {}{feed}", self.pull(*by, *to)), "draw the bar one advance");
                self.at = Some(*to);
            }
            Act::Function(does, wait) => self.wait_for(*does, *wait, out),
            Act::Dwell(time) => out.block(&text::dwell(*time), "settle"),
            Act::Coolant(on) => self.coolant(*on, out),
        }
    }

    fn turn(&self, speed: SurfaceSpeed) -> String {
        let (value, decimals) = match self.file_units() {
            Units::Mm => (speed.m_per_min(), 0),
            Units::Inch => (speed.m_per_min() / 0.3048, 0),
        };
        let forward = self.function(Does::SpindleForward);
        format!("{} S{value:.decimals$} {forward}", self.g(GCode::SurfaceSpeed))
    }

    fn moved(&mut self, words: &str, to: Place, feed: &str, out: &mut Text) {
        let axes = self.axes(to, self.at);
        if !axes.is_empty() {
            out.block(&format!("{words}{axes}{feed}"), "");
        }
        self.at = Some(to);
    }

    /// System A draws by an increment; B and C by the place itself.
    fn pull(&self, by: Length, to: Place) -> String {
        match self.job.control.code_system {
            CodeSystem::A => text::place('W', by, self.file_units()),
            _ => text::place('Z', to.z, self.file_units()),
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
        self.g(meaning) + " "
    }

    fn per_revolution_feed(&mut self, feed: FeedPerRev) -> String {
        match self.file_units() {
            Units::Mm => self.feed(feed.mm(), 3),
            Units::Inch => self.feed(feed.mm() / 25.4, 4),
        }
    }

    fn per_minute_feed(&mut self, rate: FeedRate) -> String {
        match self.file_units() {
            Units::Mm => self.feed(rate.mm_per_min(), 0),
            Units::Inch => self.feed(rate.mm_per_min() / 25.4, 1),
        }
    }

    fn feed(&mut self, value: f64, decimals: usize) -> String {
        if self.feed.is_some_and(|feed| (feed - value).abs() < 1e-9) {
            return String::new();
        }
        self.feed = Some(value);
        format!(" {}", text::figure('F', value, decimals))
    }

    fn wait_for(&self, does: Does, wait: Seconds, out: &mut Text) {
        let (what, until) = match does {
            Does::ChuckOpen => ("chuck open", "until the chuck is open"),
            Does::ChuckClose => ("chuck closed", "until the chuck grips"),
            Does::SpindleStop => ("spindle stop", "until the spindle stands"),
            _ => ("", ""),
        };
        out.block(&self.function(does), what);
        if wait.s() > 0.0 {
            out.block(&text::dwell(wait), until);
        }
    }

    fn coolant(&mut self, on: bool, out: &mut Text) {
        let does = if on { Does::CoolantOn } else { Does::CoolantOff };
        if self.coolant != Some(on) {
            out.block(&self.function(does), if on { "coolant on" } else { "coolant off" });
        }
        self.coolant = Some(on);
    }
}
