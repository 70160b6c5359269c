//! The keys of one table.

use super::field::{Choice, Field, Wanted};
use super::{KeyFact, KeyKind, Origin, Pass, Presence};
use crate::source::Span;
use crate::{Diagnostic, Length, Units};
use std::cell::RefCell;
use std::ops::RangeInclusive;
use toml::de::{DeTable, DeValue};

/// The keys of one table of a file being read or described.
pub struct Keys<'p> {
    pass: &'p Pass,
    table: Option<&'p DeTable<'p>>,
    span: Span,
    path: String,
    asked: RefCell<Vec<&'static str>>,
}

impl<'p> Keys<'p> {
    pub(super) fn top(pass: &'p Pass, table: &'p DeTable<'p>) -> Keys<'p> {
        Keys {
            pass,
            table: Some(table),
            span: pass.source.line(1),
            path: String::new(),
            asked: RefCell::new(vec!["units"]),
        }
    }

    /// The units of the file.
    pub fn units(&self) -> Units {
        self.pass.units
    }

    /// The file, before the places of its values are known.
    pub fn origin(&self) -> Origin {
        Origin::of(&self.pass.source)
    }

    /// A length in the file's units, or text with its unit.
    pub fn length(
        &self,
        key: &'static str,
        meaning: &'static str,
        range: RangeInclusive<Length>,
    ) -> Field<'_, Length> {
        let (min, max) = range.into_inner();
        self.field(key, meaning, KeyKind::Length { min, max }, Wanted::Plain)
    }

