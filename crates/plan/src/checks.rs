//! Checks by arithmetic, before any program is run: each with its value, limit and margin.

use crate::acts::Acts;
use crate::bar::BarPlan;
use crate::program::Family;
use calc::whirl::{Curve, Stretch};
use model::files::job::{CountBy, Job};
use model::finding::Place;
use model::{Finding, Length, Level};

/// One check with its numbers. A check that holds has no level.
#[derive(Debug, Clone)]
pub struct CheckLine {
    /// A stable kebab-case word.
    pub id: &'static str,
    /// The level of its finding; none where it holds.
    pub level: Option<Level>,
    /// What is.
    pub value: f64,
    /// What may be.
    pub limit: f64,
    /// Unit of both; empty for a count or ratio.
    pub unit: &'static str,
    /// How far the value keeps from the limit; negative where it is broken.
    pub margin: f64,
    /// Where the limit comes from.
    pub source: &'static str,
    /// What it means, one sentence.
    pub message: String,
    /// What to do where it is broken.
    pub remedy: &'static str,
    /// The key it is about.
    pub key: &'static str,
}

/// All checks of a plan; `swing` is how fast the bar may turn, where that is known.
pub fn all(job: &Job, bar: &BarPlan, swing: Option<&Curve>) -> Vec<CheckLine> {
    let mut checks = vec![
        behind_spindle(job, bar),
        parts_there(bar),
        last_grip(job, bar),
        engagement(job, bar),
        stick_out(job, bar),
        speed(job, bar),
        writable(job, bar),
    ];
    checks.extend(face_stock(job, bar));
    checks.extend(repeats(job, bar));
    checks.extend(counter(job, bar));
    checks.extend(swing.and_then(|curve| bar_swings(job, bar, curve)));
    checks
}

/// The findings of the checks that are broken.
pub fn findings(job: &Job, checks: &[CheckLine]) -> Vec<Finding> {
    let broken = checks.iter().filter_map(|check| check.level.map(|level| (check, level)));
    broken
        .map(|(check, level)| Finding {
            id: check.id,
            level,
            place: Place::new(&job.file.origin.source, job.file.origin.span(check.key)),
            cycle: None,
            at_s: None,
            times: 1,
            message: check.message.clone(),
            remedy: check.remedy.to_owned(),
        })
        .collect()
}

fn at_most(value: Length, limit: Length, level: Level) -> (Option<Level>, f64, f64, f64) {
    let broken = (value > limit).then_some(level);
    (broken, value.mm(), limit.mm(), (limit - value).mm())
}

fn at_least(value: Length, limit: Length, level: Level) -> (Option<Level>, f64, f64, f64) {
    let broken = (value < limit).then_some(level);
    (broken, value.mm(), limit.mm(), (value - limit).mm())
}

fn behind_spindle(job: &Job, bar: &BarPlan) -> CheckLine {
    let longest = bar.blank + bar.tolerance;
    let (level, value, limit, margin) = at_most(longest, bar.longest_blank, Level::Stop);
    let units = job.file.units;
    CheckLine {
        id: "bar-behind-spindle",
        level,
        value,
        limit,
        unit: "mm",
        margin,
        source: "length of the bar's way through the spindle (lathe file)",
        message: format!(
            "A blank may be {} long, its tolerance included; beyond {} it hangs out behind the spindle.",
            longest.shown(units),
            bar.longest_blank.shown(units)
        ),
        remedy: "Saw the blanks shorter.",
        key: "bar.length",
    }
}

fn parts_there(bar: &BarPlan) -> CheckLine {
    let parts = f64::from(bar.parts_per_bar);
    CheckLine {
        id: "bar-gives-no-part",
        level: (bar.parts_per_bar == 0).then_some(Level::Stop),
        value: parts,
        limit: 1.0,
        unit: "",
        margin: parts - 1.0,
        source: "arithmetic of the bar",
        message: "The bar is too short for a single part with the grip that the chuck needs."
            .to_owned(),
        remedy: "Take a longer blank, or a shorter stick-out.",
        key: "bar.length",
    }
}

