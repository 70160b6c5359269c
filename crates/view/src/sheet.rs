//! The set-up sheet as data: what stands on it, in the order in which a person sets up. How it
//! looks on paper is the package `sheet`'s; the same tables are written as CSV. Other papers (a quote, ways
//! of loading) are made of the same blocks.

mod before;
pub(crate) mod csv;
mod loading;
mod proving;
mod reentry;
mod running;
mod text;
mod tools;

pub use csv::{csv, rows};
pub use text::text;

use crate::scene::Scene;
use model::files::job::Job;
use model::quantity::FeedRate;
use model::{Length, Units};
use plan::Answer;

/// Width of its pictures, in the units of a scene: at 0.75 pt each they fill the width of the type
/// on either paper, and the words of a picture are 8.25 pt high.
pub const WIDTH: f64 = 680.0;

/// A set-up sheet, or another paper of the same kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// What kind of paper it is, as the head of each page says.
    pub kind: &'static str,
    /// What the foot of each page says.
    pub foot: &'static str,
    /// What the part is called.
    pub job: String,
    /// The programs, such as `O2080, O2081`.
    pub programs: String,
    /// The units of every length on it.
    pub units: Units,
    /// Its chapters, in the order in which they are needed.
    pub chapters: Vec<Chapter>,
}

/// One chapter.
#[derive(Debug, Clone, PartialEq)]
pub struct Chapter {
    /// When it is needed, such as `Before the machine`.
    pub title: &'static str,
    /// What stands in it.
    pub blocks: Vec<Block>,
    /// Whether it begins a page, so that it can hang by itself.
    pub own_page: bool,
}

impl Chapter {
    /// A chapter that follows the one before.
    pub const fn new(title: &'static str, blocks: Vec<Block>) -> Chapter {
        Chapter { title, blocks, own_page: false }
    }
}

/// One thing on a sheet.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A sentence or some.
    Words(String),
    /// What must not be overlooked.
    Warning(String),
    /// Several, each to be seen to.
    List(&'static str, Vec<String>),
    /// Figures with their names.
    Facts(Facts),
    /// A table.
    Table(Table),
    /// A picture, with the name of its file.
    Picture(&'static str, Scene),
}

/// Figures with their names.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts {
    /// The name of its file, a word.
    pub name: &'static str,
    /// What they are about.
    pub title: &'static str,
    /// Each name with what it is.
    pub rows: Vec<(String, String)>,
}

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// The name of its file, a word.
    pub name: &'static str,
    /// What it is about.
    pub title: &'static str,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows, each as long as there are columns.
    pub rows: Vec<Vec<String>>,
}

/// One column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// Its head.
    pub head: &'static str,
    /// How wide it is beside the others.
    pub share: u8,
    /// What it holds.
    pub holds: Holds,
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Holds {
    /// Words.
    Words,
    /// Figures, which end on the right.
    Figures,
    /// What stands in a program, letter by letter.
    Program,
    /// Nothing yet: a person writes into it.
    Box,
}

impl Column {
    /// A column of words.
    pub const fn words(head: &'static str, share: u8) -> Column {
        Column { head, share, holds: Holds::Words }
    }

    /// A column of figures.
    pub const fn figures(head: &'static str, share: u8) -> Column {
        Column { head, share, holds: Holds::Figures }
    }

    const fn program(head: &'static str, share: u8) -> Column {
        Column { head, share, holds: Holds::Program }
    }

    /// A column that a person writes into.
    pub const fn to_fill(head: &'static str, share: u8) -> Column {
        Column { head, share, holds: Holds::Box }
    }
}

/// The sheet of a job with its answer.
pub fn sheet(job: &Job, answer: &Answer) -> Sheet {
    let said = Said { job, answer, units: job.file.units };
    let names: Vec<String> = answer.programs.iter().map(|it| said.program(it)).collect();
    Sheet {
        kind: "set-up sheet",
        foot: "Guards and interlocks stay. The manuals of lathe and gripper and the qualified person come first.",
        job: job.file.name.clone(),
        programs: names.join(", "),
        units: said.units,
        chapters: vec![
            Chapter::new("1  Before the machine", before::blocks(&said)),
            Chapter::new("2  Loading", loading::blocks(&said)),
            Chapter::new("3  Tools and gripper", tools::blocks(&said)),
            Chapter::new("4  Proving out", proving::blocks(&said)),
            Chapter::new("5  Running", running::blocks(&said)),
            // What to do after a stop can hang at the lathe by itself.
            Chapter { own_page: true, ..Chapter::new("6  After a stop", reentry::blocks(&said)) },
        ],
    }
}

impl Sheet {
    /// Everything on it.
    pub fn blocks(&self) -> impl Iterator<Item = &Block> {
        self.chapters.iter().flat_map(|chapter| &chapter.blocks)
    }
}

/// A job with its answer, and how figures are said.
struct Said<'a> {
    job: &'a Job,
    answer: &'a Answer,
    units: Units,
}

impl Said<'_> {
    /// A length with its unit.
    fn length(&self, length: Length) -> String {
        length.shown(self.units)
    }

    /// A length without its unit.
    fn figure(&self, length: Length) -> String {
        length.text(self.units, self.units.decimals())
    }

    /// A feed per minute, as the program has it, with its unit.
    fn rate(&self, rate: FeedRate) -> String {
        match self.units {
            Units::Mm => format!("{:.0} mm/min", rate.mm_per_min()),
            Units::Inch => format!("{:.1} in/min", rate.mm_per_min() / 25.4),
        }
    }

    /// The number of a program as its file has it.
    fn program(&self, program: &plan::program::ProgramText) -> String {
        program.file_name(self.job).trim_end_matches(".nc").to_owned()
    }
}

/// Three or four digits, as much as a range deserves.
pub fn figure(value: f64) -> String {
    let size = value.abs();
    if value.fract().abs() < 1e-9 || size >= 1000.0 {
        format!("{value:.0}")
    } else if size >= 100.0 {
        format!("{value:.1}")
    } else if size >= 1.0 {
        format!("{value:.2}")
    } else {
        format!("{value:.3}")
    }
}

/// How a figure with this unit stands in a shop of these units: what it is divided by, and its unit then.
pub(crate) fn in_units(unit: &'static str, units: Units) -> (f64, &'static str) {
    match (units, unit) {
        (Units::Inch, "mm") => (25.4, "in"),
        (Units::Inch, "µm") => (0.025_4, "µin"),
        (Units::Inch, "m/min") => (0.304_8, "ft/min"),
        (_, unit) => (1.0, unit),
    }
}

/// A number with its noun.
pub(crate) fn counted(number: u32, what: &str) -> String {
    if number == 1 { format!("1 {what}") } else { format!("{number} {what}s") }
}

/// A time as a person says it: seconds, minutes, hours.
pub(crate) fn clock(seconds: f64) -> String {
    let whole = seconds.round() as u64;
    match whole {
        0..120 => format!("{seconds:.1} s"),
        120..7200 => format!("{} min {:02} s", whole / 60, whole % 60),
        _ => format!("{} h {:02} min", whole / 3600, whole % 3600 / 60),
    }
}

/// Rows of facts from names that stand in the text.
pub(crate) fn facts(rows: Vec<(&str, String)>) -> Vec<(String, String)> {
    rows.into_iter().map(|(name, what)| (name.to_owned(), what)).collect()
}