    /// A list of lengths, each in the file's units or text with its unit.
    pub fn lengths(
        &self,
        key: &'static str,
        meaning: &'static str,
        range: RangeInclusive<Length>,
    ) -> Field<'_, Vec<Length>> {
        let (min, max) = range.into_inner();
        self.field(key, meaning, KeyKind::Lengths { min, max }, Wanted::Plain)
    }

    /// A number in the unit that `unit` names.
    pub fn number(
        &self,
        key: &'static str,
        meaning: &'static str,
        unit: &'static str,
        range: RangeInclusive<f64>,
    ) -> Field<'_, f64> {
        let (min, max) = range.into_inner();
        self.field(key, meaning, KeyKind::Number { unit, min, max }, Wanted::Plain)
    }

    /// A whole number.
    pub fn count(
        &self,
        key: &'static str,
        meaning: &'static str,
        range: RangeInclusive<i64>,
    ) -> Field<'_, i64> {
        let (min, max) = range.into_inner();
        self.field(key, meaning, KeyKind::Count { min, max }, Wanted::Plain)
    }

    /// Any text.
    pub fn text(&self, key: &'static str, meaning: &'static str) -> Field<'_, String> {
        self.field(key, meaning, KeyKind::Text, Wanted::Plain)
    }

    /// A list of texts.
    pub fn texts(&self, key: &'static str, meaning: &'static str) -> Field<'_, Vec<String>> {
        self.field(key, meaning, KeyKind::Texts, Wanted::Plain)
    }

    /// `true` or `false`.
    pub fn flag(&self, key: &'static str, meaning: &'static str) -> Field<'_, bool> {
        self.field(key, meaning, KeyKind::Flag, Wanted::Plain)
    }

    /// A date, as `2026-12-18`.
    pub fn date(&self, key: &'static str, meaning: &'static str) -> Field<'_, String> {
        self.field(key, meaning, KeyKind::Date, Wanted::Date)
    }

    /// One of the words of `T`.
    pub fn choice<T: Choice>(&self, key: &'static str, meaning: &'static str) -> Field<'_, T> {
        let words = T::words().iter().map(|(word, _, meaning)| (*word, *meaning)).collect();
        self.field(key, meaning, KeyKind::Choice(words), Wanted::Choice(T::words()))
    }

    /// A table that must be there.
    pub fn table<T>(
        &self,
        key: &'static str,
        meaning: &'static str,
        read: impl FnOnce(&Keys<'_>) -> T,
    ) -> T {
        self.note(key, meaning, KeyKind::Table, Presence::Required);
        if self.is_there() && self.find(key).is_none() {
            let message = format!("the table `[{}]` is missing", self.join(key));
            self.miss(key, message, format!("add `[{}]`: {meaning}", self.join(key)));
        }
        self.inside(key, read)
    }

    /// A table that may be left out.
    pub fn optional_table<T>(
        &self,
        key: &'static str,
        meaning: &'static str,
        read: impl FnOnce(&Keys<'_>) -> T,
    ) -> Option<T> {
        self.note(key, meaning, KeyKind::Table, Presence::Optional);
        let there = self.find(key).is_some();
        (there || self.pass.describing).then(|| self.inside(key, read))
    }

    /// A list of tables; an empty list where the key is left out.
    pub fn list<T>(
        &self,
        key: &'static str,
        meaning: &'static str,
        read: impl Fn(&Keys<'_>) -> T,
    ) -> Vec<T> {
        self.note(key, meaning, KeyKind::Tables, Presence::Optional);
        let path = self.join(key);
        if self.pass.describing {
            return vec![read(&self.child(None, Span::default(), format!("{path}[]")))];
        }
        let Some((span, value)) = self.find(key) else { return Vec::new() };
        let Some(array) = value.as_array() else {
            self.fail(key);
            self.wrong_type(span, value, "a list of tables", &format!("each under `[[{path}]]`"));
            return Vec::new();
        };
        let mut items = Vec::new();
        for (index, item) in array.iter().enumerate() {
            let span = Span::new(item.span().start, item.span().end);
            let Some(table) = item.get_ref().as_table() else {
                self.fail(key);
                self.wrong_type(span, item.get_ref(), "a table", "`{ key = value, … }`");
                continue;
            };
            let path = format!("{path}[{index}]");
            self.pass.spans.borrow_mut().insert(path.clone(), span);
            let keys = self.child(Some(table), span, path);
            items.push(read(&keys));
            keys.finish();
        }
        items
    }

    /// Whether the key stands in this table, right or wrong.
    pub fn has(&self, key: &str) -> bool {
        !self.is_there() || self.find(key).is_some()
    }

    /// Whether the key was written; never while describing.
    pub fn stands(&self, key: &str) -> bool {
        self.is_there() && self.find(key).is_some()
    }

    /// Whether the value at this path, counted from here, was read without trouble, so that a
    /// rule between keys may judge it.
    pub fn sound(&self, path: &str) -> bool {
        let path = self.join(path);
        let within = |outer: &str, inner: &str| {
            inner
                .strip_prefix(outer)
                .is_some_and(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
        };
        let failed = self.pass.failed.borrow();
        self.table.is_some() && !failed.iter().any(|at| within(at, &path) || within(&path, at))
    }

    /// A message about a key of this table, for rules between keys.
    pub fn trouble(&self, key: &str, message: impl Into<String>, help: impl Into<String>) {
        let span = super::nearest(&self.pass.spans.borrow(), &self.join(key));
        self.say(span.unwrap_or(self.span), message.into(), help.into());
    }

    /// Says that no rule may judge the value of this key.
    pub fn spoil(&self, key: &str) {
        self.fail(key);
    }

    /// A message about keys that this table cannot do without, because of what `key` says.
    pub fn needs(&self, key: &str, who: &str, missing: &[&str]) {
        for key in missing {
            self.fail(key);
        }
        let list = |each: fn(&str) -> String| {
            let words: Vec<_> = missing.iter().map(|key| each(key)).collect();
            match words.split_last() {
                None => String::new(),
                Some((last, [])) => last.clone(),
                Some((last, some)) => format!("{} and {last}", some.join(", ")),
            }
        };
        let s = if missing.len() > 1 { "s" } else { "" };
        let message = format!("{who} needs the key{s} {}", list(|key| format!("`{key}`")));
        if !missing.is_empty() {
            self.trouble(key, message, format!("add {}", list(|key| format!("`{key} = …`"))));
        }
    }

    /// Reports every key that nothing asked for.
    pub(super) fn finish(&self) {
        let Some(table) = self.table else { return };
        let asked = self.asked.borrow();
        for key in table.keys().filter(|key| !asked.contains(&key.get_ref().as_ref())) {
            let name = key.get_ref().as_ref();
            let free = asked.iter().copied().filter(|known| !table.contains_key(*known));
            let (meant, help) = match (near(name, free), self.belongs(name)) {
                (Some(near), _) => (Some(self.join(near)), format!("did you mean `{near}`?")),
                (None, Some((meant, help))) => (Some(meant), help),
                (None, None) => (None, format!("the keys here are {}", asked.join(", "))),
            };
            self.pass.meant.borrow_mut().extend(meant);
            let span = Span::new(key.span().start, key.span().end);
            self.say(span, format!("there is no key `{}`", self.shown(name)), help);
        }
    }

    /// The path at which a key of this name belongs in such a file, and how to say so.
    fn belongs(&self, name: &str) -> Option<(String, String)> {
        let named = |fact: &&KeyFact| fact.path.rsplit('.').next() == Some(name);
        let fact = self.pass.known.iter().find(named)?;
        let help = match (fact.path.rsplit_once('.'), &fact.kind) {
            (_, KeyKind::Table) => format!("write `[{}]`", fact.path),
            (_, KeyKind::Tables) => format!("write `[[{}]]`", fact.path),
            (None, _) => format!("move `{name}` up, above the first table"),
            (Some((table, _)), _) => match table.strip_suffix("[]") {
                Some(list) => format!("`{name}` belongs under `[[{list}]]`"),
                None => format!("`{name}` belongs under `[{table}]`"),
            },
        };
        Some((fact.path.clone(), help))
    }

    fn field<T>(
        &self,
        key: &'static str,
        meaning: &'static str,
        kind: KeyKind,
        wanted: Wanted<T>,
    ) -> Field<'_, T> {
        self.asked.borrow_mut().push(key);
        Field { keys: self, key, meaning, kind, wanted }
    }

    fn inside<T>(&self, key: &'static str, read: impl FnOnce(&Keys<'_>) -> T) -> T {
        let path = self.join(key);
        let Some((span, value)) = self.find(key) else {
            return read(&self.child(None, self.span, path));
        };
        let table = value.as_table();
        if table.is_none() {
            self.fail(key);
            self.wrong_type(span, value, "a table", &format!("its keys under `[{path}]`"));
        }
        let keys = self.child(table, span, path);
        let value = read(&keys);
        keys.finish();
        value
    }

    fn child(&self, table: Option<&'p DeTable<'p>>, span: Span, path: String) -> Keys<'p> {
        Keys { pass: self.pass, table, span, path, asked: RefCell::default() }
    }

    /// Whether a missing key is to be reported: not when its whole table was already.
    pub(super) fn is_there(&self) -> bool {
        self.table.is_some() && !self.pass.describing
    }

    pub(super) fn join(&self, key: &str) -> String {
        if self.path.is_empty() { key.to_owned() } else { format!("{}.{key}", self.path) }
    }

    pub(super) fn find(&self, key: &str) -> Option<(Span, &'p DeValue<'p>)> {
        let value = self.table?.get(key)?;
        let span = Span::new(value.span().start, value.span().end);
        self.pass.spans.borrow_mut().insert(self.join(key), span);
        Some((span, value.get_ref()))
    }

    pub(super) fn note(
        &self,
        key: &'static str,
        meaning: &'static str,
        kind: KeyKind,
        presence: Presence,
    ) {
        if !self.asked.borrow().contains(&key) {
            self.asked.borrow_mut().push(key);
        }
        if self.pass.describing {
            let fact = KeyFact { path: self.join(key), meaning, kind, presence };
            self.pass.facts.borrow_mut().push(fact);
        }
    }

    /// The path of a key as a person reads it, without counting in lists.
    pub(super) fn shown(&self, key: &str) -> String {
        let path = self.join(key);
        let parts = path.split('[').map(|part| part.split_once(']').map_or(part, |(_, rest)| rest));
        parts.collect()
    }

    /// Reports a missing key, unless another key turns out to be meant for it.
    pub(super) fn miss(&self, key: &str, message: String, help: String) {
        self.fail(key);
        let diagnostic = Diagnostic::new(&self.pass.source, self.span, message).help(help);
        self.pass.missing.borrow_mut().push((self.join(key), diagnostic));
    }

    /// Remembers that a key has no value that a rule may judge.
    pub(super) fn fail(&self, key: &str) {
        self.pass.failed.borrow_mut().insert(self.join(key));
    }

    pub(super) fn say(&self, span: Span, message: String, help: String) {
        self.pass.say(Diagnostic::new(&self.pass.source, span, message).help(help));
    }

    pub(super) fn wrong_type(&self, span: Span, value: &DeValue<'_>, wanted: &str, how: &str) {
        self.say(span, format!("this is {}, not {wanted}", a_type(value)), format!("write {how}"));
    }
}

