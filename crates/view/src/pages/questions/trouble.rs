//! What could throw it or stop it?

use super::{Question, Shown, named, open, said};
use crate::pages::marks::{self, State};
use crate::pages::say::{counted, words};
use crate::pages::working::checks;
use maud::{Markup, html};
use model::Level;

const CHECKS: [&str; 18] = [
    "bar-swings-out",
    "speed-limit-not-stated",
    "grip-too-weak",
    "bar-turns-in-jaws",
    "bar-slides-in-jaws",
    "bar-tips-out",
    "jaws-lift",
    "speed-takes-grip",
    "last-grip-weak",
    "gripper-slips",
    "bar-too-heavy",
    "face-stock-thin",
    "advance-not-writable",
    "repeats-not-writable",
    "counter-not-stepped",
    "stick-out-long",
    "chips-fill-room",
    "chips-burn",
];

pub(super) const QUESTION: Question = Question {
    id: "trouble",
    asked: "What could throw it or stop it?",
    blanks: &[
        ("job", "cutting.max_speed", "highest speed for this bar"),
        ("lathe", "grip.force", "grip at rest"),
        ("lathe", "chuck.max_speed", "chuck's highest speed"),
        ("gripper", "fingers", "gripper's fingers"),
        ("gripper", "bias", "pulls short by"),
        ("gripper", "deviation", "pull scatters by"),
        ("job", "bar.condition.bow", "bow of the bar"),
        ("job", "bar.condition.over", "over a length of"),
    ],
    answer,
    working,
};

fn answer(shown: &Shown<'_>) -> Markup {
    let answer = shown.answer;
    let count =
        |level| answer.findings.iter().filter(|finding| finding.level == level).count() as u32;
    let told = match (count(Level::Stop), count(Level::Caution), count(Level::Note)) {
        (0, 0, 0) => "nothing was found in what was checked.".to_owned(),
        (0, 0, notes) => {
            format!("nothing of weight was found in what was checked; {}.", counted(notes, "note"))
        }
        (0, cautions, _) => format!("nothing that stops it, but {}.", counted(cautions, "caution")),
        (stops, cautions, _) => {
            let more = if cautions == 0 {
                String::new()
            } else {
                format!(" and {}", counted(cautions, "caution"))
            };
            let is = if stops == 1 { "stop is" } else { "stops are" };
            format!(
                "{}{more}: no program is written until the {is} mended.",
                counted(stops, "stop")
            )
        }
    };
    let mut findings: Vec<_> = answer.findings.iter().collect();
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.level));
    html! {
        (said(State::from(answer.verdict), &told))
        ul class="findings" {
            @for finding in findings {
                @let at = finding.place.start();
                li class=(finding.level.word()) {
                    p { (marks::mark(State::from(finding.level))) " " (named(finding.id)) }
                    p { (words(&finding.message)) }
                    p class="mend" { (words(&finding.remedy)) }
                    p class="where" {
                        (finding.place.source.name()) " line " (at.line) @if let Some(cycle) = finding.cycle { ", cycle " (cycle) }
                    }
                }
            }
        }
        div id="unproven" {
            @if !answer.unproven.is_empty() {
                details class="unproven-list" id="trouble-open" {
                    summary {
                        (marks::shape(State::Unproven)) " " (counted(answer.unproven.len() as u32, "thing")) " not proven, with the reason"
                    }
                    (open(&answer.unproven))
                }
            }
        }
    }
}

fn working(shown: &Shown<'_>) -> Markup {
    html! {
        p class="more" {
            "Force, friction and wear scatter: each figure is a range from its favorable to its unfavorable end. The likely figure beyond its limit is a stop, an end of the range beyond it a caution."
        }
        (checks(QUESTION.asked, &shown.answer.checks, &CHECKS, shown.job.file.units))
        @if let Some(limit) = shown.answer.swing.as_ref().and_then(calc::whirl::Curve::worst) {
            p class="more" {
                "The bar may turn slowest at part " (limit.part) ": "
                (format!("{:.0} rev/min", limit.allowed.low.rpm())) ", with "
                (limit.behind.shown(shown.job.file.units)) " of bar behind the jaw face."
            }
        }
    }
}
