//! The whole proof of one program for one bar.

use crate::checks;
use crate::count::{Count, CountKind, Counting, Whole, first_early, is_set};
use crate::event::{EndedBy, Moment, Point, Spot, What};
use crate::interpreter::Interpreter;
use crate::lathe::{Lathe, Shown};
use crate::limits;
use crate::loads::LoadBook;
use crate::metal::Metal;
use crate::reentry::{self, Entry};
use crate::report::Report;
use crate::run::{Order, Outcome, Run};
use crate::setup::Setup;
use crate::text;
use model::finding::Verdict;
use model::quantity::Seconds;
use model::{Finding, Length, Span, Unproven};
use nc::program::Library;
use std::rc::Rc;

/// What a proof says.
#[derive(Debug, Clone)]
pub struct Proof {
    /// The one word over all of it.
    pub verdict: Verdict,
    /// Parts that fell.
    pub parts: u32,
    /// What ended the run.
    pub ended_by: EndedBy,
    /// Time of the whole run.
    pub time: Seconds,
    /// Time of one cycle once it runs evenly: from one advance to the next.
    pub cycle: Seconds,
    /// Length of bar that is left, where the bar's length is known.
    pub remnant: Option<Length>,
    /// How the program counts.
    pub count: Count,
    /// What was found, in the order in which it first happened.
    pub findings: Vec<Finding>,
    /// What was not checked, and why.
    pub unproven: Vec<Unproven>,
    /// What a stop with reset leads to, block by block, in an early cycle and in the last.
    pub entries: Vec<Entry>,
    /// Whether every block of those cycles could be tried.
    pub every_stop_tried: bool,
    /// Blocks that the control read.
    pub blocks: u64,
}

/// Proves the main program of a library for one bar.
pub fn prove(library: &Library, setup: &Setup) -> Proof {
    let shown = show(library, setup);
    let mut report = Report::new(library.trees().iter().map(|tree| tree.source.clone()).collect());
    let fresh = Lathe::with_new_bar(setup, shown);
    text::moments(library, &fresh, &mut report);
    let mut tell = |moment: &Moment<'_>| {
        not_known(moment, &mut report);
        left_out(moment, &mut report);
        checks::watch(moment, &mut report);
    };
    fresh.tell(What::Start, first_spot(library), &fresh.state, &mut tell);
    // Both runs and every start after a stop share what was computed of shapes.
    let control = Interpreter::new(library, setup);
    let run_of = |lathe, order| {
        let run = Run::at(control.clone(), lathe, order);
        if setup.reuse { run.recurring() } else { run }
    };
    let run = |order| run_of(fresh.clone(), order);
    // What cuts ask is the same in every order of reading.
    let loads = Rc::new(LoadBook::default());
    let loaded = Lathe { loads: Some(Rc::clone(&loads)), ..fresh.clone() };
    let latest = run_of(loaded, Order::Latest).finish(&mut tell);
    let earliest = run(Order::Earliest).finish(&mut |_| {});
    let counting = Counting::of(&latest, setup);
    let (entries, all) = reentry::entries(&|| run(Order::Earliest), &counting, &latest);
    if !all {
        report.unproven(
            "what a stop with reset leads to, block by block",
            "the program does not come to its end, or a cycle is too long to try every block",
        );
    }
    let whole = judge(library, latest, earliest, entries, &counting, setup);
    let latest = &whole.latest;
    let moment = Moment {
        what: What::Ended(latest.ended_by),
        spot: latest.ended_at,
        before: &latest.state,
        after: &latest.state,
        setup,
        whole: Some(&whole),
    };
    checks::watch(&moment, &mut report);
    let metal = fresh.metal.as_deref();
    limits::loads(&loads, metal, &mut report);
    limits_of_this_proof(setup, shown, metal, &mut report);
    gather(whole, report, all)
}

fn judge(
    library: &Library,
    latest: Outcome,
    earliest: Outcome,
    entries: Vec<Entry>,
    counting: &Counting,
    setup: &Setup,
) -> Whole {
    let per_advance = setup.part.as_ref().map_or(1, |part| part.parts_per_advance);
    let (survives_reset, worst_error) = reentry::judge(&entries, counting.kind, per_advance);
    let count = Count { kind: counting.kind, survives_reset, worst_error };
    let early = first_early(counting.kind, &latest, &earliest);
    let set_by_a_program = match counting.kind {
        CountKind::Variable(variable) => is_set(library, variable),
        _ => false,
    };
    Whole { latest, earliest, count, entries, set_by_a_program, early }
}

