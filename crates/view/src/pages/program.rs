//! The page of a program: its text with the findings in place, what a cycle spends its time on, and
//! the cross-section that plays a cycle back.

mod steps;

pub use steps::{MOST_STEPS, Spent, Step, stands, steps};

use super::Role;
use super::field::Fields;
use super::frame::{Frame, address};
use super::job::{self, Piece};
use super::marks::{self, State};
use super::questions;
use super::say::{self, clock, counted, spaced};
use maud::{Markup, html};
use model::{Finding, Source};
use prove::Proof;

/// Lines of a program that a page shows at most.
const MOST_LINES: u32 = 3000;

/// Characters of a line that a page shows at most.
const LONGEST_LINE: usize = 300;

/// What is shown of a program.
#[derive(Clone, Copy)]
pub struct Program<'a> {
    /// Its files, the main one first.
    pub files: &'a [Source],
    /// Its proof.
    pub proof: &'a Proof,
    /// Whether a person typed it; else the plan wrote it.
    pub typed: bool,
    /// The cycle that is played.
    pub cycle: u32,
    /// The steps of that cycle.
    pub steps: &'a [Step],
}

/// The whole page; without a program where none is written.
pub fn page(
    frame: &Frame<'_>,
    name: &str,
    pieces: &[Piece],
    fields: &Fields,
    program: Option<&Program<'_>>,
) -> String {
    let body = html! {
        (job::head(name, frame.title, pieces, fields))
        main id="content" class="program" {
            p class="warning stale" hidden role="alert" {
                "The job was changed since: this program is of before. " a href="" { "Load it anew" } "."
            }
            @match program {
                Some(program) => {
                    (said(program))
                    (viewer(name, program))
                    div class="beside" {
                        (text(program))
                        (told(program.steps))
                    }
                }
                None => { p class="none" { "No program is written while a stop stands." @if frame.may(Role::Change) { " A program of your own can be proven below." } } }
            }
            @if frame.may(Role::Change) { (own(name, frame.token, program.is_some_and(|program| program.typed))) }
        }
    };
    frame.page(&["job.js", "program.js"], &body)
}

fn said(program: &Program<'_>) -> Markup {
    let proof = program.proof;
    let whose = if program.typed { "Your program" } else { "The written program" };
    html! {
        p class="answer" {
            (marks::mark(State::from(proof.verdict))) " "
            (whose) " makes " (say::parts(proof.parts)) " from a bar in " (clock(proof.time.s())) "; "
            (questions::ended(proof.ended_by)) ". Parts are " (questions::count(proof)) "."
        }
        @if !proof.unproven.is_empty() {
            details class="unproven-list" id="program-open" {
                summary {
                    (marks::shape(State::Unproven)) " " (counted(proof.unproven.len() as u32, "thing")) " not proven, with the reason"
                }
                (questions::open(&proof.unproven))
            }
        }
    }
}

fn text(program: &Program<'_>) -> Markup {
    html! {
        div class="texts" {
            @for (index, source) in program.files.iter().enumerate() {
                section aria-label=(source.name()) {
                    h2 { (source.name()) }
                    @let lines = source.lines();
                    ol class="lines-of" tabindex="0" data-tree=(index) {
                        @for line in 1..=lines.min(MOST_LINES) { (one_line(program, source, index, line)) }
                    }
                    @if lines > MOST_LINES {
                        p { "The first " (MOST_LINES) " of " (lines) " lines are shown." }
                    }
                    @for finding in beyond(program, source) { (found(finding)) }
                }
            }
        }
    }
}

fn one_line(program: &Program<'_>, source: &Source, tree: usize, line: u32) -> Markup {
    let words = shortened(&source.text_of(source.line(line)));
    let here =
        || {
            program.proof.findings.iter().filter(|it| {
                it.place.source.name() == source.name() && it.place.start().line == line
            })
        };
    let worst = here().map(|finding| finding.level).max();
    html! {
        li id={ "L" (tree) "-" (line) } value=(line) class=[worst.map(model::Level::word)] {
            code { (words) }
            @for finding in here() { (found(finding)) }
        }
    }
}

/// A line as far as a page shows it.
fn shortened(line: &str) -> String {
    match line.char_indices().nth(LONGEST_LINE) {
        Some((end, _)) => format!("{} …", &line[..end]),
        None => line.to_owned(),
    }
}

/// Findings on lines that are not shown.
fn beyond<'a>(program: &'a Program<'_>, source: &'a Source) -> impl Iterator<Item = &'a Finding> {
    let here = program.proof.findings.iter().filter(|it| it.place.source.name() == source.name());
    here.filter(|finding| finding.place.start().line > MOST_LINES)
}

fn found(finding: &Finding) -> Markup {
    html! {
        aside class={ "found " (finding.level.word()) } {
            p {
                (marks::mark(State::from(finding.level))) " " a href={ "/finding/" (finding.id) } { (spaced(finding.id)) }
            }
            p { (say::words(&finding.message)) }
            p class="mend" { (say::words(&finding.remedy)) }
            @if let Some(cycle) = finding.cycle {
                p class="where" {
                    "first in cycle " (cycle)
                    @if let Some(at) = finding.at_s { ", " (clock(at)) " after the start" }
                    @if finding.times > 1 { "; in " (finding.times) " cycles" }
                }
            }
        }
    }
}

