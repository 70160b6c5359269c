//! The programs of a job as text: the main program, and the small ones it needs beside it.

mod count;
mod text;
mod words;

use crate::acts::{Act, Acts};
use crate::bar::BarPlan;
use count::Family;
use model::files::job::{CountBy, Job};
use model::{Length, Units};
use nc::codes::GCode;
use text::Text;
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
pub fn write(job: &Job, bar: &BarPlan) -> Vec<ProgramText> {
    let writer = Writer { job, bar, acts: Acts::new(job, bar), family: Family::of(job, bar) };
    match job.file.count.by {
        CountBy::Variable | CountBy::Counter => vec![writer.looping(), writer.new_bar()],
        CountBy::Repeat => vec![writer.calling(), writer.one_part(), writer.part_and_advance()],
    }
}

struct Writer<'j> {
    job: &'j Job,
    bar: &'j BarPlan,
    acts: Acts<'j>,
    family: Family<'j>,
}

/// Block numbers that are jumped to.
const PARTS: u32 = 100;
const FINISHED: u32 = 800;
const NO_BAR: u32 = 900;
const NO_ORDER: u32 = 910;

impl Writer<'_> {
    fn units(&self) -> Units {
        self.job.file.units
    }

    fn shown(&self, length: Length) -> String {
        length.shown(self.units())
    }

    fn start(&self, number: u32, name: &str) -> Text {
        Text::new(&self.job.control, number, name)
    }

    /// What a person must know before the first cycle start.
    fn head(&self, text: &mut Text) {
        let (file, bar) = (&self.job.file, self.bar);
        let division = &bar.division;
        text.comment(&format!(
            "bar {} {} x {}, {} parts a bar, {} ordered",
            self.shown(file.bar.size),
            self.job.material.name,
            self.shown(bar.blank),
            bar.parts_per_bar,
            file.order.quantity
        ));
        text.comment(&format!(
            "pitch {}, advance {}, remnant {}",
            self.shown(division.pitch()),
            self.shown(division.advance()),
            self.shown(bar.remnant)
        ));
        text.comment(&format!(
            "Z0 is the finished front face, {} in front of the jaws",
            self.shown(-bar.jaw_face)
        ));
        text.comment(&format!(
            "load each bar by hand to a stop at Z {}",
            self.shown(division.face_stock + division.first_face)
        ));
        text.comment("guards shut, interlocks working, nothing of the bar behind the spindle");
        text.comment("the manuals of machine and gripper and the qualified person come first");
        text.comment("first run in single block with reduced rapids");
        text.gap();
    }

    /// The safe line, units and the speed clamp.
    fn safe_start(&self, text: &mut Text) {
        let words = Words::of(self.job);
        let safe = self.job.control.writing.safe_start.join(" ");
        text.block(&format!("{} {safe}", words.units()), "safe start");
        let clamp = self.acts.clamp();
        text.block(
            &format!(
                "{} {}",
                words.g(GCode::SetCoordinatesOrClamp),
                format_args!("S{:.0}", clamp.rpm())
            ),
            "highest speed",
        );
        let safe = self.acts.safe();
        text.block(&words.rapid(safe, None), "turret clear");
    }

    /// The program that loops until the count is reached.
    fn looping(&self) -> ProgramText {
        let file = &self.job.file;
        let mut text = self.start(file.program, &file.name);
        self.head(&mut text);
        self.safe_start(&mut text);
        text.block(&self.family.bar_made(NO_BAR), "all parts of this bar are made");
        text.block(&self.family.order_made(NO_ORDER), "the order is complete");
        let new_bar = self.acts.new_bar();
        if !new_bar.is_empty() {
            text.block(&self.family.not_first(PARTS), "this bar is faced already");
            self.write_acts(&new_bar, &mut text);
        }
        text.gap();
        text.target(PARTS, "", "all parts of one advance");
        self.write_acts(&self.acts.parts(), &mut text);
        text.gap();
        text.comment("the parts are off: count them");
        for word in self.family.counts_itself() {
            text.block(&word, "part counter");
        }
        self.write_acts(&self.acts.stop(), &mut text);
        for statement in self.family.steps() {
            text.block(&statement, "");
        }
        text.block(&self.family.bar_made(FINISHED), "last part of the bar");
        text.block(&self.family.order_made(FINISHED), "last part of the order");
        text.gap();
        self.write_acts(&self.acts.advance(), &mut text);
        text.block(&format!("GOTO{PARTS}"), "next part");
        text.gap();
        text.target(FINISHED, "M30", "the bar or the order is finished");
        let digits = self.job.control.writing.program_digits;
        let new_bar = file.program + 1;
        text.target(NO_BAR, &format!("#3000=1(LOAD A BAR AND RUN O{new_bar:0digits$})"), "");
        text.target(NO_ORDER, "#3000=2(THE ORDER IS COMPLETE)", "");
        ProgramText { number: file.program, purpose: "runs one bar", text: text.finish() }
    }

    /// The program that is run once when a bar was loaded.
    fn new_bar(&self) -> ProgramText {
        let number = self.job.file.program + 1;
        let mut text = self.start(number, "a new bar was loaded");
        text.comment("run this once after loading a bar, never after a stop in mid-bar");
        text.block(&self.family.zero(), "no part of this bar is made");
        text.block("M30", "");
        ProgramText { number, purpose: "sets the count to zero for a new bar", text: text.finish() }
    }

    /// The program that calls the part program as often as the bar gives parts.
    fn calling(&self) -> ProgramText {
        let file = &self.job.file;
        let mut text = self.start(file.program, &file.name);
        self.head(&mut text);
        text.comment("after a stop in mid-bar this starts the count anew: see the sheet");
        self.safe_start(&mut text);
        self.write_acts(&self.acts.new_bar(), &mut text);
        let passes = self.family.passes();
        text.gap();
        if passes > 1 {
            let call = self.family.call(file.program + 2, passes - 1);
            text.block(&call, "part and advance, again and again");
        }
        text.block(&self.family.call(file.program + 1, 1), "the last one, no advance behind it");
        text.block("M30", "");
        ProgramText { number: file.program, purpose: "runs one bar", text: text.finish() }
    }

    fn one_part(&self) -> ProgramText {
        let number = self.job.file.program + 1;
        let mut text = self.start(number, "all parts of one advance");
        self.write_acts(&self.acts.parts(), &mut text);
        self.write_acts(&self.acts.stop(), &mut text);
        text.block("M99", "");
        ProgramText { number, purpose: "cuts the parts of one advance", text: text.finish() }
    }

    fn part_and_advance(&self) -> ProgramText {
        let number = self.job.file.program + 2;
        let mut text = self.start(number, "part and advance");
        text.block(&self.family.call(number - 1, 1), "");
        self.write_acts(&self.acts.advance(), &mut text);
        text.block("M99", "");
        ProgramText { number, purpose: "cuts the parts and draws the bar", text: text.finish() }
    }

    fn write_acts(&self, acts: &[Act], text: &mut Text) {
        Words::of(self.job).write(acts, text);
    }
}