fn a_type(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(moment) => match (moment.date, moment.time) {
            (Some(_), Some(_)) => "a date with a time",
            (None, Some(_)) => "a time",
            _ => "a date",
        },
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// The word that was most likely meant.
pub(super) fn near<'w>(written: &str, words: impl Iterator<Item = &'w str>) -> Option<&'w str> {
    words
        .map(|word| (strsim::damerau_levenshtein(written, word), word))
        .filter(|(distance, word)| *distance <= word.len().max(written.len()) / 3 + 1)
        .min()
        .map(|(_, word)| word)
}

pub(super) fn describe_units(pass: &Pass) {
    let words = vec![("mm", "millimeters"), ("inch", "inches of 25.4 mm")];
    pass.facts.borrow_mut().push(KeyFact {
        path: "units".to_owned(),
        meaning: "units of every plain length in this file",
        kind: KeyKind::Choice(words),
        presence: Presence::Required,
    });
}

/// The units of a file, or what to say where they are not told.
pub(super) fn units(pass: &Pass, table: &DeTable<'_>) -> Result<Units, Diagnostic> {
    let help = "write `units = \"mm\"` or `units = \"inch\"` at the top of the file";
    let span = |range: std::ops::Range<usize>| Span::new(range.start, range.end);
    let meant = |name: &str| near(name, ["units"].into_iter()).is_some();
    let (span, message) = if let Some(value) = table.get("units") {
        match value.get_ref().as_str() {
            Some("mm") => return Ok(Units::Mm),
            Some("inch") => return Ok(Units::Inch),
            _ => (span(value.span()), "these units are neither \"mm\" nor \"inch\"".to_owned()),
        }
    } else if let Some(key) = table.keys().find(|key| meant(key.get_ref())) {
        (span(key.span()), format!("there is no key `{}`", key.get_ref()))
    } else {
        (pass.source.line(1), "the key `units` is missing".to_owned())
    };
    Err(Diagnostic::new(&pass.source, span, message).help(help))
}
