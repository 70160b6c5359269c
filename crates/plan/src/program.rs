//! The programs of a job as text: the main program, and the small ones it needs beside it.

mod count;
mod words;

use crate::acts::{Act, Acts};
use crate::bar::BarPlan;
use crate::process::Process;
pub(crate) use count::Family;
use model::Length;
use model::files::control::{Code, CodeSystem, Does};
use model::files::job::{CountBy, Job};
use model::quantity::{Seconds, SpindleSpeed};
use nc::codes::GCode;
use nc::write::{Label, Listing};
use words::Words;

/// One program.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProgramText {
    /// Its number.
    pub number: u32,
    /// What it is for, in plain words.
    pub purpose: &'static str,
    /// Its text.
    pub text: String,
}

impl ProgramText {
    /// The name of its file.
    pub fn file_name(&self, job: &Job) -> String {
        let digits = job.control.writing.program_digits;
        format!("O{:0digits$}.nc", self.number)
    }
}

/// Writes the programs of a job: the main one first.
pub fn write(job: &Job, bar: &BarPlan, process: &Process) -> Vec<ProgramText> {
    let programs =
        Programs { job, bar, process, acts: Acts::new(job, bar), family: Family::of(job, bar) };
    let mut written = match job.file.count.by {
        CountBy::Variable | CountBy::Counter => vec![programs.looping(), programs.new_bar()],
        CountBy::Repeat => {
            vec![programs.calling(), programs.one_part(), programs.part_and_advance()]
        }
    };
    written.extend(job.file.warm_up.map(|time| programs.warm_up(time)));
    written
}

struct Programs<'j> {
    job: &'j Job,
    bar: &'j BarPlan,
    process: &'j Process,
    acts: Acts<'j>,
    family: Family<'j>,
}

/// Places that are jumped to.
const PARTS: Label = Label(100);
const FINISHED: Label = Label(800);
const NO_BAR: Label = Label(900);
const NO_ORDER: Label = Label(910);

