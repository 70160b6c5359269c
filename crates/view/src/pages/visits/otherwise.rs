//! What if: blanks that can be tried, and the figures with them beside those without.

use super::super::attended::Floor;
use super::super::frame::address;
use super::scatter::Runs;
use super::{Changed, Shown};
use maud::{Markup, html};
use visits::timetable::Doing;
use visits::words;

/// What was asked of the page; a text that is left out is not asked.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Asked {
    /// What the shop's clock shows when the timetable begins; left out, it goes on from now on by itself.
    pub from: Option<String>,
    /// What it shows when the timetable begins that is shown.
    pub begins: Option<String>,
    /// How many days it reaches.
    pub days: u32,
    /// One more person, with the hours of this name.
    pub one_more: Option<String>,
    /// This person away.
    pub without: Option<String>,
    /// A lathe, and the length of other bars for it.
    pub bar: Option<(String, String)>,
    /// Hours, and other spans for them.
    pub hours: Option<(String, String)>,
    /// Another start.
    pub start: Option<String>,
}

impl Asked {
    /// Whether anything is to be otherwise.
    pub const fn is_otherwise(&self) -> bool {
        self.one_more.is_some()
            || self.without.is_some()
            || self.bar.is_some()
            || self.hours.is_some()
            || self.start.is_some()
    }

    /// It as the part of an address behind its `?`, always of the timetable that is shown.
    pub fn address(&self) -> String {
        let ((lathe, bar), (hours, spans)) = (self.bar.clone().unzip(), self.hours.clone().unzip());
        let all = [
            ("from", self.begins.clone()),
            ("days", Some(self.days.to_string())),
            ("one_more", self.one_more.clone()),
            ("without", self.without.clone()),
            ("lathe", lathe),
            ("bar", bar),
            ("hours", hours),
            ("spans", spans),
            ("start", self.start.clone()),
        ];
        let said = all.iter().filter_map(|(key, value)| {
            value.as_ref().map(|value| format!("{key}={}", address(value)))
        });
        said.collect::<Vec<_>>().join("&")
    }
}

