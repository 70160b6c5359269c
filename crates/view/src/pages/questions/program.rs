//! Does the program do it?

use super::{Question, Shown, open, said};
use crate::pages::frame::address;
use crate::pages::marks::State;
use crate::pages::say::{clock, counted, parts};
use maud::{Markup, html};
use prove::Proof;
use prove::count::CountKind;
use prove::event::EndedBy;

pub(super) const QUESTION: Question = Question {
    id: "does-it",
    asked: "Does the program do it?",
    blanks: &[
        ("job", "program", "program number"),
        ("job", "count.by", "counted by"),
        ("job", "count.variable", "variable"),
        ("job", "cutting.nose_in", "nose radius in"),
    ],
    answer,
    working,
};

/// What ended the run.
pub(in crate::pages) const fn ended(by: EndedBy) -> &'static str {
    match by {
        EndedBy::Count => "the program ends by itself",
        EndedBy::Bar => "the bar runs out while the program goes on",
        EndedBy::Never => "the program would never end",
        EndedBy::Fault => "the control would stop with an alarm",
    }
}

/// What counts the parts, and what a reset does to it.
pub(in crate::pages) fn count(proof: &Proof) -> String {
    let by = match proof.count.kind {
        CountKind::Variable(number) => format!("counted by #{number}"),
        CountKind::Counter => "counted by the control's part counter".to_owned(),
        CountKind::Repeat => "counted by the repeats of a call".to_owned(),
        CountKind::None => return "counted by nothing".to_owned(),
    };
    if !proof.every_stop_tried {
        return format!("{by}; what a reset does to it is unproven");
    }
    let survives = if proof.count.survives_reset { "outlives" } else { "is lost in" };
    let wrong = match proof.count.worst_error {
        0 => String::new(),
        worst => {
            format!(", and may be wrong by {} after a start from the top", counted(worst, "part"))
        }
    };
    format!("{by}; the count {survives} a reset{wrong}")
}

fn answer(shown: &Shown<'_>) -> Markup {
    let Some(proof) = &shown.answer.proof else {
        return said(State::Stop, "no program is written while a stop stands.");
    };
    let written = if shown.answer.programs.is_empty() {
        "; it is not written while a stop stands"
    } else {
        ""
    };
    html! {
        (said(State::from(proof.verdict), &format!(
            "run for a whole bar it makes {}; {} in {}. Parts are {}{written}.",
            parts(proof.parts), ended(proof.ended_by), clock(proof.time.s()), count(proof),
        )))
        p class="more" {
            a href={ "/program/" (address(shown.name)) } { "See the program, block by block" }
        }
    }
}

fn working(shown: &Shown<'_>) -> Markup {
    html! {
        @if let Some(proof) = &shown.answer.proof {
            p class="more" {
                "The text of the program was run on a virtual lathe, " (proof.blocks) " blocks of it, with the control reading ahead as little and as much as it may"
                @if proof.every_stop_tried { ", and stopped with a reset at each block of an early and of the last cycle: " (proof.entries.len()) " stops." }
                @else { "." }
            }
            @if let Some(remnant) = proof.remnant {
                p class="more" {
                    "Left of the bar by the run: " (remnant.shown(shown.job.file.units)) "; by arithmetic: " (shown.answer.bar.remnant.shown(shown.job.file.units)) "."
                }
            }
            (open(&proof.unproven))
        }
    }
}
