//! Checks by arithmetic, before any program is run: each with its value as a range, its limit and
//! its margin.
//!
//! One check is one file pair, as the prover's are: `NAME.rs` reckons it, `NAME.md` explains it and
//! holds its examples, which are its tests. A new check is one more line in the list below. Those of
//! the second list look for what a proof looks for too, by arithmetic; their pages are the prover's.

mod worst;

use crate::bar::BarPlan;
use crate::edges::EdgeUse;
use crate::mechanics::Mechanics;
use crate::process::Process;
use crate::pull::Drawn;
use calc::spread::Spread;
use calc::station::Lack;
use calc::whirl::Curve;
use model::files::job::Job;
use model::finding::Place;
use model::page::{Page, kebab};
use model::{Finding, Level, Unproven};

/// One check with its numbers. A check that holds has no level.
#[derive(Debug, Clone)]
pub struct CheckLine {
    /// A stable kebab-case word.
    pub id: &'static str,
    /// Which of several alike it is about, such as `station 3`; empty for the only one.
    pub about: String,
    /// The level of its finding; none where it holds.
    pub level: Option<Level>,
    /// What is, by the likely figures.
    pub value: f64,
    /// The least that it may be.
    pub low: f64,
    /// The most that it may be.
    pub high: f64,
    /// What may be.
    pub limit: f64,
    /// Whether the value must be at least the limit; else it must be at most that.
    pub at_least: bool,
    /// Unit of all four; empty for a count or ratio.
    pub unit: &'static str,
    /// How far the value keeps from the limit; negative where it is broken.
    pub margin: f64,
    /// Where the limit comes from.
    pub source: &'static str,
    /// What it means, in plain sentences.
    pub message: String,
    /// What to do where it is broken.
    pub remedy: &'static str,
    /// The key it is about.
    pub key: &'static str,
}

/// All that a check may look at.
#[derive(Clone, Copy)]
pub struct Planned<'p> {
    /// The job.
    pub job: &'p Job,
    /// Its bar, divided.
    pub bar: &'p BarPlan,
    /// What is cut.
    pub process: &'p Process,
    /// How fast the bar may turn; else what is lacking to know it.
    pub swing: Result<&'p Curve, &'static str>,
    /// What every cut asks.
    pub mechanics: &'p Mechanics,
    /// How long each edge lasts.
    pub edges: &'p [EdgeUse],
    /// How the gripper draws the bar; else what is lacking to know it.
    pub pull: Result<&'p Drawn, &'p Lack>,
}

/// One kind of check.
pub struct Check {
    /// Its stable kebab-case word.
    pub id: &'static str,
    /// How much it matters at worst.
    pub level: Level,
    /// Its explanation in Markdown, as the prover's; empty where the prover has the page.
    pub page: &'static str,
    run: fn(&Planned<'_>, &mut Out<'_>),
}

impl Check {
    /// Its name in words: the title of its page.
    pub fn title(&self) -> &'static str {
        Page(self.page).title()
    }

    /// One section of its page as plain text; empty where there is no such heading.
    pub fn section(&self, heading: &str) -> String {
        Page(self.page).section(heading)
    }
}

/// What a value must keep to.
#[derive(Debug, Clone, Copy)]
enum Limit {
    /// The value must not be more.
    Most(f64),
    /// The value must not be less.
    Least(f64),
}

/// The words and figures of a line.
struct Line {
    value: Spread<f64>,
    limit: Limit,
    unit: &'static str,
    source: &'static str,
    message: String,
    remedy: &'static str,
    key: &'static str,
}

/// Takes down what a check finds.
struct Out<'o> {
    check: &'o Check,
    lines: &'o mut Vec<CheckLine>,
    unproven: &'o mut Vec<Unproven>,
}

impl Out<'_> {
    /// A line, judged by the one rule for all of them: the check's own level where the likely value
    /// breaks the limit, one level less where only the unfavorable end of the range does.
    fn line(&mut self, line: Line) {
        let level = judged(self.check.level, line.value, line.limit);
        self.judged(line, level);
    }

    /// A line about one of several alike.
    fn about(&mut self, about: &str, line: Line) {
        let told = self.lines.len();
        self.line(line);
        for line in &mut self.lines[told..] {
            about.clone_into(&mut line.about);
        }
    }

    /// A line that its check has judged by itself.
    fn judged(&mut self, line: Line, level: Option<Level>) {
        let Spread { low, nominal, high } = line.value;
        let (limit, margin) = match line.limit {
            Limit::Most(limit) => (limit, limit - nominal),
            Limit::Least(limit) => (limit, nominal - limit),
        };
        if ![low, nominal, high, limit].into_iter().all(f64::is_finite) {
            let what = self.check.title().to_lowercase();
            self.unproven(&what, "the figures are together beyond all measure");
            return;
        }
        self.lines.push(CheckLine {
            id: self.check.id,
            about: String::new(),
            level,
            value: nominal,
            // Rounding may leave an end of an exact figure a digit beside it.
            low: low.min(nominal),
            high: high.max(nominal),
            limit,
            at_least: matches!(line.limit, Limit::Least(_)),
            unit: line.unit,
            margin,
            source: line.source,
            message: line.message,
            remedy: line.remedy,
            key: line.key,
        });
    }

    fn unproven(&mut self, what: &str, why: impl Into<String>) {
        self.unproven.push(Unproven { what: what.to_owned(), why: why.into() });
    }
}