/// What blanks offer.
#[derive(Debug, Clone, Default)]
pub struct Offered<'a> {
    /// The names of the shop's hours, each with its spans.
    pub hours: Vec<(&'a str, String)>,
    /// Its people.
    pub people: Vec<&'a str>,
    /// Lathes whose job can be planned with another bar, each with the length of its bar.
    pub bars: Vec<(&'a str, String)>,
}

/// The form that every blank of the page belongs to.
const FORM: &str = "ask";

fn blank(name: &str, label: &str, limits: &str, entry: &Markup) -> Markup {
    html! {
        div class="blank" {
            label for={ "ask-" (name) } { (label) }
            span class="entry" { (entry) }
            @if !limits.is_empty() { small class="limits" id={ "ask-" (name) "-about" } { (limits) } }
        }
    }
}

fn moment(name: &str, value: Option<&String>) -> Markup {
    html! {
        input type="datetime-local" form=(FORM) id={ "ask-" (name) } name=(name) value=(value.map_or("", String::as_str));
    }
}

/// From when on, and for how long.
pub(super) fn begins(asked: &Asked) -> Markup {
    let days = html! {
        select form=(FORM) id="ask-days" name="days" {
            @for days in 1..=7_u32 { option value=(days) selected[days == asked.days] { (days) } }
        }
    };
    html! {
        form id=(FORM) method="get" action="/visits" autocomplete="off" {}
        div class="blanks" {
            (blank("from", "The timetable begins", "what the shop's clock shows; left out, as it goes on", &moment("from", asked.from.as_ref())))
            (blank("days", "Days", "1 to 7", &days))
        }
    }
}

fn select<'o>(
    name: &str,
    nothing: &str,
    options: impl Iterator<Item = (&'o str, String)>,
    chosen: Option<&str>,
) -> Markup {
    html! {
        select form=(FORM) id={ "ask-" (name) } name=(name) {
            option value="" { (nothing) }
            @for (value, words) in options { option value=(value) selected[chosen == Some(value)] { (words) } }
        }
    }
}

fn text(name: &str, value: Option<&str>, hint: &str) -> Markup {
    html! {
        input form=(FORM) id={ "ask-" (name) } name=(name) value=(value.unwrap_or("")) placeholder=(hint) size="12"
            aria-describedby={ "ask-" (name) "-about" };
    }
}

/// The blanks of what could be otherwise.
pub(super) fn blanks(asked: &Asked, offered: &Offered<'_>) -> Markup {
    let hours = || offered.hours.iter().map(|(name, spans)| (*name, format!("{name}: {spans}")));
    let people = offered.people.iter().map(|name| (*name, (*name).to_owned()));
    let bars = offered.bars.iter().map(|(name, bar)| (*name, format!("{name}, now {bar}")));
    let (lathe, bar) =
        asked.bar.as_ref().map(|(lathe, bar)| (lathe.as_str(), bar.as_str())).unzip();
    let (of, spans) = asked.hours.as_ref().map(|(of, spans)| (of.as_str(), spans.as_str())).unzip();
    html! {
        div class="blanks otherwise" {
            (blank("one_more", "One more person", "with these hours, for every lathe", &select("one_more", "nobody", hours(), asked.one_more.as_deref())))
            (blank("without", "Without", "", &select("without", "nobody", people, asked.without.as_deref())))
            (blank("lathe", "Other bars at", "only where a job says what a bar gives", &select("lathe", "no lathe", bars, lathe)))
            (blank("bar", "Their length", "with its unit, as 1200 mm or 48 in", &text("bar", bar, "")))
            (blank("hours", "Other hours for", "", &select("hours", "none", hours(), of)))
            (blank("spans", "Those hours", "as 06:00-12:00, 12:30-14:30", &text("spans", spans, "")))
            (blank("start", "Another start", "the same shop from then on", &moment("start", asked.start.as_ref())))
            div class="blank try" { button type="submit" form=(FORM) { "Try it" } }
        }
        p class="more" { "Nothing is saved: the shop file stays as it is. " a href="/visits" { "Take it all back" } }
    }
}

/// What is lost less or more.
fn difference(before: i64, after: i64) -> String {
    match before - after {
        0 => "just as much".to_owned(),
        less @ 1.. => format!("{} less", words::span(less)),
        more => format!("{} more", words::span(-more)),
    }
}

/// The figures with it beside those without.
pub(super) fn beside(shown: &Shown<'_>) -> Markup {
    let (what, changed) = match &shown.changed {
        Changed::There(what, changed) => (what, changed),
        Changed::Not(why) => return why.said("/visits"),
        Changed::No => {
            return html! { p { "Fill in a blank: its figures stand beside those of now." } };
        }
    };
    let (is, would) = (shown.floor.timetable, changed.timetable);
    let can = (is.lost - is.least_lost).max(would.lost - would.least_lost);
    html! {
        p class="answer" {
            "With " strong { (what) } " spindles lose " strong { (difference(is.lost, would.lost)) } " by these timetables."
        }
        @if (is.lost - would.lost).abs() < can {
            p { "Each of them could still be better by up to " (words::span(can)) ": they do not tell which way is better." }
        }
        div class="scroll" tabindex="0" role="region" aria-label="With it and without" {
            table {
                thead { tr { th scope="col" { "Figure" } th scope="col" { "as it is" } th scope="col" { "with it" } th scope="col" { "difference" } } }
                tbody {
                    @for [name, is, would, difference] in rows(shown, changed) {
                        tr {
                            th scope="row" { (name) }
                            td class="figures" { (is) }
                            td class="figures" { (would) }
                            td class="figures" { (difference) }
                        }
                    }
                }
            }
        }
    }
}

/// Name, as it is, with it, and the difference where one is told.
fn rows(shown: &Shown<'_>, changed: &Floor<'_>) -> Vec<[String; 4]> {
    let (floor, none) = (&shown.floor, String::new);
    let (is, would) = (floor.timetable, changed.timetable);
    let begins = |floor: &Floor<'_>| floor.from.replace('T', " ");
    let span = |name: &str, is: i64, would: i64| {
        [name.to_owned(), words::span(is), words::span(would), difference(is, would)]
    };
    let least = [words::span(is.least_lost), words::span(would.least_lost)];
    let visits = [is.visits.len().to_string(), would.visits.len().to_string()];
    let told = |name: &str, [is, would]: [String; 2]| [name.to_owned(), is, would, none()];
    let mut rows = vec![
        told("Begins", [begins(floor), begins(changed)]),
        span("Spindles lose", is.lost, would.lost),
        told("None loses less than", least),
        told("Visits", visits),
    ];
    for (lathe, name) in floor.setting.lathes.iter().map(|lathe| &lathe.name).enumerate() {
        let runs = |floor: &Floor<'_>| floor.timetable.time_of(lathe, |doing| doing == Doing::Runs);
        rows.push(span(&format!("{name} runs"), runs(floor), runs(changed)));
    }
    for (name, is, would) in busy(floor, changed) {
        rows.push(told(&format!("{name} walks and attends"), [is, would]));
    }
    if let [Runs::There(is), Runs::There(would)] = &shown.runs {
        let (is, would) = (is.figures().running.mean, would.figures().running.mean);
        let more = format!("{:+.1} %", 100.0 * (would - is));
        rows.push(["Run in simulated runs".to_owned(), percent(is), percent(would), more]);
    }
    rows
}

pub(super) fn percent(share: f64) -> String {
    format!("{:.1} %", 100.0 * share)
}

/// Everybody of either shop, with the time that each walks and attends in both.
fn busy(is: &Floor<'_>, would: &Floor<'_>) -> Vec<(String, String, String)> {
    let names = |floor: &Floor<'_>| -> Vec<String> {
        floor.setting.people.iter().map(|crew| crew.person.name.clone()).collect()
    };
    let mut all = names(is);
    for name in names(would) {
        if !all.contains(&name) {
            all.push(name);
        }
    }
    let time = |floor: &Floor<'_>, name: &str| {
        let person = floor.setting.people.iter().position(|crew| crew.person.name == name);
        person.map_or_else(
            || "not there".to_owned(),
            |person| words::span(floor.timetable.busy(person)),
        )
    };
    all.into_iter()
        .map(|name| {
            let (is, would) = (time(is, &name), time(would, &name));
            (name, is, would)
        })
        .collect()
}
