//! The job file: one order of one part, from one bar, on one lathe.

mod check;
mod condition;
pub mod learned;
mod part;

pub use condition::{BarEnds, BarSurface, Condition};
pub use learned::Learned;
pub use part::{
    Feature, FeatureKind, Groove, GrooveSide, KindKeys, Part, Spot, Step, UndercutLeg, keys_of,
};

use super::keys::{self, Keys, Origin};
use super::{Control, Gripper, Lathe, Material, Read, Tools};
use crate::choices;
use crate::quantity::{Probability, Seconds, SpindleSpeed};
use crate::source::{Files, Source};
use crate::standards::fit::Class;
use crate::{Diagnostic, Length, Units};

choices! {
    /// The section of a bar.
    BarShape {
        Round = "round": "size is the diameter",
        Hexagon = "hexagon": "size is across flats",
        Square = "square": "size is across flats",
    }
}

choices! {
    /// What counts the parts of a bar.
    CountBy {
        Variable = "variable": "a common variable of the program, stepped once a part",
        Counter = "counter": "the control's own part counter",
        Repeat = "repeat": "the part program is a subprogram, called as often as the bar gives parts",
    }
}

choices! {
    /// Who says speed, feed and depth of the cuts, and what for.
    Choose {
        AsGiven = "as-given": "the tools file says them",
        LeastCost = "least-cost": "chosen so that a part is cheapest",
        MostOutput = "most-output": "chosen so that parts are made soonest, edge changes with them",
        MostAlone = "most-alone": "chosen so that most parts are made before someone must come, and those soonest",
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

/// One blank as it goes into the spindle, and the stock it is sawn from.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// The name of its material, as the file has it.
    pub material: String,
    /// Its section.
    pub shape: BarShape,
    /// Diameter, or size across flats.
    pub size: Length,
    /// The tolerance class of that size, by ISO 286; none where the file says nothing of it.
    pub tolerance: Option<Class>,
    /// The sizes that the stock list has; empty where the file says nothing of it.
    pub sizes: Vec<Length>,
    /// Length of one blank.
    pub length: Length,
    /// How much longer or shorter a blank may be.
    pub length_tolerance: Length,
    /// How far the blank must stay in front of the rear end of the spindle.
    pub rear_margin: Length,
    /// Length of the stock bars that blanks are sawn from.
    pub stock_length: Option<Length>,
    /// What the saw turns to chips.
    pub saw_kerf: Length,
    /// What is sawn off a stock bar's end first.
    pub end_trim: Length,
    /// How straight it is and how its ends are; none where the file says nothing of it.
    pub condition: Option<Condition>,
}

impl Bar {
    /// The smallest and the largest that a bar of this nominal size may measure by the tolerance
    /// class; none without a class, or where the class has nothing for the size.
    pub fn limits_at(&self, size: Length) -> Option<(Length, Length)> {
        let (upper, lower) = self.tolerance.as_ref()?.deviations(size).ok()?;
        Some((size + lower, size + upper))
    }

    /// The largest distance of its section from the axis: half of the diameter or across corners.
    pub fn reach(&self) -> Length {
        match self.shape {
            BarShape::Round => self.size.half(),
            // Across corners, rounded up to the nanometer.
            BarShape::Hexagon => rounded_up(self.size.nm() as f64 / 3.0_f64.sqrt()),
            BarShape::Square => rounded_up(self.size.nm() as f64 * std::f64::consts::FRAC_1_SQRT_2),
        }
    }
}

fn rounded_up(nm: f64) -> Length {
    Length::from_nm(nm as i64 + 1)
}

/// How the bar is advanced.
#[derive(Debug, Clone, PartialEq)]
pub struct Advance {
    /// Parts cut in one advance; where they are to be chosen, one until they are.
    pub parts: u32,
    /// The most that may be chosen; none where the number is given.
    pub most_parts: Option<u32>,
    /// Raw stock in front of the finished face after every advance.
    pub face_stock: Length,
    /// Extra stock in front of the first part of a bar.
    pub first_face: Length,
    /// From the parting tool's chuck-side edge to the jaw face; none: the least the gripper needs.
    pub jaw_clearance: Option<Length>,
    /// Chance, over one bar, that a pull is so short that a part is lost.
    pub risk: Probability,
}

choices! {
    /// Where the radius of a turning tool's nose is reckoned in.
    NoseIn {
        Path = "path": "in the written places: the path of the tip",
        Control = "control": "in the control: the written places are the part's, and its offset is on",
    }
}

/// Choices about the cutting.
#[derive(Debug, Clone, PartialEq)]
pub struct Cutting {
    /// Highest spindle speed for this job, from the bar and how it is supported.
    pub max_speed: Option<SpindleSpeed>,
    /// Where the nose's radius is reckoned in on finishing passes.
    pub nose_in: NoseIn,
    /// Whether the program moves the parts catcher.
    pub catch_parts: bool,
    /// How far the parting tool goes past the axis, on the radius.
    pub past_center: Length,
    /// What an hour of lathe and person costs, in the money of the edges' prices.
    pub hour_rate: Option<f64>,
    /// Who says speed, feed and depth.
    pub choose: Choose,
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
        bar: keys.table("bar", "one blank as it goes into the spindle", bar),
        part: keys.table("part", "the finished part", part::keys),
        advance: keys.table("advance", "how the bar is advanced", advance),
        cutting: keys.optional_table("cutting", "choices about the cutting", cutting).unwrap_or(
            Cutting {
                max_speed: None,
                nose_in: NoseIn::Path,
                catch_parts: false,
                past_center: Length::from_um(200),
                hour_rate: None,
                choose: Choose::AsGiven,
            },
        ),
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

const LONGEST: Length = Length::from_mm(20_000);

fn bar(keys: &Keys<'_>) -> Bar {
    let some = Length::ZERO..=Length::from_mm(500);
    let bar = Bar {
        material: keys
            .text("material", "a shipped material's name, or the path of a material file")
            .required(),
        shape: keys.choice("shape", "the section of the bar").or(BarShape::Round),
        size: keys
            .length(
                "size",
                "diameter, or size across flats",
                Length::from_um(500)..=Length::from_mm(500),
            )
            .required(),
        tolerance: keys
            .text("tolerance", "tolerance class of the bar's size, such as h9 or h11")
            .optional()
            .and_then(|text| tolerance(keys, &text)),
        sizes: keys
            .lengths(
                "sizes",
                "sizes that the stock list has, in the same section",
                Length::from_um(500)..=Length::from_mm(500),
            )
            .optional()
            .unwrap_or_default(),
        length: keys
            .length("length", "length of one blank", Length::from_mm(10)..=LONGEST)
            .required(),
        length_tolerance: keys
            .length("length_tolerance", "how much longer or shorter a blank may be", some.clone())
            .or(Length::from_mm(1)),
        rear_margin: keys
            .length(
                "rear_margin",
                "how far the blank stays in front of the spindle's rear end",
                some.clone(),
            )
            .or(Length::ZERO),
        stock_length: keys
            .length(
                "stock_length",
                "length of the stock bars that blanks are sawn from",
                Length::from_mm(10)..=LONGEST,
            )
            .optional(),
        saw_kerf: keys
            .length("saw_kerf", "what the saw turns to chips", some.clone())
            .or(Length::ZERO),
        end_trim: keys
            .length("end_trim", "what is sawn off a stock bar's end first", some)
            .or(Length::ZERO),
        condition: keys.optional_table(
            "condition",
            "how straight a blank is and how its ends are",
            condition::keys,
        ),
    };
    blank_is_possible(keys, &bar);
    bar
}

/// The class of a bar's size; a bar is an outside, so that a class of holes is a slip.
fn tolerance(keys: &Keys<'_>, text: &str) -> Option<Class> {
    let (message, help) = match Class::read(text) {
        Ok(class) if class.is_for_holes() => (
            format!("{} is a class for holes, and a bar is an outside", class.name()),
            format!("write {}", class.other().name()),
        ),
        Ok(class) => return Some(class),
        Err(refusal) => (refusal.message, refusal.help),
    };
    keys.trouble("tolerance", message, help);
    None
}

fn blank_is_possible(keys: &Keys<'_>, bar: &Bar) {
    let shown = |length: Length| length.shown(keys.units());
    if !keys.sound("length") {
        return;
    }
    if keys.sound("length_tolerance") && bar.length_tolerance >= bar.length {
        let message = format!("a blank of {} cannot be shorter by this much", shown(bar.length));
        keys.trouble("length_tolerance", message, "write how exactly blanks are sawn");
    }
    let (Some(stock), true) = (bar.stock_length, keys.sound("end_trim")) else { return };
    if stock - bar.end_trim < bar.length {
        let left = shown((stock - bar.end_trim).max(Length::ZERO));
        let message = format!("no blank of {} can be sawn from {left} of stock", shown(bar.length));
        let help = "write a longer stock bar, or shorten the blank or the end trim";
        keys.trouble("stock_length", message, help);
    }
}

fn advance(keys: &Keys<'_>) -> Advance {
    let some = Length::ZERO..=Length::from_mm(500);
    let most_parts = keys
        .count("most_parts", "the most parts cut in one advance, to be chosen by the plan", 1..=50)
        .optional();
    if most_parts.is_some() && keys.stands("parts") {
        let message = "the parts of an advance are given and to be chosen";
        keys.trouble("most_parts", message, "keep `parts` or `most_parts`");
    }
    Advance {
        parts: keys.count("parts", "parts cut in one advance", 1..=50).or(1) as u32,
        most_parts: most_parts.map(|parts| parts as u32),
        face_stock: keys
            .length("face_stock", "raw stock in front of the finished face after every advance", some.clone())
            .required(),
        first_face: keys
            .length("first_face", "extra stock in front of the first part of a bar", some.clone())
            .or(Length::ZERO),
        jaw_clearance: keys
            .length(
                "jaw_clearance",
                "from the parting tool's chuck-side edge to the jaw face; left out, the least the gripper needs",
                some,
            )
            .optional(),
        risk: Probability::from_ratio(
            keys.number("risk", "chance, over one bar, that a short pull loses a part", "", 1e-9..=0.5)
                .or(0.001),
        ),
    }
}

fn cutting(keys: &Keys<'_>) -> Cutting {
    Cutting {
        max_speed: keys
            .number(
                "max_speed",
                "highest spindle speed for this job, from the bar and how it is supported",
                "rev/min",
                1.0..=100_000.0,
            )
            .optional()
            .map(SpindleSpeed::from_rpm),
        nose_in: keys
            .choice("nose_in", "where the nose's radius is reckoned in on finishing passes")
            .or(NoseIn::Path),
        catch_parts: keys
            .flag("catch_parts", "whether the program moves the parts catcher under each part")
            .or(false),
        past_center: keys
            .length(
                "past_center",
                "how far the parting tool goes past the axis, on the radius",
                Length::ZERO..=Length::from_mm(5),
            )
            .or(Length::from_um(200)),
        hour_rate: keys
            .number(
                "hour_rate",
                "what an hour of lathe and person costs, in the money of the edges' prices",
                "",
                0.01..=100_000.0,
            )
            .optional(),
        choose: keys
            .choice("choose", "who says speed, feed and depth of the cuts, and what for")
            .or(Choose::AsGiven),
    }
}