/// The level of a value: of two kinds of trouble the likely one weighs more.
fn judged(most: Level, value: Spread<f64>, limit: Limit) -> Option<Level> {
    let (likely, end) = match limit {
        Limit::Most(limit) => (value.nominal > limit, value.high > limit),
        Limit::Least(limit) => (value.nominal < limit, value.low < limit),
    };
    let less = if most == Level::Stop { Level::Caution } else { Level::Note };
    if likely { Some(most) } else { end.then_some(less) }
}

macro_rules! id {
    ($name:ident) => {{
        const WORD: [u8; stringify!($name).len()] = kebab(stringify!($name));
        match std::str::from_utf8(&WORD) {
            Ok(word) => word,
            Err(_) => stringify!($name),
        }
    }};
}

macro_rules! checks {
    (own { $($name:ident => $level:ident,)* } of_the_prover { $($shared:ident => $also:ident,)* }) => {
        $(mod $name;)*
        $(mod $shared;)*

        /// Every check, in the order in which they are told.
        pub static ALL: &[Check] = &[
            $(Check {
                id: id!($shared),
                level: Level::$also,
                page: "",
                run: $shared::check,
            },)*
            $(Check {
                id: id!($name),
                level: Level::$level,
                page: include_str!(concat!("checks/", stringify!($name), ".md")),
                run: $name::check,
            },)*
        ];
    };
}

checks! {
    own {
    // The bar and the program.
    bar_gives_no_part => Stop,
    feature_not_planned => Stop,
    bar_end_rough => Caution,
    speed_limit_not_stated => Caution,
    bar_swings_out => Stop,
    advance_not_writable => Caution,
    repeats_not_writable => Stop,
    counter_not_stepped => Stop,
    face_stock_thin => Caution,
    // The size of the bar.
    bar_leaves_skin => Stop,
    raw_diameter_off => Stop,
    bar_larger_than_needed => Note,
    // The drive.
    power_too_small => Stop,
    torque_too_small => Stop,
    power_opinions_differ => Note,
    // The chuck.
    chuck_wrong_size => Stop,
    grip_too_weak => Stop,
    bar_turns_in_jaws => Stop,
    bar_slides_in_jaws => Stop,
    bar_tips_out => Stop,
    jaws_lift => Caution,
    speed_takes_grip => Stop,
    last_grip_weak => Stop,
    // Bending.
    stick_out_long => Caution,
    part_bends => Stop,
    // The pull.
    gripper_slips => Stop,
    bar_too_heavy => Caution,
    // Edges, surface and chips.
    edge_wears_in_bar => Note,
    edge_speed_outside => Caution,
    surface_too_rough => Stop,
    chips_fill_room => Caution,
    chips_burn => Caution,
    }
    of_the_prover {
    bar_behind_spindle => Stop,
    grip_too_short => Stop,
    engagement_too_short => Stop,
    }
}

/// The checks whose pages stand here.
pub fn own() -> impl Iterator<Item = &'static Check> {
    ALL.iter().filter(|check| !check.page.is_empty())
}

/// All checks of a plan; what cannot be checked is filed as unproven.
pub fn all(planned: &Planned<'_>, unproven: &mut Vec<Unproven>) -> Vec<CheckLine> {
    let mut lines = Vec::new();
    for check in ALL {
        (check.run)(planned, &mut Out { check, lines: &mut lines, unproven });
    }
    lines
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_likely_value_weighs_more_than_the_end_of_the_range() {
        let value = Spread { low: 1.0, nominal: 2.0, high: 3.0 };
        let at = |most, limit| judged(most, value, limit);
        assert_eq!(at(Level::Stop, Limit::Most(1.5)), Some(Level::Stop));
        assert_eq!(at(Level::Stop, Limit::Most(2.5)), Some(Level::Caution));
        assert_eq!(at(Level::Stop, Limit::Most(3.0)), None);
        assert_eq!(at(Level::Caution, Limit::Least(2.5)), Some(Level::Caution));
        assert_eq!(at(Level::Caution, Limit::Least(1.5)), Some(Level::Note));
        assert_eq!(at(Level::Note, Limit::Least(1.5)), Some(Level::Note));
        assert_eq!(at(Level::Note, Limit::Least(1.0)), None);
    }
}
