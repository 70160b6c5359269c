//! The job file: one order of one part, from one bar, on one lathe.

mod advance;
mod bar;
mod check;
mod condition;
mod cutting;
pub mod learned;
mod part;

pub use advance::Advance;
pub use bar::{Bar, BarShape};
pub use condition::{BarEnds, BarSurface, Condition};
pub use cutting::{Choose, Cutting, NoseIn};
pub use learned::Learned;
pub use part::{
    Feature, FeatureKind, Groove, GrooveSide, KindKeys, Part, Spot, Step, UndercutLeg, keys_of,
};

use super::keys::{self, Keys, Origin};
use super::{Control, Gripper, Lathe, Material, Read, Tools};
use crate::choices;
use crate::quantity::Seconds;
use crate::source::{Files, Source};
use crate::{Diagnostic, Units};

choices! {
    /// What counts the parts of a bar.
    CountBy {
        Variable = "variable": "a common variable of the program, stepped once a part",
        Counter = "counter": "the control's own part counter",
        Repeat = "repeat": "the part program is a subprogram, called as often as the bar gives parts",
    }
}

/// What is ordered.
#[derive(Debug, Clone, PartialEq)]
pub struct Order {
    /// Parts wanted.
    pub quantity: u32,
    /// When they are due, as `2026-12-18`.
    pub due: Option<String>,
}

/// How parts are counted.
#[derive(Debug, Clone, PartialEq)]
pub struct Count {
    /// What counts them.
    pub by: CountBy,
    /// The variable that counts the parts of the bar, where a variable does.
    pub variable: u32,
}

/// What the shop says about leaving the lathe alone.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WalkAway {
    /// Never longer than this.
    pub never_longer: Option<Seconds>,
    /// When someone is at the lathe again, after the first cycle start of a new bar.
    pub back_in: Option<Seconds>,
    /// Parts that may be made until a size must be gauged, as its chart says.
    pub gauge_within: Option<u32>,
}

/// What the job file itself says.
#[derive(Debug, Clone)]
pub struct JobFile {
    /// Where its keys stand.
    pub origin: Origin,
    /// Units of the file and of the program.
    pub units: Units,
    /// What the part is called.
    pub name: String,
    /// Number of the main program; the next number is the other program of the job.
    pub program: u32,
    /// The names of the other files: lathe, gripper, tools, control.
    pub files: [String; 4],
    /// What is ordered.
    pub order: Order,
    /// The bar.
    pub bar: Bar,
    /// The part.
    pub part: Part,
    /// How the bar is advanced.
    pub advance: Advance,
    /// Choices about the cutting.
    pub cutting: Cutting,
    /// How parts are counted.
    pub count: Count,
    /// How long the spindle is warmed up by a program of its own; none for no such program.
    pub warm_up: Option<Seconds>,
    /// What the shop says about leaving the lathe alone.
    pub walk_away: WalkAway,
    /// What the shop's own records say.
    pub learned: Learned,
}

/// A job with every file it names.
#[derive(Debug, Clone)]
pub struct Job {
    /// The job file.
    pub file: JobFile,
    /// The lathe.
    pub lathe: Lathe,
    /// The gripper.
    pub gripper: Gripper,
    /// The tools.
    pub tools: Tools,
    /// The control.
    pub control: Control,
    /// The bar's material.
    pub material: Material,
}

impl Job {
    /// The same job with this many parts to an advance; none where its files no longer go together.
    pub fn with_parts(&self, parts: u32) -> Option<Job> {
        let mut job = self.clone();
        job.file.advance.parts = parts;
        check::goes_together(&job).is_empty().then_some(job)
    }

    /// Reads a job file and every file it names, and checks that they go together.
    pub fn read(source: &Source, files: &dyn Files) -> Read<Job> {
        let read = keys::read_through(source, keys);
        let mut diagnostics = read.diagnostics;
        let Some((mut file, origin)) = read.value else {
            return Read { value: None, diagnostics };
        };
        file.origin = origin;
        let [lathe, gripper, tools, control] = ["lathe", "gripper", "tools", "control"];
        let lathe = named(&file, 0, lathe, files, Lathe::read, &mut diagnostics);
        let gripper = named(&file, 1, gripper, files, Gripper::read, &mut diagnostics);
        let tools = named(&file, 2, tools, files, Tools::read, &mut diagnostics);
        let control = named(&file, 3, control, files, Control::read, &mut diagnostics);
        let material = material(&file, files, &mut diagnostics);
        let value = (|| {
            let (lathe, gripper, tools) = (lathe?, gripper?, tools?);
            let (control, material) = (control?, material?);
            Some(Job { file, lathe, gripper, tools, control, material })
        })();
        if let (Some(job), true) = (&value, diagnostics.is_empty()) {
            diagnostics.extend(check::goes_together(job));
        }
        Read { value: value.filter(|_| diagnostics.is_empty()), diagnostics }
    }
}

