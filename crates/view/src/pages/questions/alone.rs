//! How long may I leave?

use super::{Question, Shown, said};
use crate::pages::marks::State;
use crate::pages::say::{clock, counted, sentence};
use maud::{Markup, html};
use model::finding::Verdict;

pub(super) const QUESTION: Question = Question {
    id: "alone",
    asked: "How long may I leave?",
    blanks: &[
        ("job", "walk_away.never_longer", "never longer than"),
        ("job", "walk_away.back_in", "someone is back in"),
        ("lathe", "catching.parts", "catcher holds"),
        ("lathe", "catching.chips", "room for chips"),
        ("tools", "station[turning].edge_life", "turning: edge life"),
        ("tools", "station[parting].edge_life", "parting: edge life"),
    ],
    answer,
    working,
};

fn answer(shown: &Shown<'_>) -> Markup {
    let answer = shown.answer;
    let Some(first) = answer.walk_away.first() else {
        return said(State::Unproven, "no limit is known.");
    };
    let open = answer.unproven.iter().filter(|one| one.what.starts_with("walk-away time: "));
    let open: Vec<&str> =
        open.filter_map(|one| one.what.strip_prefix("walk-away time: ")).collect();
    let stands = answer.verdict == Verdict::Stop;
    let but = if stands { "not at all while a stop stands. Without it, " } else { "" };
    html! {
        (said(State::from(answer.verdict), &format!(
            "{but}{} from the start of a new bar, that is {}: then {}.", clock(first.at.s()), counted(first.parts, "part"), first.name
        )))
        @if let Some(back) = &answer.walk_away.back {
            p class="more" {
                "After " (clock(back.at.s())) ": "
                @if back.reached { (counted(back.made, "part")) " are made by then." }
                @else { (back.made) " of the " (back.wanted) " parts are made that there is time for." }
            }
        }
        @if !open.is_empty() {
            p class="more" {
                (crate::pages::marks::mark(State::Unproven)) " not among the limits, since nothing is given: " (open.join("; ")) "."
            }
        }
        (ladder(shown))
        (learned(shown))
    }
}

/// What of it the shop's own records taught.
fn learned(shown: &Shown<'_>) -> Markup {
    html! {
        @for told in &shown.answer.learned {
            p class="more" {
                @match &told.not_used {
                    None => { "Learned from the log, and used: " (told.words) "." }
                    Some(why) => {
                        (crate::pages::marks::mark(State::Unproven)) " Learned from the log, but not used: " (why) ". It said: " (told.words) "."
                    }
                }
            }
        }
    }
}

/// Every limit on one line of time, the first on top.
fn ladder(shown: &Shown<'_>) -> Markup {
    let limits = &shown.answer.walk_away.limits;
    let first = limits.first().map_or(1.0, |limit| limit.at.s());
    // What comes long after the first is all the same to who leaves now.
    let reach = 4.0 * first.max(1.0);
    html! {
        ol class="ladder" {
            @for limit in limits {
                li {
                    svg width="100%" height="14" aria-hidden="true" {
                        @let share = 100.0 * limit.at.s() / reach;
                        @if share > 100.0 {
                            // Broken off, as a drawing breaks off what goes on.
                            rect class="rung" x="0" y="4" height="6" width="94%" {}
                            rect class="rung" x="95%" y="4" height="6" width="2%" {}
                            rect class="rung" x="98%" y="4" height="6" width="1%" {}
                        } @else {
                            rect class="rung" x="0" y="4" height="6" width=(format!("{share:.2}%")) {}
                        }
                    }
                    b { (clock(limit.at.s())) } " " span class="figures" { (counted(limit.parts, "part")) } " " (sentence(&limit.name))
                }
            }
        }
    }
}

fn working(shown: &Shown<'_>) -> Markup {
    let times = &shown.answer.times;
    html! {
        p class="more" {
            "The first of all limits, each as a time and a part number. The first part of a bar and each further cycle of "
            (format!("{:.1} s", times.cycle.s())) " are timed move by move from the program's own moves, with the lathe's rapids and accelerations, spindle run-up, turret and chuck."
        }
        @for edge in &shown.answer.edges {
            p class="more" {
                "Edge of station " (edge.station) ", " (edge.name) ": "
                @match &edge.parts {
                    Ok(parts) => { (parts.nominal) " parts likely; nine of ten last " (parts.low) " to " (parts.high) ". It is changed at the low end." }
                    Err(lack) => { "its life is not known: " (lack) }
                }
            }
        }
    }
}