fn last_grip(job: &Job, bar: &BarPlan) -> CheckLine {
    let least = job.lathe.chuck.least_grip;
    let (level, value, limit, margin) = at_least(bar.last_grip, least, Level::Stop);
    CheckLine {
        id: "grip-too-short",
        level: level.filter(|_| bar.parts_per_bar > 0),
        value,
        limit,
        unit: "mm",
        margin,
        source: "least grip of the chuck (lathe file)",
        message: "The last part of the bar is cut with less bar in the jaws than the chuck needs."
            .to_owned(),
        remedy: "End the bar sooner.",
        key: "bar.length",
    }
}

fn engagement(job: &Job, bar: &BarPlan) -> CheckLine {
    let acts = Acts::new(job, bar);
    let front = bar.jaw_face + bar.division.jaw_clearance;
    let engaged = (front - acts.grip_z()).min(job.gripper.fingers);
    let least = job.gripper.least_engagement;
    let (level, value, limit, margin) = at_least(engaged, least, Level::Stop);
    CheckLine {
        id: "engagement-too-short",
        level,
        value,
        limit,
        unit: "mm",
        margin,
        source: "least engagement of the gripper (gripper file)",
        message: "The stub is too short for the gripper, with its gap to the jaws.".to_owned(),
        remedy: "Raise the jaw clearance, or leave it out to have it chosen.",
        key: "advance.jaw_clearance",
    }
}

/// Free length against diameter, where nothing supports the free end.
fn stick_out(job: &Job, bar: &BarPlan) -> CheckLine {
    const MOST: f64 = 4.0;
    let ratio = bar.division.stick_out().mm() / job.file.bar.size.mm();
    CheckLine {
        id: "stick-out-long",
        level: (ratio > MOST).then_some(Level::Caution),
        value: ratio,
        limit: MOST,
        unit: "",
        margin: MOST - ratio,
        source: "shop practice, 3 to 4 diameters without a center (from memory)",
        message: format!(
            "The bar sticks out {ratio:.1} diameters: it bends under the cut, and this version does not compute by how much."
        ),
        remedy: "Cut fewer parts in one advance, or make the jaw clearance smaller.",
        key: "advance.parts",
    }
}

fn speed(job: &Job, bar: &BarPlan) -> CheckLine {
    let clamp = Acts::new(job, bar).clamp().rpm();
    let limit = job.lathe.max_speed().rpm();
    let stated = job.file.cutting.max_speed.is_some();
    CheckLine {
        id: "speed-limit-not-stated",
        level: (!stated).then_some(Level::Caution),
        value: clamp,
        limit,
        unit: "rev/min",
        margin: limit - clamp,
        source: "highest speed of spindle and chuck (lathe file), and of the job",
        message: "The job states no highest speed for this bar and its support; only the lathe's own limits the program.".to_owned(),
        remedy: "Write max_speed under [cutting], from the bar's length, liner and straightness.",
        key: "cutting",
    }
}

/// The bar may not turn so fast that it swings out in the spindle.
fn bar_swings(job: &Job, bar: &BarPlan, curve: &Curve) -> Option<CheckLine> {
    let worst = curve.worst()?;
    let running = Acts::new(job, bar).clamp().rpm();
    let (low, likely) = (worst.allowed.low.rpm(), worst.allowed.likely.rpm());
    let level = if running > likely {
        Some(Level::Stop)
    } else {
        (running > low).then_some(Level::Caution)
    };
    let units = job.file.units;
    let swinging = match worst.weakest {
        Stretch::Front { length } => format!("the {} in front of the jaws", length.shown(units)),
        Stretch::Span { from, to } => format!(
            "the bar between {} and {} behind the jaw face",
            from.shown(units),
            to.shown(units)
        ),
        Stretch::Tail { from, to } => format!(
            "the free tail from {} to {} behind the jaw face",
            from.shown(units),
            to.shown(units)
        ),
    };
    Some(CheckLine {
        id: "bar-swings-out",
        level,
        value: running,
        limit: low,
        unit: "rev/min",
        margin: low - running,
        source: "natural frequency of the bar on its guides, beam elements, with a share kept (calc::whirl)",
        message: format!(
            "While part {} is cut the bar may turn {low:.0} rev/min ({likely:.0} likely): {swinging} swings most. The job turns up to {running:.0}.",
            worst.part
        ),
        remedy: "Lower max_speed, guide the bar closer, or saw shorter blanks.",
        key: "cutting",
    })
}

