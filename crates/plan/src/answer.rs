//! The whole answer for a job.

use crate::acts::Acts;
use crate::bar::{self, BarPlan};
use crate::checks::{self, CheckLine, Planned};
use crate::choice::{self, Choice, Told};
use crate::edges::{self, EdgeUse};
use crate::learned;
use crate::mechanics::{self, Mechanics};
use crate::process::Process;
use crate::program::{self, ProgramText};
use crate::pull::{self, Drawn};
use crate::spindle;
use crate::time::Clock;
use crate::walk_away::{self, Pace, WalkAway};
use calc::station::Lack;
use calc::whirl::Curve;
use model::files::control::Does;
use model::files::job::Job;
use model::finding::Verdict;
use model::quantity::Seconds;
use model::{Finding, Level, Source, Unproven};
use nc::program::Library;
use prove::{Proof, Setup};

/// How long everything takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Times {
    /// One cycle: the parts of one advance and the advance itself.
    pub cycle: Seconds,
    /// The advance alone.
    pub advance: Seconds,
    /// One bar, from the first cycle start to the end.
    pub bar: Seconds,
    /// All bars of the order, without loading.
    pub order: Seconds,
}

/// Everything about a job.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The one word over all of it.
    pub verdict: Verdict,
    /// The division of the bar.
    pub bar: BarPlan,
    /// What is cut, with which tools.
    pub process: Process,
    /// How speeds, feeds and depths were chosen.
    pub choice: Choice,
    /// The speed, feed and depth of every work, and the limit that each comes nearest to.
    pub data: Vec<Told>,
    /// Times, from the plan's own list of acts.
    pub times: Times,
    /// How long one may leave.
    pub walk_away: WalkAway,
    /// What every cut asks of drive, chuck, bar and edge.
    pub mechanics: Mechanics,
    /// How long each edge lasts, and when to change it.
    pub edges: Vec<EdgeUse>,
    /// How the gripper draws the bar; else what is lacking to know it.
    pub pull: Result<Drawn, Lack>,
    /// What was learned from the log and switched on in the job.
    pub learned: Vec<learned::Told>,
    /// What to see to before leaving, in the words of the material file.
    pub reminders: Vec<String>,
    /// How fast the bar may turn at each of its parts, where that is known.
    pub swing: Option<Curve>,
    /// Checks by arithmetic.
    pub checks: Vec<CheckLine>,
    /// The programs; empty where a stop stands against writing any.
    pub programs: Vec<ProgramText>,
    /// The proof of the programs, where there are any.
    pub proof: Option<Proof>,
    /// Findings of the checks and of the proof.
    pub findings: Vec<Finding>,
    /// What is not proven, and why.
    pub unproven: Vec<Unproven>,
}

/// All that is reckoned of a job before a program is written.
pub(crate) struct Reckoned {
    pub(crate) process: Process,
    pub(crate) times: Times,
    pub(crate) pace: Pace,
    pub(crate) mechanics: Mechanics,
    pub(crate) edges: Vec<EdgeUse>,
    pub(crate) pull: Result<Drawn, Lack>,
    pub(crate) checks: Vec<CheckLine>,
    pub(crate) unproven: Vec<Unproven>,
}

/// Reckons a job whose bar is divided and whose data are chosen.
pub(crate) fn reckon(
    job: &Job,
    bar: &BarPlan,
    swing: Result<&Curve, &'static str>,
    choice: &Choice,
) -> Reckoned {
    let acts = Acts::new(job, bar);
    let process = Process::with(job, &bar.division, &choice.data);
    let (times, pace, one_advance) = times(job, bar, &acts, &process);
    let mechanics = mechanics::reckon(job, bar, &process);
    let cutting = one_advance.cutting();
    let edges = edges::reckon_with(job, bar, &mechanics, cutting, &choice.lives);
    let pull = pull::reckon(job, bar);
    let planned = Planned {
        job,
        bar,
        swing,
        process: &process,
        mechanics: &mechanics,
        edges: &edges,
        pull: pull.as_ref(),
    };
    let mut unproven = Vec::new();
    let checks = checks::all(&planned, &mut unproven);
    unproven.extend(catcher(job, &acts));
    Reckoned { process, times, pace, mechanics, edges, pull, checks, unproven }
}

