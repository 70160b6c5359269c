//! What a person may edit: one key of one file, as a blank on a form.

use super::say;
use maud::{Markup, html};

/// How the value of a field is entered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Entry {
    /// A figure.
    Figure,
    /// A text.
    Text,
    /// A date.
    Date,
    /// Several, one a line.
    Lines,
    /// One of some words, each with its meaning.
    Choice(Vec<(String, String)>),
}

/// One key of one file with what stands there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Field {
    /// The kind of file, as `barwright schema` names it.
    pub file: &'static str,
    /// The key's whole path, such as `bar.length` or `station[1].speed`.
    pub key: String,
    /// What it means, one sentence without its end.
    pub meaning: String,
    /// The unit of a figure; empty where it has none.
    pub unit: String,
    /// From what to what it may be; empty where that is not bound.
    pub limits: String,
    /// How it is entered.
    pub entry: Entry,
    /// What stands there; none where the key is left out.
    pub value: Option<String>,
    /// What is taken where it is left out; none where nothing is.
    pub otherwise: Option<String>,
    /// Whether it may be left out.
    pub may_be_left_out: bool,
}

/// Everything that may be edited of a job, and the way changes go.
#[derive(Debug, Clone, Default)]
pub struct Fields {
    /// Where a change is sent to.
    pub action: String,
    /// What a change must carry.
    pub token: String,
    /// Whether whoever reads it may change anything.
    pub open: bool,
    /// Every key of every file of the job.
    pub all: Vec<Field>,
    /// Names of the materials that ship with the program.
    pub materials: Vec<&'static str>,
}

impl Fields {
    /// One of them. `station[turning].speed` is that of the first station of this kind.
    pub fn get(&self, file: &str, key: &str) -> Option<&Field> {
        let key = self.placed(file, key)?;
        self.all.iter().find(|field| field.file == file && field.key == key)
    }

    /// The key with the place of a kind of station instead of its word.
    fn placed(&self, file: &str, key: &str) -> Option<String> {
        let Some((list, kind, rest)) = of_kind(key) else { return Some(key.to_owned()) };
        let is_kind = |field: &&Field| {
            field.file == file
                && field.key.ends_with("].kind")
                && field.value.as_deref() == Some(kind)
        };
        let found = self.all.iter().find(is_kind)?;
        let place = found.key.strip_prefix(list)?.strip_suffix(".kind")?;
        Some(format!("{list}{place}{rest}"))
    }

    /// The names that are offered in a blank for a material.
    pub fn offered(&self) -> Markup {
        html! { datalist id="materials" { @for name in &self.materials { option value=(name) {} } } }
    }

    /// A row of blanks with names of their own; those that no file has are left out.
    pub fn row(&self, keys: &[(&str, &str, &str)]) -> Markup {
        html! {
            div class="blanks" {
                @for (file, key, name) in keys {
                    @if let Some(field) = self.get(file, key) { (self.blank(field, name)) }
                }
            }
        }
    }

    /// One blank: its name, its figure on a line with the unit, its limits; only the figure for who may not
    /// change it.
    pub fn blank(&self, field: &Field, name: &str) -> Markup {
        let id = format!("{}:{}", field.file, field.key);
        let about = format!("{id}:about");
        if !self.open {
            return shown(field, name, &id, &about);
        }
        html! {
            form class="blank" method="post" action=(self.action) autocomplete="off" {
                // One for three, since a page has many blanks.
                input type="hidden" name="of" value={ (self.token) ":" (id) };
                label for=(id) { (name) }
                span class="entry" {
                    (entry(field, &Entered { id: &id, name: "value", about: &about, must: false }))
                    @if !field.unit.is_empty() { span class="unit" { (field.unit) } }
                }
                (limits(field, name, &about))
                output class="refused" for=(id) {}
            }
        }
    }
}

/// A figure that is only read.
fn shown(field: &Field, name: &str, id: &str, about: &str) -> Markup {
    html! {
        div class="blank shown" {
            label for=(id) { (name) }
            span class="entry" {
                output id=(id) { (field.value.as_deref().unwrap_or_default()) }
                @if !field.unit.is_empty() { span class="unit" { (field.unit) } }
            }
            (limits(field, name, about))
        }
    }
}

/// The range, and the meaning, which is seen while the blank is at hand.
fn limits(field: &Field, name: &str, about: &str) -> Markup {
    let means = !field.meaning.is_empty() && field.meaning != name;
    let absent = match (&field.value, &field.otherwise) {
        (None, Some(standard)) => Some(format!("left out: {standard} is taken")),
        (None, None) if field.may_be_left_out => Some("not given".to_owned()),
        _ => None,
    };
    let range = [Some(field.limits.clone()).filter(|limits| !limits.is_empty()), absent];
    html! {
        small class="limits" id=(about) {
            (range.into_iter().flatten().collect::<Vec<_>>().join(" · "))
            @if means { span class="means" { (say::sentence(&field.meaning)) } }
        }
    }
}

/// Where a value is typed: ids of it and of what is said about it, its name in the form, whether it must be there.
pub(super) struct Entered<'a> {
    pub(super) id: &'a str,
    pub(super) name: &'a str,
    pub(super) about: &'a str,
    pub(super) must: bool,
}

/// The place where a value is typed or chosen.
pub(super) fn entry(field: &Field, at: &Entered<'_>) -> Markup {
    let Entered { id, name, about, must } = *at;
    let value = field.value.as_deref().unwrap_or_default();
    // Its unit stands behind the blank already.
    let standard = field.otherwise.as_deref().unwrap_or_default();
    let standard = standard.strip_suffix(&field.unit).unwrap_or(standard).trim_end();
    html! {
        @match &field.entry {
            Entry::Choice(words) => {
                select id=(id) name=(name) aria-describedby=(about) required[must] {
                    @if field.value.is_none() { option value="" selected { "not given" } }
                    @else if field.may_be_left_out { option value="" { "leave out" } }
                    @for (word, meaning) in words {
                        option value=(word) title=(meaning) selected[field.value.as_ref() == Some(word)] { (word) }
                    }
                }
            }
            Entry::Lines => {
                textarea id=(id) name=(name) rows=(value.lines().count().clamp(1, 8)) aria-describedby=(about) required[must] {
                    "\n" (value)
                }
            }
            Entry::Figure => {
                input id=(id) name=(name) value=(value) placeholder=(standard) inputmode="decimal" size=(width(value)) aria-describedby=(about) required[must];
            }
            Entry::Text | Entry::Date => {
                input class="words" id=(id) name=(name) value=(value) placeholder=(standard) size=(width(value).max(12)) aria-describedby=(about) required[must]
                    list=[(field.key == "bar.material").then_some("materials")];
            }
        }
    }
}

/// `station[turning].speed` as the list, the kind and the rest; none where a number is in the brackets.
fn of_kind(key: &str) -> Option<(&str, &str, &str)> {
    let (list, rest) = key.split_once('[')?;
    let (kind, rest) = rest.split_once(']')?;
    (!kind.bytes().all(|byte| byte.is_ascii_digit())).then_some((list, kind, rest))
}

fn width(value: &str) -> usize {
    (value.chars().count() + 1).clamp(7, 34)
}
