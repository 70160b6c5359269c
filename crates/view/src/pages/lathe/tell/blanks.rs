//! The blanks of an entry.

use crate::pages::floor::units_word;
use maud::{Markup, html};
use model::Units;
use model::files::keys::Choice;

/// A blank: its name, its line, and what stands below it in small.
fn blank(id: &str, name: &str, entry: &Markup, unit: &str, below: &str) -> Markup {
    html! {
        span class="blank" {
            label for=(id) { (name) }
            span class="entry" { (entry) @if !unit.is_empty() { span class="unit" { (unit) } } }
            @if !below.is_empty() { small class="limits" { (below) } }
        }
    }
}

fn words(event: &str, key: &str, name: &str, below: &str, needed: bool) -> Markup {
    let id = format!("{event}-{key}");
    let entry = html! { input id=(id) class="words" name=(key) maxlength="100" autocomplete="off" size="12" required[needed]; };
    blank(&id, name, &entry, "", below)
}

pub(super) fn text(event: &str, key: &str, name: &str, below: &str) -> Markup {
    words(event, key, name, below, false)
}

pub(super) fn needed_text(event: &str, key: &str, name: &str, below: &str) -> Markup {
    words(event, key, name, below, true)
}

fn whole(event: &str, key: &str, name: &str, below: &str, needed: bool) -> Markup {
    let id = format!("{event}-{key}");
    let entry = html! { input id=(id) name=(key) inputmode="numeric" pattern="[0-9]{1,7}" autocomplete="off" size="7" required[needed]; };
    blank(&id, name, &entry, "", below)
}

pub(super) fn count(event: &str, key: &str, name: &str, below: &str) -> Markup {
    whole(event, key, name, below, false)
}

pub(super) fn needed_count(event: &str, key: &str, name: &str, below: &str) -> Markup {
    whole(event, key, name, below, true)
}

/// Which part of the bar was gauged: the last, where nothing else is said.
pub(super) fn part(event: &str, last: &str) -> Markup {
    let id = format!("{event}-part");
    let entry = html! { input id=(id) name="part" value=(last) inputmode="numeric" pattern="[0-9]{1,6}" autocomplete="off" size="5"; };
    blank(&id, "Part of this bar", &entry, "", "")
}

// Not every keyboard of figures has a sign or a slash.
fn figure(
    event: &str,
    key: &str,
    name: &str,
    units: Units,
    below: &str,
    needed: bool,
    mode: &str,
) -> Markup {
    let id = format!("{event}-{key}");
    let entry = html! { input id=(id) name=(key) inputmode=(mode) maxlength="24" autocomplete="off" size="8" required[needed]; };
    blank(&id, name, &entry, units_word(units), below)
}

pub(super) fn length(event: &str, key: &str, name: &str, units: Units, below: &str) -> Markup {
    figure(event, key, name, units, below, false, "decimal")
}

pub(super) fn needed_length(
    event: &str,
    key: &str,
    name: &str,
    units: Units,
    below: &str,
) -> Markup {
    figure(event, key, name, units, below, true, "text")
}

pub(super) fn gauged(event: &str, name: &str, units: Units, limits: &str) -> Markup {
    figure(event, "reading", name, units, limits, true, "decimal")
}

/// One of the words of a choice.
pub(super) fn choice<C: Choice>(
    event: &str,
    key: &str,
    name: &str,
    says: impl Fn(&str, &str) -> String,
) -> Markup {
    let id = format!("{event}-{key}");
    let entry = html! {
        select id=(id) name=(key) { @for (word, _, meaning) in C::words() { option value=(word) { (says(word, meaning)) } } }
    };
    blank(&id, name, &entry, "", "")
}

/// A station of the turret: one of those of the job, else a number.
pub(super) fn station(event: &str, stations: &[(u32, String)]) -> Markup {
    if stations.is_empty() {
        return needed_count(event, "station", "Station", "its number on the turret");
    }
    let id = format!("{event}-station");
    let entry = html! {
        select id=(id) name="station" { @for (number, name) in stations { option value=(number) { (number) "  " (name) } } }
    };
    blank(&id, "Station", &entry, "", "")
}

/// One of several names.
pub(super) fn one_of(event: &str, key: &str, name: &str, none: &str, all: &[String]) -> Markup {
    let id = format!("{event}-{key}");
    let entry = html! {
        select id=(id) name=(key) { option value="" { (none) } @for one in all { option { (one) } } }
    };
    html! { span class="wide" { (blank(&id, name, &entry, "", "")) } }
}