/// Plans a job: divides the bar, plans the cuts, writes the programs and proves them.
pub fn plan(job: &Job) -> Answer {
    let bar = bar::divide(job);
    let swing = spindle::curve(job, &bar);
    let choice = choice::settle(job, &bar, swing.as_ref().ok());
    let reckoned = reckon(job, &bar, swing.as_ref().map_err(|why| *why), &choice);
    let Reckoned { process, times, pace, mechanics, edges, pull, checks, mut unproven } = reckoned;
    unproven.extend(without_a_shop());
    let mut findings = checks::findings(job, &checks);
    unproven.extend(process.unproven.iter().cloned());
    let walk_away = walk_away::ladder(job, &bar, pace, &edges, &mut unproven);
    let learned = learned::told(job, &edges);
    unproven.extend(learned.iter().filter_map(|told| {
        let why = told.not_used.clone()?;
        Some(Unproven { what: format!("whether still, as was learned, {}", told.words), why })
    }));
    let mut programs = Vec::new();
    let mut proof = None;
    if !findings.iter().any(|finding| finding.level == Level::Stop) {
        programs = program::write(job, &bar, &process);
        let proven = prove_programs(job, &programs);
        // What the plan found of a cut by its own list is not told again at the block.
        let told = |finding: &&Finding| {
            let id = finding.id;
            let shared = checks::own().any(|check| check.id == id);
            let as_strongly = |known: &Finding| known.id == id && known.level >= finding.level;
            !shared || !findings.iter().any(as_strongly)
        };
        let more: Vec<Finding> = proven.findings.iter().filter(told).cloned().collect();
        findings.extend(more);
        unproven.extend(proven.unproven.iter().cloned());
        findings.extend(of_warm_up(job, &programs));
        if findings.iter().any(|finding| finding.level == Level::Stop) {
            programs.clear();
        }
        proof = Some(proven);
    }
    unproven.sort();
    unproven.dedup();
    Answer {
        verdict: Verdict::over(&findings),
        data: choice::told(job, &choice, &mechanics),
        choice,
        process,
        bar,
        times,
        walk_away,
        mechanics,
        edges,
        pull,
        learned,
        reminders: job.material.coolant.iter().chain(&job.material.caution).cloned().collect(),
        swing: swing.ok(),
        checks,
        programs,
        proof,
        findings,
        unproven,
    }
}

/// Proves written programs by running their text. What was learned from the log is not in it.
pub fn prove_programs(job: &Job, programs: &[ProgramText]) -> Proof {
    let trees = programs
        .iter()
        .map(|program| {
            let source = Source::new(program.file_name(job), program.text.as_bytes());
            nc::read::read_for(&source, &job.control)
        })
        .collect();
    prove::prove(&Library::new(trees), &Setup::of(job))
}

/// Times as the lathe needs them: by the plan's clock, times the factor that was learned where it is switched on.
pub(crate) fn times<'j>(
    job: &'j Job,
    bar: &BarPlan,
    acts: &Acts<'_>,
    process: &Process,
) -> (Times, Pace, Clock<'j>) {
    let (times, pace, clock) = clocked(job, bar, acts, process);
    let factor = learned::cycle_factor(job);
    let times = Times {
        cycle: times.cycle * factor,
        advance: times.advance * factor,
        bar: times.bar * factor,
        order: times.order * factor,
    };
    let pace = Pace { first: pace.first * factor, cycle: pace.cycle * factor, ..pace };
    (times, pace, clock)
}

/// Times by the plan's clock.
pub(crate) fn clocked<'j>(
    job: &'j Job,
    bar: &BarPlan,
    acts: &Acts<'_>,
    process: &Process,
) -> (Times, Pace, Clock<'j>) {
    let mut clock = Clock::new(job, acts.clamp());
    clock.follow(&acts.new_bar(process));
    clock.follow(&acts.parts(process));
    clock.follow(&acts.stop());
    let first = clock.now();
    let before = clock.now();
    clock.follow(&acts.advance());
    let advance = clock.now() - before;
    clock.follow(&acts.parts(process));
    clock.follow(&acts.stop());
    let cycle = clock.now() - first;
    let mut alone = Clock::new(job, acts.clamp());
    alone.follow(&acts.parts(process));
    let pace = Pace { first, cycle, parts_per_advance: bar.division.parts_per_advance };
    let quantity = job.file.order.quantity;
    let in_one = bar.parts_per_bar.min(quantity);
    let order = match bar.blanks {
        Some(blanks) if blanks > 0 => {
            pace.until(bar.parts_per_bar) * f64::from(blanks - 1) + pace.until(bar.parts_in_last)
        }
        _ => Seconds::from_s(0.0),
    };
    let time_of_bar = if in_one == 0 { Seconds::from_s(0.0) } else { pace.until(in_one) };
    (Times { cycle, advance, bar: time_of_bar, order }, pace, alone)
}

/// The lathe's parts catcher, where the control has a word for it: how long it takes and what it
/// passes is in no file, so no program moves it.
fn catcher(job: &Job, acts: &Acts<'_>) -> Option<Unproven> {
    job.control.that(Does::CatcherOut)?;
    let what = if acts.catches() {
        "whether the parts catcher is there in time and meets nothing on its way"
    } else {
        "where the part falls: the program does not move the parts catcher"
    };
    Some(Unproven {
        what: what.to_owned(),
        why: "no file says how long it takes and what it passes on its way".to_owned(),
    })
}

/// What stops the program that warms the spindle up: it is run by itself.
fn of_warm_up(job: &Job, programs: &[ProgramText]) -> Vec<Finding> {
    let warm_up = programs.iter().find(|program| program.number == job.file.program + 3);
    let proof = warm_up.map(|program| prove_programs(job, std::slice::from_ref(program)));
    let findings = proof.map(|proof| proof.findings).unwrap_or_default();
    findings.into_iter().filter(|finding| finding.level == Level::Stop).collect()
}

/// What a plan alone does not know.
fn without_a_shop() -> Vec<Unproven> {
    let why = "no shop file says what an hour and a bar cost".to_owned();
    vec![Unproven { what: "cost".to_owned(), why }]
}
