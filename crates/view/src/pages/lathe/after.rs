//! What to do after a stop: what holds the bar, what a start from the top would do, what to do instead.

use super::AtLathe;
use crate::pages::marks::{self, State};
use crate::pages::say::{counted, sentence, spaced};
use maud::{Markup, html};
use model::record::Runs;
use prove::reentry::Entry;

/// What is known about a stop.
#[derive(Debug, Clone)]
pub enum After<'a> {
    /// It does not stand.
    Runs,
    /// Why nothing is known.
    Unproven(String),
    /// At which line it stood was not recorded.
    WhichLine,
    /// No cycle stops at that line.
    NoSuchLine(String),
    /// What the proof says of this stop.
    Known(Known<'a>),
}

/// What the proof of the program says of a stop.
#[derive(Debug, Clone)]
pub struct Known<'a> {
    /// The line that was not done.
    pub block: String,
    /// The stop.
    pub entry: &'a Entry,
    /// Whether the program is another than at the set-up.
    pub changed: bool,
    /// Things that the proof of the program could not check.
    pub open: usize,
}

pub(super) fn after(at: &AtLathe<'_>) -> Markup {
    html! {
        @match at.after {
            After::Runs => {
                p {
                    @match at.shown.now.runs {
                        Runs::NotKnown => "Say whether it runs or stands, and this page says what comes next.",
                        _ => "Nothing: it runs. After a stop with reset, say at which line of the program it stood.",
                    }
                }
            }
            After::Unproven(why) => {
                p { (marks::mark(State::Unproven)) " What a start from the top would do is not known: " (why) "." }
                (by_hand())
            }
            After::WhichLine => {
                p { "At which line of the program did it stand when it was reset: the first that was not done?" }
                (line(at))
                (by_hand())
            }
            After::NoSuchLine(block) => {
                p { (marks::mark(State::Unproven)) " No cycle of the program stops at line " (block) "." }
                (line(at))
                (by_hand())
            }
            After::Known(known) => { (said(at, known)) }
        }
    }
}

/// The stop told again with its line.
fn line(at: &AtLathe<'_>) -> Markup {
    let hidden = at.shown.teller.hidden("stopped", &[("lathe", at.shown.name)]);
    html! {
        form class="line" method="post" action="/record" data-says="the line of the stop" {
            (hidden)
            span class="blank" {
                label for="after-line" { "Line that was not done" }
                span class="entry" { input id="after-line" name="block" required maxlength="100" inputmode="numeric" autocomplete="off" size="8"; }
                small class="limits" { "34, or O2081.nc:7 in another file" }
            }
            button type="submit" { "What to do?" }
        }
    }
}

fn by_hand() -> Markup {
    html! {
        p class="warning" {
            "See first what holds the bar. Do not start from the top before you know the count, and where the bar's face stands."
        }
    }
}

fn said(at: &AtLathe<'_>, known: &Known<'_>) -> Markup {
    let entry = known.entry;
    let (holds, safe) = match (entry.chuck_open, entry.gripped) {
        (false, false) => ("The chuck holds the bar.", true),
        (false, true) => ("Chuck and gripper hold the bar.", true),
        (true, true) => ("Only the gripper holds the bar.", false),
        (true, false) => ("Nothing holds the bar.", false),
    };
    let made = at.shown.now.bar.as_ref().map_or("the parts made of this bar".to_owned(), |bar| {
        format!("the parts that are off this bar (the log has {})", bar.made)
    });
    html! {
        p class="more" { "Stopped at line " (known.block) " and reset:" }
        @if known.changed {
            p class="warning" { "The program has changed since the set-up. What stands here is of the program as it is now." }
        }
        p class={ "holds" (if safe { "" } else { " danger" }) } {
            @if !safe { (marks::mark(State::Stop)) " " } (holds)
        }
        p { strong { "A start from the top: " } (from_the_top(entry)) }
        p { strong { "Instead: " } (entry.advice_counting(&made)) }
        @if known.open > 0 {
            p { (marks::mark(State::Unproven)) " The proof of this program leaves " (counted(known.open as u32, "thing")) " open." }
        }
        p class="more" { "The person on site decides; guards shut, first block by block with reduced rapids." }
        details id="other-line" { summary { "It stood at another line" } (line(at)) }
    }
}

fn from_the_top(entry: &Entry) -> Markup {
    let wrong = u32::try_from(entry.count_error.unsigned_abs()).unwrap_or(u32::MAX);
    let count = match entry.count_error {
        0 => "the count stays right".to_owned(),
        1.. => format!("the count is wrong then: {} not counted", counted(wrong, "part")),
        _ => format!("the count is wrong then: {} too many", counted(wrong, "part")),
    };
    html! {
        @if entry.troubles.is_empty() { "no trouble was found; " (count) "." }
        @else {
            (marks::mark(State::Stop)) " "
            @for (index, trouble) in entry.troubles.iter().enumerate() {
                @if index > 0 { ", " }
                a href={ "/finding/" (trouble) } { (sentence(&spaced(trouble))) }
            }
            "; " (count) "."
        }
    }
}
