//! The page at one lathe: what is on it, what to do next, and the entries that a person taps there.

use super::floor::{Teller, Times};
use super::frame::{Frame, address};
use super::marks::{self, State as Mark};
use super::say::{parts, sentence};
use maud::{Markup, html};
use model::files::keys::Choice as _;
use model::record::event::StopWhy;
use model::record::{Due, LatheNow, Name, Runs, Tally, visits};

/// What stands at one lathe.
#[derive(Clone, Copy)]
pub struct Shown<'a> {
    /// The lathe.
    pub name: &'a Name,
    /// What the log says of it.
    pub now: &'a LatheNow,
    /// The order of the job on it.
    pub order: Option<&'a Tally>,
    /// Points in time.
    pub times: Times<'a>,
    /// Who tells.
    pub teller: Teller<'a>,
}

/// One entry that was recorded, in words.
#[derive(Debug, Clone)]
pub struct Entry {
    /// Its id.
    pub id: String,
    /// When it was.
    pub when: String,
    /// What it says.
    pub words: String,
    /// Whether it was taken back, or says something else now.
    pub corrected: bool,
}

/// The lathes, one a line.
pub fn list(frame: &Frame<'_>, lathes: &[Shown<'_>]) -> String {
    let body = html! {
        main id="content" class="floor" {
            h1 { "At which lathe?" }
            div data-piece="lathes" {
                @if lathes.is_empty() { p class="none" { "The log knows no lathe yet." } }
                ul class="lathes" {
                    @for lathe in lathes {
                        li {
                            a href={ "/lathe/" (address(lathe.name)) } {
                                strong { (lathe.name) }
                                span { (job(lathe)) }
                                span { (runs(lathe)) }
                            }
                        }
                    }
                }
            }
        }
    };
    frame.page(&["live.js"], &body)
}

/// The page of one lathe; `who` chooses the person, `entries` are the newest, the last first.
pub fn page(frame: &Frame<'_>, lathe: &Shown<'_>, who: &Markup, entries: &[Entry]) -> String {
    let body = html! {
        main id="content" class="floor" {
            h1 { (lathe.name) }
            (who)
            div data-piece="now" { (now(lathe)) }
            section aria-labelledby="next" {
                h2 id="next" { "When must someone come next?" }
                div data-piece="next" { (next(lathe)) }
            }
            section aria-labelledby="last" {
                h2 id="last" { "What was recorded last?" }
                div data-piece="last" { (last(entries)) }
            }
        }
    };
    frame.page(&["lathe.js"], &body)
}

fn job(lathe: &Shown<'_>) -> String {
    lathe.now.job.as_ref().map_or_else(|| "no job recorded".to_owned(), ToString::to_string)
}

/// Whether it runs, since when and why not.
fn runs(lathe: &Shown<'_>) -> String {
    match &lathe.now.runs {
        Runs::NotKnown => "nobody recorded whether it runs".to_owned(),
        Runs::Since(since) => format!("runs since {}", lathe.times.near(*since)),
        Runs::Stopped(since, stopped) => {
            format!("stands since {}: {}", lathe.times.near(*since), meaning(stopped.why))
        }
    }
}

fn meaning(why: StopWhy) -> &'static str {
    StopWhy::words().iter().find(|(_, one, _)| *one == why).map_or("", |(_, _, meaning)| meaning)
}

/// The figures that matter first.
fn now(lathe: &Shown<'_>) -> Markup {
    let bar = lathe.now.bar.as_ref();
    let heat = bar.map(|bar| bar.loaded.heat.as_ref());
    let left = |known: Option<u32>| known.map_or("not known".to_owned(), parts);
    html! {
        p class="answer" { (sentence(&runs(lathe))) }
        dl class="firsts" {
            div { dt { "Job" } dd { (job(lathe)) } }
            div {
                dt { "Heat number" }
                dd {
                    @match heat {
                        None => "no bar in the spindle",
                        Some(None) => { (marks::shape(Mark::Unproven)) " not recorded" }
                        Some(Some(heat)) => (heat),
                    }
                }
            }
            div { dt { "Made of this bar" } dd { (bar.map_or("none".to_owned(), |bar| parts(bar.made))) } }
            div { dt { "Left in the bar" } dd { (left(lathe.now.left_in_bar())) } }
            div { dt { "Left in the order" } dd { (left(lathe.order.and_then(Tally::left))) } }
        }
    }
}

/// What someone must come for, the first first.
fn next(lathe: &Shown<'_>) -> Markup {
    let all = visits(lathe.now, lathe.order);
    html! {
        @if all.is_empty() {
            p { (marks::mark(Mark::Unproven)) " Nothing that the log knows of: the set-up says neither how long a bar lasts nor an edge." }
        }
        ol class="dues" { @for due in &all { li { (due_in_words(due, lathe.times)) } } }
    }
}

/// One reason to come, with parts and time.
pub fn due_in_words(due: &Due, times: Times<'_>) -> String {
    let at =
        |at| if at <= times.now { "now".to_owned() } else { format!("about {}", times.near(at)) };
    let what = sentence(&due.reason.to_string());
    match (due.parts, due.at.map(at)) {
        (Some(0), _) => format!("{what} now"),
        (Some(left), Some(at)) => format!("{what} in {}, {at}", parts(left)),
        (Some(left), None) => format!("{what} in {}", parts(left)),
        (None, Some(at)) => format!("{what}: {at}"),
        (None, None) => what,
    }
}

fn last(entries: &[Entry]) -> Markup {
    html! {
        ol class="entries" reversed {
            @for entry in entries {
                li class=[entry.corrected.then_some("taken-back")] { time { (entry.when) } " " (entry.words) }
            }
        }
    }
}
