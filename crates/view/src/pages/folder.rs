//! The page of a folder: its jobs, and a form for a new one.

use super::Role;
use super::frame::{Frame, address};
use super::marks::{self, State};
use super::say::{sentence, words};
use maud::{Markup, PreEscaped, html};

/// One job of a folder.
#[derive(Debug, Clone)]
pub struct Listed {
    /// Its name as its address has it.
    pub name: String,
    /// What the part is called; none where its file cannot be read.
    pub part: Option<String>,
    /// Its verdict, where it was planned already.
    pub state: Option<State>,
    /// Its bar, where its files can be read.
    pub bar: Option<PreEscaped<String>>,
}

/// The page.
pub fn page(frame: &Frame<'_>, folder: &str, jobs: &[Listed], note: Option<&str>) -> String {
    let body = html! {
        main id="content" class="folder" {
            h1 { "Jobs in " (folder) }
            @if let Some(note) = note { p class="warning" role="alert" { (note) } }
            @if jobs.is_empty() {
                p {
                    "There is no job here yet."
                    @if frame.may(Role::Change) { " Give the first one a name below: a folder is written with every file that a job needs, ready to be changed." }
                }
            }
            ul class="jobs" { @for job in jobs { (listed(job)) } }
            @if frame.may(Role::Change) {
                (new_job(frame.token))
                p { a href="/devices" { "Devices" } " that may read these pages" }
            }
            p class="more" { "New here? " a href="/tour" { "Take the first way through" } ": a few steps on one of these jobs." }
        }
    };
    let scripts: &[&str] = if frame.may(Role::Change) { &["folder.js"] } else { &[] };
    frame.page(scripts, &body)
}

fn listed(job: &Listed) -> Markup {
    html! {
        li {
            a href={ "/job/" (address(&job.name)) } { (job.part.as_deref().unwrap_or(&job.name)) }
            span class="where" { (job.name) ".job.toml" }
            @if let Some(state) = job.state { (marks::mark(state)) }
            @if let Some(bar) = &job.bar { (bar) }
            @if job.bar.is_none() { (marks::mark(State::Stop)) span { "its files cannot be used as they stand" } }
        }
    }
}

fn new_job(token: &str) -> Markup {
    html! {
        section class="new-job" aria-labelledby="new-job" {
            h2 id="new-job" { "A new job" }
            form method="post" action="/new" {
                input type="hidden" name="token" value=(token);
                label for="new-name" { "Name of the part" }
                input id="new-name" class="words" name="name" required maxlength="60"
                    autocomplete="off" size="24";
                button type="submit" { "Write its files" }
                details class="from-drawing" id="from-drawing" {
                    summary { "With the part from a drawing (DXF or SVG)" }
                    p class="more" {
                        "Drop the file anywhere on this page, or choose it. What the drawing leaves open is asked. "
                        "Tolerances, roughness and threads stand in no outline: put them in afterwards."
                    }
                    label for="drawing-file" { "Drawing" }
                    input id="drawing-file" type="file" accept=".dxf,.svg";
                    label for="drawing-name" { "its name" }
                    input id="drawing-name" name="drawing-name" autocomplete="off" size="18";
                    label for="drawing-text" { "its text" }
                    textarea id="drawing-text" name="drawing" rows="3" cols="40" spellcheck="false" {}
                }
            }
            p class="more" {
                "Letters, digits, spaces, - and _. The figures in the new files are invented: put in "
                "those of your lathe, gripper and drawing."
            }
        }
    }
}

/// What a drawing leaves open before a job can be made of it.
#[derive(Debug, Clone, Copy)]
pub struct Open<'a> {
    /// The name of the job that is to be.
    pub job: &'a str,
    /// The name of the drawing's file.
    pub name: &'a str,
    /// Its text.
    pub text: &'a str,
    /// What was said of it so far.
    pub said: &'a str,
    /// What is not clear.
    pub about: &'a str,
    /// The answers: what to say, and what it means.
    pub answers: &'a [(String, String)],
}

/// The page that asks it: one answer is one button.
pub fn asked(frame: &Frame<'_>, open: &Open<'_>) -> String {
    let body = html! {
        main id="content" class="folder" {
            h1 { (frame.title) }
            p class="answer" { (open.name) ": " (open.about) "." }
            ul class="jobs" {
                @for (say, means) in open.answers {
                    li {
                        form method="post" action="/new" {
                            input type="hidden" name="token" value=(frame.token);
                            input type="hidden" name="name" value=(open.job);
                            input type="hidden" name="drawing-name" value=(open.name);
                            input type="hidden" name="said" value={ (open.said) " " (say) };
                            textarea name="drawing" hidden { "\n" (open.text) }
                            button type="submit" { (sentence(&say.replace("--", ""))) ": " (means) }
                        }
                    }
                }
            }
            p { a href="/" { "To the jobs" } }
        }
    };
    frame.page(&[], &body)
}

/// The page of one finding.
pub fn finding(frame: &Frame<'_>, level: model::Level, sections: &[(&str, String)]) -> String {
    let body = html! {
        main id="content" class="folder found-page" {
            h1 { (frame.title) }
            p { "At worst: " (marks::mark(State::from(level))) }
            @for (heading, text) in sections { section { h2 { (heading) } p { (words(text)) } } }
        }
    };
    frame.page(&[], &body)
}

/// A page that says why a request was not done.
pub fn refused(frame: &Frame<'_>, message: &str, help: &str) -> String {
    let body = html! {
        main id="content" class="folder" {
            h1 { (frame.title) }
            p class="warning" { (message) }
            @if !help.is_empty() { p { (help) } }
            p { a href="/" { "To the jobs" } }
        }
    };
    frame.page(&[], &body)
}
