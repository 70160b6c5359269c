//! The questions of a job page: what is asked, the blanks that bear on it, its answer, its working.

mod alone;
mod cost;
mod cuts;
mod fit;
mod load;
mod many;
mod program;
mod trouble;

pub(super) use program::{count, ended};

use super::marks::{self, State};
use super::price::Price;
use super::say::{sentence, spaced, words};
use maud::{Markup, html};
use model::Unproven;
use model::files::job::Job;
use plan::Answer;
use plan::alternatives::Alternative;

/// What an answer is shown from.
#[derive(Clone, Copy)]
pub struct Shown<'a> {
    /// The job as its address has it.
    pub name: &'a str,
    /// The job.
    pub job: &'a Job,
    /// Its answer.
    pub answer: &'a Answer,
    /// The parts to an advance compared.
    pub advances: &'a [Alternative],
    /// What the order costs.
    pub price: &'a Price,
    /// Whether this program sets papers.
    pub papers: bool,
}

/// One question.
pub struct Question {
    /// Its id on the page.
    pub id: &'static str,
    /// What is asked.
    pub asked: &'static str,
    /// File, key and name of the blanks that bear on it.
    pub blanks: &'static [(&'static str, &'static str, &'static str)],
    /// The answer.
    pub answer: fn(&Shown<'_>) -> Markup,
    /// How it is known.
    pub working: fn(&Shown<'_>) -> Markup,
}

/// The questions, in the order in which a person asks them.
pub const QUESTIONS: [Question; 8] = [
    fit::QUESTION,
    many::QUESTION,
    trouble::QUESTION,
    cuts::QUESTION,
    program::QUESTION,
    alone::QUESTION,
    cost::QUESTION,
    load::QUESTION,
];

/// The answer as one sentence behind its mark.
pub(super) fn said(state: State, words: &str) -> Markup {
    html! { p class="answer" { (marks::mark(state)) " " (sentence(words)) } }
}

/// The state over the checks of these ids.
fn over(answer: &Answer, ids: &[&str]) -> State {
    let found = answer.checks.iter().filter(|line| ids.contains(&line.id));
    State::from(found.filter_map(|line| line.level).max())
}

/// The messages of the checks of these ids that are broken.
fn broken<'a>(answer: &'a Answer, ids: &'a [&str]) -> impl Iterator<Item = &'a str> {
    let lines = answer.checks.iter().filter(|line| ids.contains(&line.id) && line.level.is_some());
    lines.map(|line| line.message.as_str())
}

/// Broken checks as sentences.
fn troubles(answer: &Answer, ids: &[&str]) -> Markup {
    html! { @for message in broken(answer, ids) { p class="more" { (words(message)) } } }
}

/// What is open, grouped by its reason.
pub(super) fn open(unproven: &[Unproven]) -> Markup {
    let mut reasons: Vec<&str> = Vec::new();
    for one in unproven {
        if !reasons.contains(&one.why.as_str()) {
            reasons.push(&one.why);
        }
    }
    html! {
        @for reason in reasons {
            div class="open" {
                p { (marks::mark(State::Unproven)) " because " (words(reason)) ":" }
                ul {
                    @for one in unproven.iter().filter(|one| one.why == reason) {
                        li { (words(&sentence(&one.what))) }
                    }
                }
            }
        }
    }
}

/// A finding's name as words, leading to its page.
fn named(id: &str) -> Markup {
    html! { a href={ "/finding/" (id) } { (spaced(id)) } }
}