impl Programs<'_> {
    fn shown(&self, length: Length) -> String {
        length.shown(self.job.file.units)
    }

    fn start(&self, number: u32, title: &str) -> Listing<'_> {
        let mut listing = Listing::new(self.acts.writer());
        listing.percent();
        listing.program(number, title);
        listing
    }

    fn end(&self) -> String {
        self.family.end().unwrap_or(Code::new('M', 30)).to_string()
    }

    fn finish(number: u32, purpose: &'static str, mut listing: Listing<'_>) -> ProgramText {
        listing.percent();
        ProgramText { number, purpose, text: listing.text() }
    }

    /// What a person must know before the first cycle start.
    fn head(&self, listing: &mut Listing<'_>) {
        let (file, bar) = (&self.job.file, self.bar);
        let division = &bar.division;
        listing.remark(&format!(
            "bar {} {} x {}, {} parts a bar, {} ordered",
            self.shown(file.bar.size),
            self.job.material.name,
            self.shown(bar.blank),
            bar.parts_per_bar,
            file.order.quantity
        ));
        listing.remark(&format!(
            "pitch {}, advance {}, remnant {}",
            self.shown(division.pitch()),
            self.shown(division.advance()),
            self.shown(bar.remnant)
        ));
        listing.remark(&format!(
            "Z0 is the finished front face, {} in front of the jaws",
            self.shown(-bar.jaw_face)
        ));
        listing.remark(&format!(
            "load each bar by hand to a stop at Z {}",
            self.shown(division.face_stock + division.first_face)
        ));
        listing.remark("guards shut, interlocks working, nothing of the bar behind the spindle");
        listing.remark("the manuals of machine and gripper and the qualified person come first");
        listing.remark("first run in single block with reduced rapids");
    }

    /// The safe line, units and the speed clamp.
    fn safe_start(&self, listing: &mut Listing<'_>) {
        let writer = listing.writer;
        let safe = &self.job.control.writing.safe_start;
        let absolute = writer.g(GCode::Absolute);
        let mut words = vec![writer.units_word()];
        if writer.control.code_system != CodeSystem::A && !safe.contains(&absolute) {
            words.push(absolute);
        }
        words.extend(safe.iter().cloned());
        listing.space();
        listing.block(words.join(" "), "safe start");
        let clamp = writer.g(GCode::SetCoordinatesOrClamp);
        let speed = writer.speed_word(self.acts.clamp());
        listing.block(format!("{clamp} {speed}"), "highest speed");
        let clear = words::axes(&writer, self.acts.safe(), None);
        listing.block(format!("G0{clear}"), "turret clear");
    }

    /// The program that loops until the count is reached.
    fn looping(&self) -> ProgramText {
        let file = &self.job.file;
        let mut listing = self.start(file.program, &file.name);
        self.head(&mut listing);
        let order = self.family.order_count();
        listing.remark(&format!("before the first bar of the order set #{order} to 0 by hand"));
        self.safe_start(&mut listing);
        listing.jump(self.family.bar_made(), NO_BAR, "all parts of this bar are made");
        listing.jump(self.family.order_made(), NO_ORDER, "the order is complete");
        let new_bar = self.acts.new_bar(self.process);
        if !new_bar.is_empty() {
            listing.jump(self.family.not_first(), PARTS, "this bar is faced already");
            self.write_acts(&new_bar, &mut listing);
        }
        listing.space();
        listing.labeled(PARTS, "", "all parts of one advance");
        self.write_acts(&self.acts.parts(self.process), &mut listing);
        self.count(&mut listing);
        listing.space();
        self.write_acts(&self.acts.advance(), &mut listing);
        listing.jump("", PARTS, "next part");
        listing.space();
        listing.labeled(FINISHED, self.end(), "the bar or the order is finished");
        let new_bar = listing.writer.program(file.program + 1);
        listing.labeled(NO_BAR, format!("#3000=1(LOAD A BAR AND RUN {new_bar})"), "");
        listing.labeled(NO_ORDER, "#3000=2(THE ORDER IS COMPLETE)", "");
        Self::finish(file.program, "runs one bar", listing)
    }

    /// The count: behind a word at which reading ahead stops, so that it never steps before the
    /// part is off.
    fn count(&self, listing: &mut Listing<'_>) {
        listing.space();
        listing.remark("the parts are off: count them");
        for word in self.family.counts_itself() {
            listing.block(word, "part counter");
        }
        self.write_acts(&self.acts.stop(), listing);
        if let Some(word) = self.family.stopper() {
            listing.block(word, "reading ahead stops here");
        }
        for statement in self.family.steps() {
            listing.block(statement, "");
        }
        listing.jump(self.family.bar_made(), FINISHED, "last part of the bar");
        listing.jump(self.family.order_made(), FINISHED, "last part of the order");
    }

    /// The program that is run once when a bar was loaded.
    fn new_bar(&self) -> ProgramText {
        let number = self.job.file.program + 1;
        let mut listing = self.start(number, "a new bar was loaded");
        listing.remark("run this once after loading a bar, never after a stop in mid-bar");
        listing.block(self.family.zero(), "no part of this bar is made");
        listing.block(self.end(), "");
        Self::finish(number, "sets the count to zero for a new bar", listing)
    }

    /// The program that calls the part program as often as the bar gives parts.
    fn calling(&self) -> ProgramText {
        let file = &self.job.file;
        let mut listing = self.start(file.program, &file.name);
        self.head(&mut listing);
        listing.remark("after a stop in mid-bar this starts the count anew: see the sheet");
        self.safe_start(&mut listing);
        self.write_acts(&self.acts.new_bar(self.process), &mut listing);
        listing.space();
        if let Some(call) = self.family.repeats(&listing.writer) {
            listing.block(call, "part and advance, again and again");
        }
        let last = listing.writer.call(file.program + 1, 1).unwrap_or_default();
        listing.block(last, "the last one, no advance behind it");
        listing.block(self.end(), "");
        Self::finish(file.program, "runs one bar", listing)
    }

    /// The program that turns the spindle for a while, faster and faster, and cuts nothing.
    fn warm_up(&self, time: Seconds) -> ProgramText {
        const SHARES: [f64; 3] = [0.3, 0.6, 0.9];
        let number = self.job.file.program + 3;
        let mut listing = self.start(number, "warms the spindle up");
        listing.remark("chuck closed on a bar, guards shut, turret clear, no coolant");
        self.safe_start(&mut listing);
        let writer = self.acts.writer();
        listing.block(writer.g(GCode::FeedPerMinute), "a wait counts seconds");
        let turn = self.job.control.that(Does::SpindleForward).map(|it| it.word.to_string());
        for share in SHARES {
            let speed = SpindleSpeed::from_rpm(share * self.acts.clamp().rpm());
            let speed = writer.speed_word(writer.speed_at_most(speed));
            let turn = turn.clone().unwrap_or_default();
            listing.block(format!("{} {speed} {turn}", writer.g(GCode::FixedSpeed)), "");
            let each = Seconds::from_s(time.s() / SHARES.len() as f64);
            listing.block(writer.dwell(writer.dwell_at_least(each)), "");
        }
        self.write_acts(&self.acts.stop(), &mut listing);
        listing.block(Code::new('M', 30).to_string(), "");
        Self::finish(number, "warms the spindle up", listing)
    }

    fn one_part(&self) -> ProgramText {
        let number = self.job.file.program + 1;
        let mut listing = self.start(number, "all parts of one advance");
        self.write_acts(&self.acts.parts(self.process), &mut listing);
        self.write_acts(&self.acts.stop(), &mut listing);
        listing.block("M99", "");
        Self::finish(number, "cuts the parts of one advance", listing)
    }

    fn part_and_advance(&self) -> ProgramText {
        let number = self.job.file.program + 2;
        let mut listing = self.start(number, "part and advance");
        let parts = listing.writer.call(number - 1, 1).unwrap_or_default();
        listing.block(parts, "");
        self.write_acts(&self.acts.advance(), &mut listing);
        listing.block("M99", "");
        Self::finish(number, "cuts the parts and draws the bar", listing)
    }

    fn write_acts(&self, acts: &[Act], listing: &mut Listing<'_>) {
        Words::of(self.acts.writer()).write(acts, listing);
    }
}
