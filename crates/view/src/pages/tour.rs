//! The first way through the pages: a few steps on a job, each one page and one thing to try there.

use super::Role;
use super::frame::{Frame, address};
use super::say::words;
use maud::{Markup, html};

/// One step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Step {
    /// What it is about.
    pub title: &'static str,
    /// What to look at and to try.
    pub words: &'static str,
    /// The first part of the address; the job's name follows it where it ends in `/`.
    pub way: &'static str,
    /// The place on that page; empty for its top.
    pub place: &'static str,
}

/// The steps, in their order.
pub const STEPS: &[Step] = &[
    Step {
        title: "The bar across the top",
        words: "The bar lies here as it lies in the lathe, its free end on the right: every part, every cut of the \
                parting tool, what is left. A flag says where something is to be done. Touch a part to see its cycle.",
        way: "/job/",
        place: "content",
    },
    Step {
        title: "Change a figure",
        words: "Type another bar size or blank length below *Does it fit?* and watch every answer follow. Nothing is \
                saved until you press Enter; Escape takes it back. Undo stands at the top.",
        way: "/job/",
        place: "fit",
    },
    Step {
        title: "What could go wrong",
        words: "What a check found stands here with its mend. What was not checked is said to be *unproven*, with the \
                reason: it is never shown as clear.",
        way: "/job/",
        place: "trouble",
    },
    Step {
        title: "How long you may leave",
        words: "Each limit in its order: the first one ends the time alone. Open *How this is known* to see formula, \
                figures and source.",
        way: "/job/",
        place: "alone",
    },
    Step {
        title: "The part",
        words: "The drawing and its features from the front face back. Choose *Put a feature in here* and pick its kind \
                by its picture: it is drawn while you type.",
        way: "/part/",
        place: "content",
    },
    Step {
        title: "The program, running",
        words: "The text that goes to the lathe, with what was found at the very word. Below it one cycle plays: chuck, \
                bar, gripper, tool. Drop a program of your own here to have it proven.",
        way: "/program/",
        place: "content",
    },
    Step {
        title: "Your own lathe",
        words: "All figures here are invented. Put in those of your lathe, gripper, tools and control from their \
                manuals: an answer is worth no more than they are. The same files can be edited by hand.",
        way: "/given/lathe/",
        place: "content",
    },
];

impl Step {
    /// Its address for a job.
    pub fn address(&self, job: &str) -> String {
        let place = if self.place.is_empty() { String::new() } else { format!("#{}", self.place) };
        let job = if self.way.ends_with('/') { address(job) } else { String::new() };
        format!("{}{job}{place}", self.way)
    }
}

/// The page with all steps; `jobs` are those of the folder, `job` is the one that is shown.
pub fn page(frame: &Frame<'_>, jobs: &[String], job: Option<&str>) -> String {
    let body = html! {
        main id="content" class="tour-page" {
            h1 { "A first way through" }
            @match job {
                Some(job) => (steps(jobs, job)),
                None if frame.may(Role::Change) => (nothing_yet(frame.token)),
                None => p { "The way leads through a job, and this folder has none." },
            }
        }
    };
    frame.page(&[], &body)
}

fn steps(jobs: &[String], job: &str) -> Markup {
    html! {
        p { (STEPS.len()) " steps, each with something to try. Nothing that is tried is saved by itself." }
        form class="to-part" method="get" action="/tour" {
            label for="tour-job" { "On the job" }
            select id="tour-job" name="job" {
                @for one in jobs { option value=(one) selected[one == job] { (one) } }
            }
            button type="submit" { "Take this one" }
        }
        p { button type="button" data-tour="begin" hidden { "Go step by step" } }
        ol class="steps" data-job=(job) {
            @for step in STEPS {
                li {
                    a href=(step.address(job)) { (step.title) }
                    p { (said(step.words)) }
                }
            }
        }
    }
}

fn nothing_yet(token: &str) -> Markup {
    html! {
        p { "The way leads through a job, and this folder has none. Take one that is ready to be looked at: shop, part and all figures are invented." }
        form method="post" action="/new" {
            input type="hidden" name="token" value=(token);
            input type="hidden" name="name" value="First job";
            button type="submit" { "Write a first job here" }
        }
    }
}

/// Words in which what stands between stars is said with weight.
fn said(text: &str) -> Markup {
    html! {
        @for (index, stretch) in text.split('*').enumerate() {
            @if index % 2 == 1 { em { (stretch) } } @else { (words(stretch)) }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::questions::QUESTIONS;

    #[test]
    fn every_step_leads_to_a_place_that_is_there() {
        for step in STEPS {
            let is_there =
                step.place == "content" || QUESTIONS.iter().any(|one| one.id == step.place);
            assert!(is_there, "{}", step.title);
            assert!(step.words.matches('*').count().is_multiple_of(2), "{}", step.title);
        }
        assert_eq!(STEPS[1].address("a b/c"), "/job/a%20b/c#fit");
    }
}