fn gather(whole: Whole, report: Report, every_stop_tried: bool) -> Proof {
    let (findings, unproven) = report.finish();
    let state = whole.latest.state;
    Proof {
        verdict: Verdict::over(&findings),
        parts: state.parts,
        ended_by: whole.latest.ended_by,
        time: state.now.since_start(),
        cycle: Seconds::from_s(even_cycle(&whole.latest)),
        remnant: state.bar.front.zip(state.bar.rear).map(|(front, rear)| front - rear),
        // What was not tried at every block is not said to survive.
        count: Count {
            survives_reset: whole.count.survives_reset && every_stop_tried,
            ..whole.count
        },
        findings,
        unproven,
        entries: whole.entries,
        every_stop_tried,
        blocks: whole.latest.blocks,
    }
}

/// The second cycle's time, since the first starts from elsewhere; the whole run for a single one.
fn even_cycle(outcome: &Outcome) -> f64 {
    match outcome.cycle_starts.as_slice() {
        [_, second, third, ..] => *third - *second,
        [first, second] => *second - *first,
        _ => outcome.state.now.s(),
    }
}

fn first_spot(library: &Library) -> Spot {
    let program = library.program(library.main());
    let block = program.blocks.start;
    let tree = &library.trees()[program.tree];
    let span = tree.blocks.get(block).map_or(Span::default(), |block| block.span);
    Spot { tree: program.tree as u32, block: block as u32, span }
}

/// What the program itself shows about its tools, where no file names them: the station at the
/// bar when the chuck first opens is the gripper's; the last cut to the axis by another station
/// before that is parting. (A gripper goes to the axis too.)
pub(crate) fn show(library: &Library, setup: &Setup) -> Shown {
    if setup.tools.is_some() {
        return Shown::default();
    }
    let mut shown = Shown::default();
    let mut plunges: Vec<(u32, Length)> = Vec::new();
    let mut run = Run::new(library, setup, Shown::default(), Order::Latest);
    let opened = std::cell::Cell::new(false);
    let mut tell = |moment: &Moment<'_>| match moment.what {
        What::Cut(motion) if !opened.get() && to_axis(motion.from, motion.to) => {
            if let Some(station) = moment.before.tool.station {
                plunges.retain(|(other, _)| *other != station);
                plunges.push((station, motion.to.z));
            }
        }
        What::ChuckOpened if !opened.get() => {
            shown.gripper = moment.before.tool.station;
            opened.set(true);
        }
        _ => {}
    };
    while !opened.get() && run.go_on(&mut tell).is_continue() {}
    plunges.retain(|(station, _)| Some(*station) != shown.gripper);
    shown.parting = plunges.last().copied();
    shown
}

fn to_axis(from: Point, to: Point) -> bool {
    to.r.abs() < from.r.abs() && to.r.abs() <= Length::from_um(500)
        || from.r.is_negative() != to.r.is_negative() && from.r != Length::ZERO
}

/// Counts what was found in a pass of a loop for the passes that are like it, too.
fn left_out(moment: &Moment<'_>, report: &mut Report) {
    match moment.what {
        What::PassOver => report.pass_is_over(),
        What::PassesLeftOut { passes, advances } => report.passes_left_out(passes, advances),
        _ => {}
    }
}

/// Files as unproven whatever the lathe met without knowing what it means.
fn not_known(moment: &Moment<'_>, report: &mut Report) {
    match moment.what {
        What::UnknownWord(word) => report.unproven(
            format!("what {word} does"),
            "no file given says what this word means on this lathe",
        ),
        What::NotModelled(what) => report.unproven(what, "this version does not follow it"),
        What::NotKnown(what) => report.unproven(what, "no file given tells it"),
        What::ShapeLost { station, into_face } => {
            let why = if into_face {
                format!(
                    "station {station} is a blade that goes into the face; how thick it is there no file says"
                )
            } else {
                format!(
                    "the shape of station {station} is not known, and it cuts: the tools file lacks it (a drill needs its diameter)"
                )
            };
            for what in ["the form of the parts", "what tools and holders meet of the bar"] {
                report.unproven(what, why.clone());
            }
        }
        What::Fell { right: None, .. } if moment.before.unknown_word => report.unproven(
            "the form of the parts",
            "a word that no file explains may have drawn the bar",
        ),
        What::UnknownVariable(number) => report.unproven(
            format!("what #{number} holds"),
            "the control file says nothing about this variable; it is taken as empty",
        ),
        _ => {}
    }
}

/// What no run of this version can show, and what was guessed for want of a file.
fn limits_of_this_proof(setup: &Setup, shown: Shown, metal: Option<&Metal>, report: &mut Report) {
    limits::shapes(setup, metal, report);
    limits::keys(setup, report);
    if !setup.control_named {
        report.unproven(
            "how the control reads numbers, codes and ahead",
            "the control file is not given",
        );
    }
    if setup.tools.is_none() {
        let why = match shown.parting {
            Some((station, _)) => format!(
                "no tools file is given; station {station} is taken to part off, as the last to cut to the axis before the chuck opens"
            ),
            None => "no tools file is given".to_owned(),
        };
        report.unproven("which tools part off and grip", why);
    }
    if setup.lathe.is_none() {
        report.unproven("all times", "the lathe file is not given");
    }
}