fn viewer(name: &str, program: &Program<'_>) -> Markup {
    let of = if program.typed { "typed" } else { "written" };
    html! {
        section class="viewer" aria-label="Playback of a cycle" data-playback={ "/playback/" (address(name)) "?of=" (of) "&cycle=" (program.cycle) } {
            form class="cycle" method="get" {
                input type="hidden" name="of" value=(of);
                label for="cycle" { "Cycle" }
                input id="cycle" name="cycle" type="number" min="1" max=(program.proof.parts + 2) value=(program.cycle);
                button type="submit" { "show" }
            }
            canvas id="section" width="640" height="380" role="img" aria-label="Cross-section of bar, chuck and tool" tabindex="0" {}
            div class="transport" {
                button type="button" data-do="back" aria-label="One step back" { "◂" }
                button type="button" data-do="play" aria-pressed="false" { "Play" }
                button type="button" data-do="on" aria-label="One step on" { "▸" }
                label for="pace" { "at" }
                select id="pace" {
                    @for (pace, words) in [("1", "real time"), ("4", "4 × as fast"), ("16", "16 × as fast"), ("0.2", "a fifth as fast")] {
                        option value=(pace) selected[pace == "4"] { (words) }
                    }
                }
                button type="button" data-do="nearer" aria-label="Nearer" { "+" }
                button type="button" data-do="farther" aria-label="Farther" { "−" }
                button type="button" data-do="whole" { "Whole" }
                button type="button" data-do="follow" aria-pressed="false" { "Follow" }
            }
            input id="scrub" type="range" min="0" max="1000" value="0" step="1" aria-label="Time in the cycle";
            (time_bar(program.steps))
        }
    }
}

/// What the cycle spends its time on: a bar, its legend with the sums, and every step in words.
fn time_bar(steps: &[Step]) -> Markup {
    let begin = steps.first().map_or(0.0, |step| step.from_s);
    let end = steps.last().map_or(0.0, |step| step.to_s);
    let whole = (end - begin).max(1e-9);
    let sum = |spent: Spent| {
        steps
            .iter()
            .filter(|step| step.spent == spent)
            .map(|step| step.to_s - step.from_s)
            .sum::<f64>()
    };
    html! {
        svg class="time-bar" width="100%" height="30" role="img" aria-label=(format!("Time bar of a cycle of {:.1} s", whole)) {
            @for (index, step) in steps.iter().enumerate() {
                @if step.to_s > step.from_s {
                    rect class=(step.spent.word()) x=(format!("{:.3}%", 100.0 * (step.from_s - begin) / whole)) y=(height(step.spent))
                        width=(format!("{:.3}%", 100.0 * (step.to_s - step.from_s) / whole)) height=(30.0 - height(step.spent)) data-step=(index) {
                        title { "line " (step.line) ": " (step.words) ", " (format!("{:.2} s", step.to_s - step.from_s)) }
                    }
                }
            }
            line class="playhead" id="playhead" x1="0" x2="0" y1="0" y2="30" {}
        }
        ul class="legend" {
            @for spent in Spent::ALL {
                @if sum(spent) > 0.0 {
                    li {
                        svg width="14" height="14" aria-hidden="true" {
                            rect class=(spent.word()) y=(height(spent) / 2.0) width="14" height=(14.0 - height(spent) / 2.0) {}
                        }
                        " " (spent.word()) " " span class="figures" { (format!("{:.1} s", sum(spent))) }
                    }
                }
            }
        }
    }
}

/// What is seen, in words: the step at hand, and every step.
fn told(steps: &[Step]) -> Markup {
    let begin = steps.first().map_or(0.0, |step| step.from_s);
    html! {
        section class="told-beside" aria-label="What happens" {
        p class="now" id="now" aria-live="off" {
            "The playback needs scripts; the table below says the same in words."
        }
        h2 { "Every step of this cycle" }
        @if steps.len() == MOST_STEPS { p { "The first " (MOST_STEPS) " of a very long cycle." } }
            div class="scroll" tabindex="0" role="region" aria-label="Steps" {
                table {
                    thead {
                        tr {
                            th scope="col" { "Line" }
                            th scope="col" { "At" }
                            th scope="col" { "Takes" }
                            th scope="col" { "What happens" }
                        }
                    }
                    tbody {
                        @for step in steps {
                            tr {
                                td class="figures" { a href={ "#L" (step.tree) "-" (step.line) } { (step.line) } }
                                td class="figures" { (format!("{:.2} s", step.from_s - begin)) }
                                td class="figures" { (format!("{:.2} s", step.to_s - step.from_s)) }
                                td { (step.words) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Where the top of a stretch stands: heights differ, so that nothing hangs on color.
const fn height(spent: Spent) -> f64 {
    match spent {
        Spent::Cut => 0.0,
        Spent::Draw => 4.0,
        Spent::Move => 10.0,
        Spent::Index | Spent::Chuck => 14.0,
        Spent::Spindle => 18.0,
        Spent::Dwell | Spent::Other => 22.0,
    }
}

/// A program of one's own, to be proven.
fn own(name: &str, token: &str, typed: bool) -> Markup {
    html! {
        section class="own" aria-labelledby="own-title" {
            h2 id="own-title" { "Prove a program of your own" }
            p class="more" {
                "Paste it, or drop a file here. It is run for a whole bar on this job's lathe, and kept only until this server ends."
            }
            form method="post" action={ "/prove/" (address(name)) } {
                input type="hidden" name="token" value=(token);
                label for="own-text" { "Text of the program" }
                textarea id="own-text" name="text" rows="8" spellcheck="false" autocomplete="off" {}
                button type="submit" { "Prove it" }
                @if typed { " " a href={ "/program/" (address(name)) } { "Back to the written program" } }
            }
        }
    }
}
