//! The head of every page of a job: its name, the verdict, the bar ruler, the figures that matter
//! first, and what stands in the way of an answer.

use super::field::Fields;
use super::frame::address;
use super::marks::{self, State};
use super::say::{clock, counted, words};
use maud::{Markup, html};
use model::Diagnostic;
use model::files::job::Job;
use model::finding::Verdict;
use plan::Answer;

/// The name with undo and redo; what can be undone is named on the button.
pub fn title(name: &str, title: &str, fields: &Fields) -> Markup {
    let turn = |way: &str, label: &str, key: &str| {
        html! {
            form class="turn" method="post" action={ "/" (way) "/" (address(name)) } {
                input type="hidden" name="token" value=(fields.token);
                button type="submit" data-turn=(way) aria-keyshortcuts=(key) { (label) }
            }
        }
    };
    html! {
        div class="title" {
            h1 { (title) }
            @if fields.open {
                div class="turns" {
                    span class="trial-word" hidden { "trial, not saved" }
                    (turn("undo", "Undo", "Control+Z"))
                    (turn("redo", "Redo", "Control+Y"))
                }
            }
        }
        div class="news" role="status" aria-live="polite" {}
    }
}

/// The verdict and the figures that matter first.
pub fn figures(job: &Job, answer: &Answer) -> Markup {
    let bar = &answer.bar;
    let first = answer.walk_away.first();
    html! {
        dl class="firsts" {
            @if let Some(first) = first {
                div class="leave" {
                    @if answer.verdict == Verdict::Stop { dt { "You may leave, while a stop stands" } dd { "not at all" } }
                    @else { dt { "You may leave for" } dd { (clock(first.at.s())) } }
                }
            }
            div class="verdict" {
                dt { "In what was checked" }
                dd { (marks::mark(State::from(answer.verdict))) }
            }
            div {
                dt { "Not proven" }
                dd {
                    @if answer.unproven.is_empty() { "nothing left open" }
                    @else { a href="#unproven" { (marks::shape(State::Unproven)) span { (counted(answer.unproven.len() as u32, "thing")) } } }
                }
            }
            div { dt { "From a bar" } dd { (counted(bar.parts_per_bar, "part")) } }
            div { dt { "Left" } dd { (bar.remnant.shown(job.file.units)) } }
            div { dt { "A cycle" } dd { (format!("{:.1} s", answer.times.cycle.s())) } }
            div { dt { "One bar" } dd { (clock(answer.times.bar.s())) } }
        }
    }
}

/// Why there is no answer: each message with its line and the mend.
pub fn trouble(diagnostics: &[Diagnostic]) -> Markup {
    html! {
        @if !diagnostics.is_empty() {
            section class="trouble" aria-label="What stands in the way" {
                h2 { (marks::shape(State::Stop)) " The files cannot be used as they stand" }
                ul {
                    @for one in diagnostics {
                        @let at = one.source.locate(one.span.start);
                        li {
                            p {
                                (words(&one.message)) @if !one.label.is_empty() { " (" (one.label) ")" }
                            }
                            pre { (one.source.name()) ":" (at.line) "\n" (one.source.text_of(one.source.line(at.line))) }
                            @if !one.help.is_empty() { p { (words(&one.help)) } }
                        }
                    }
                }
            }
        }
    }
}