/// The advance must come out of the control's decimals without rounding.
fn writable(job: &Job, bar: &BarPlan) -> CheckLine {
    let units = job.file.units;
    let advance = bar.division.advance();
    let written = advance.round_to(units, units.decimals());
    let off = (advance - written).abs();
    CheckLine {
        id: "advance-not-writable",
        level: (off != Length::ZERO).then_some(Level::Caution),
        value: off.mm(),
        limit: 0.0,
        unit: "mm",
        margin: -off.mm(),
        source: "decimals of a program in these units",
        message: format!(
            "The advance of {} {} needs more decimals than the program has.",
            advance.shortest(units),
            units.symbol()
        ),
        remedy: "Change the face stock so that the pitch comes out even.",
        key: "advance.face_stock",
    }
}

/// A subprogram's repeats must fit the control's form of the call.
fn repeats(job: &Job, bar: &BarPlan) -> Option<CheckLine> {
    const MOST: f64 = 9999.0;
    if job.file.count.by != CountBy::Repeat {
        return None;
    }
    let family = Family::of(job, bar);
    let repeats = f64::from(family.passes().saturating_sub(1));
    let call = family.repeats(&Acts::new(job, bar).writer());
    let digits = job.control.writing.program_digits as u32;
    let last = u64::from(job.file.program) + 2;
    let fits = (repeats == 0.0 || call.is_some()) && last < 10_u64.pow(digits);
    Some(CheckLine {
        id: "repeats-not-writable",
        level: (!fits).then_some(Level::Stop),
        value: repeats,
        limit: MOST,
        unit: "",
        margin: MOST - repeats,
        source: "form of a subprogram call with repeats (control file)",
        message: format!(
            "The control cannot be told to run O{last} {repeats:.0} times, by its digits or its form of the call."
        ),
        remedy: "Take a smaller program number, or count by \"variable\" or \"counter\".",
        key: "count.by",
    })
}

/// The control's counter must step once a part, and by nothing else that the programs say.
fn counter(job: &Job, bar: &BarPlan) -> Option<CheckLine> {
    if job.file.count.by != CountBy::Counter {
        return None;
    }
    let family = Family::of(job, bar);
    let (stepped, ended) = (family.is_stepped(), family.end().is_some());
    let message = if stepped {
        "The control's counter takes M2 and M30 for parts too: every new bar would start one part high."
    } else {
        "No word of the control file steps the part counter, so this program would run without end."
    };
    let holds = stepped && ended;
    Some(CheckLine {
        id: "counter-not-stepped",
        level: (!holds).then_some(Level::Stop),
        value: f64::from(u8::from(holds)),
        limit: 1.0,
        unit: "",
        margin: f64::from(u8::from(holds)) - 1.0,
        source: "words that step the counter (control file)",
        message: message.to_owned(),
        remedy: "Add a function \"part-count\" whose word is in counted_by, or count by \"variable\".",
        key: "count.by",
    })
}

fn face_stock(job: &Job, bar: &BarPlan) -> Option<CheckLine> {
    let least = bar.least_face_stock?;
    let stock = bar.division.face_stock;
    let (level, value, limit, margin) = at_least(stock, least, Level::Caution);
    let units = job.file.units;
    Some(CheckLine {
        id: "face-stock-thin",
        level,
        value,
        limit,
        unit: "mm",
        margin,
        source: "scatter of the gripper's pulls (gripper file), normal distribution",
        message: format!(
            "With {} of face stock, one bar in {:.0} loses a part to a short pull; the job allows one in {:.0}, which takes {}.",
            stock.shown(units),
            1.0 / bar.chance_of_loss.ratio().max(1e-12),
            1.0 / job.file.advance.risk.ratio(),
            least.shown(units)
        ),
        remedy: "Raise the face stock, or find out why the gripper scatters.",
        key: "advance.face_stock",
    })
}