fn named<T>(
    job: &JobFile,
    index: usize,
    key: &str,
    files: &dyn Files,
    read: impl FnOnce(&Source) -> Read<T>,
    diagnostics: &mut Vec<Diagnostic>,
) -> Option<T> {
    let path = &job.files[index];
    if path.is_empty() {
        // The missing name has its message already.
        return None;
    }
    match files.read(path) {
        Ok(source) => {
            let read = read(&source);
            diagnostics.extend(read.diagnostics);
            read.value
        }
        Err(why) => {
            let trouble = job.origin.trouble(&format!("files.{key}"), why);
            diagnostics.push(trouble.help("write the path from the folder of this job file"));
            None
        }
    }
}

fn material(
    job: &JobFile,
    files: &dyn Files,
    diagnostics: &mut Vec<Diagnostic>,
) -> Option<Material> {
    let name = &job.bar.material;
    if name.is_empty() {
        // The missing name has its message already.
        return None;
    }
    let own = std::path::Path::new(name).extension().is_some_and(|end| end == "toml");
    let read = if own {
        files
            .read(name)
            .map_err(|why| (why, "write the path from the folder of this job file".into()))
    } else {
        files.shipped(&format!("materials/{name}.toml")).map_err(|why| {
            let help = format!("{why}; or write the path of a material file of your own");
            (format!("there is no shipped material \"{name}\""), help)
        })
    };
    match read {
        Ok(source) => {
            let read = Material::read(&source);
            diagnostics.extend(read.diagnostics);
            read.value
        }
        Err((message, help)) => {
            let help: String = help;
            diagnostics.push(job.origin.trouble("bar.material", message).help(help));
            None
        }
    }
}

/// Every key of a job file.
pub(super) fn keys(keys: &Keys<'_>) -> JobFile {
    let file = JobFile {
        origin: keys.origin(),
        units: keys.units(),
        name: keys.text("name", "what the part is called").required(),
        program: keys.count("program", "number of the main program", 1..=99_999_998).required()
            as u32,
        files: keys.table("files", "the other files, by path from this one's folder", |keys| {
            [
                keys.text("lathe", "the lathe file").required(),
                keys.text("gripper", "the gripper file").required(),
                keys.text("tools", "the tools file").required(),
                keys.text("control", "the control file").required(),
            ]
        }),
        order: keys.table("order", "what is ordered", |keys| Order {
            quantity: keys.count("quantity", "parts wanted", 1..=10_000_000).required() as u32,
            due: keys.date("due", "when they are due").optional(),
        }),
        bar: keys.table("bar", "one blank as it goes into the spindle", bar::keys),
        part: keys.table("part", "the finished part", part::keys),
        advance: keys.table("advance", "how the bar is advanced", advance::keys),
        cutting: keys
            .optional_table("cutting", "choices about the cutting", cutting::keys)
            .unwrap_or_default(),
        count: keys.table("count", "how parts are counted", |keys| Count {
            by: keys.choice("by", "what counts the parts of a bar").required(),
            variable: keys
                .count("variable", "the variable that counts them, where one does", 100..=9999)
                .or(500) as u32,
        }),
        warm_up: keys
            .number("warm_up", "time of a program that warms the spindle up", "min", 1.0..=60.0)
            .optional()
            .map(|minutes| Seconds::from_s(60.0 * minutes)),
        walk_away: keys
            .optional_table(
                "walk_away",
                "what the shop says about leaving the lathe alone",
                |keys| {
                    let minutes = |key, meaning| {
                        let minutes = keys.number(key, meaning, "min", 0.1..=100_000.0);
                        minutes.optional().map(|minutes| Seconds::from_s(60.0 * minutes))
                    };
                    WalkAway {
                        never_longer: minutes("never_longer", "longest time alone"),
                        back_in: minutes(
                            "back_in",
                            "when someone is at the lathe again, after the start of a new bar",
                        ),
                        gauge_within: keys
                            .count(
                                "gauge_within",
                                "parts that may be made until a size must be gauged, as the drift of its chart says",
                                1..=1_000_000,
                            )
                            .optional()
                            .map(|parts| parts as u32),
                    }
                },
            )
            .unwrap_or_default(),
        learned: keys
            .optional_table("learned", "what the shop's own records say", learned::keys)
            .unwrap_or_default(),
    };
    part::fits_bar(keys, &file);
    file
}
