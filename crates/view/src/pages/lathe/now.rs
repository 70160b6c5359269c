//! What stands at a lathe, and when someone must come.

use super::Shown;
use crate::pages::floor::{Times, lapse};
use crate::pages::marks::{self, State};
use crate::pages::say::{parts, sentence};
use maud::{Markup, html};
use model::files::keys::Choice as _;
use model::record::event::StopWhy;
use model::record::{BarNow, Due, Reason, Runs, Tally, visits};

pub(super) fn job(lathe: &Shown<'_>) -> String {
    lathe.now.job.as_ref().map_or_else(|| "no job recorded".to_owned(), ToString::to_string)
}

/// Whether it runs, since when and why not.
pub(super) fn runs(lathe: &Shown<'_>) -> String {
    let since = |since| {
        let (near, long) = (lathe.times.near(since), lapse(lathe.times.now.since(since)));
        format!("since {near} ({long})")
    };
    match &lathe.now.runs {
        Runs::NotKnown => "nobody recorded whether it runs".to_owned(),
        Runs::Since(time) => format!("runs {}", since(*time)),
        Runs::Stopped(time, stopped) => {
            let block =
                stopped.block.as_ref().map_or(String::new(), |it| format!(", at line {it}"));
            format!("stands {}: {}{block}", since(*time), meaning(stopped.why))
        }
    }
}

/// The same as the class of the line beside it.
pub(super) const fn state(lathe: &Shown<'_>) -> &'static str {
    match &lathe.now.runs {
        Runs::NotKnown => "not-known",
        Runs::Since(_) => "running",
        Runs::Stopped(..) => "standing",
    }
}

fn meaning(why: StopWhy) -> &'static str {
    StopWhy::words().iter().find(|(_, one, _)| *one == why).map_or("", |(_, _, meaning)| meaning)
}

/// The figures that matter first; `reset` is the line of a reset since which the count was not read.
pub(super) fn now(lathe: &Shown<'_>, reset: Option<&str>) -> Markup {
    let bar = lathe.now.bar.as_ref();
    let gives = bar.and_then(|bar| Some(bar.made + lathe.now.left_in_bar()?));
    html! {
        p class={ "state " (state(lathe)) } { (sentence(&runs(lathe))) }
        dl class="firsts" {
            div { dt { "Job" } dd { (job(lathe)) } }
            div { dt { "Bar, heat number" } dd { (of_bar(bar)) } }
            div { dt { "Made of this bar" } dd class="large" { (figure(bar.map(|bar| bar.made))) } }
            div { dt { "Left in the bar" } dd class="large" { (figure(lathe.now.left_in_bar())) } }
            div { dt { "Left in the order" } dd class="large" { (figure(lathe.order.and_then(Tally::left))) } }
        }
        @if let (Some(bar), Some(gives)) = (bar, gives) { (used(bar.made, gives)) }
        @if let Some(due) = away(lathe).first() {
            p class="soonest" { "Next: " (due_in_words(due, lathe.times)) "." }
        }
        @if let Some(block) = reset {
            p {
                (marks::mark(State::Unproven)) " It was reset at line " (block) ", started, and its count was not read since: "
                "count of lathe and log may differ. Read it, and tell it below."
            }
        }
        @if let Some(bar) = bar.filter(|bar| gives.is_some_and(|gives| bar.made > gives)) {
            p class="warning" { (bar.made) " parts of a bar that gives fewer: look at the count and correct it." }
        }
    }
}

fn figure(known: Option<u32>) -> Markup {
    html! {
        @match known {
            Some(figure) => (figure),
            None => { (marks::shape(State::Unproven)) span class="not-known" { " not known" } }
        }
    }
}

fn of_bar(bar: Option<&BarNow>) -> Markup {
    html! {
        @match bar.map(|bar| (&bar.loaded.heat, &bar.loaded.bar)) {
            None => "none recorded",
            Some((None, None)) => { (marks::shape(State::Unproven)) " not recorded" }
            Some((Some(heat), None)) => (heat),
            Some((None, Some(label))) => { "label " (label) ", heat not recorded" }
            Some((Some(heat), Some(label))) => { (heat) ", label " (label) }
        }
    }
}

/// The bar from chuck to free end: what is left of it in parts, the mark where it is now, and what is off.
fn used(made: u32, gives: u32) -> Markup {
    let share = 100.0 * (1.0 - f64::from(made.min(gives)) / f64::from(gives.max(1)));
    let words = format!("{made} of {gives} parts of this bar are off");
    html! {
        svg class="used" width="100%" height="26" role="img" aria-label=(words) {
            rect class="off" x="0" y="4" width="100%" height="18" {}
            rect class="part" x="0" y="4" width=(format!("{share:.2}%")) height="18" {}
            line class="here" x1=(format!("{share:.2}%")) x2=(format!("{share:.2}%")) y1="0" y2="26" {}
        }
    }
}

/// What someone must come for besides a stop, the first first.
fn away(lathe: &Shown<'_>) -> Vec<Due> {
    let mut all = visits(lathe.now, lathe.order);
    all.retain(|due| !matches!(due.reason, Reason::Stands(_)));
    all
}

/// The same as a list.
pub(super) fn next(lathe: &Shown<'_>) -> Markup {
    let all = away(lathe);
    html! {
        @if all.is_empty() {
            p { (marks::mark(State::Unproven)) " The log knows of nothing: no bar, no order and no edge with a number of parts was recorded." }
        } @else {
            ol class="dues" { @for due in &all { li { (due_in_words(due, lathe.times)) } } }
            p class="more" {
                "Reckoned with the plan's time of a part and with what was recorded; it knows nothing of what was not, and is no walk-away time."
            }
        }
    }
}

/// One reason to come, with parts and time.
pub fn due_in_words(due: &Due, times: Times<'_>) -> String {
    let at =
        |at| if at <= times.now { "now".to_owned() } else { format!("about {}", times.near(at)) };
    let what = sentence(&due.reason.to_string());
    match (due.parts, due.at.map(at)) {
        (Some(0), _) => format!("{what}: now"),
        (Some(left), Some(at)) => format!("{what} in {}, {at}", parts(left)),
        (Some(left), None) => format!("{what} in {}", parts(left)),
        (None, Some(at)) => format!("{what}: {at}"),
        (None, None) => what,
    }
}
