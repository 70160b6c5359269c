//! Reads the keys of one TOML table, or describes them: the same code does both, so that a key's
//! name, meaning, unit and range stand once.

mod field;
mod syntax;
mod table;

pub use field::{Choice, Field};
pub use table::Keys;

use crate::files::Read;
use crate::finding::Place;
use crate::source::{Source, Span};
use crate::{Diagnostic, Length, Units};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use toml::de::DeTable;

/// What a key may hold.
#[derive(Debug, Clone, PartialEq)]
pub enum KeyKind {
    /// A length: a number in the file's units, or text with a unit such as `"3/8 in"`.
    Length {
        /// Smallest allowed.
        min: Length,
        /// Largest allowed.
        max: Length,
    },
    /// A list of lengths, each as above.
    Lengths {
        /// Smallest allowed.
        min: Length,
        /// Largest allowed.
        max: Length,
    },
    /// A number in the named unit.
    Number {
        /// The unit, in words a person would write; empty for a ratio.
        unit: &'static str,
        /// Smallest allowed.
        min: f64,
        /// Largest allowed.
        max: f64,
    },
    /// A whole number.
    Count {
        /// Smallest allowed.
        min: i64,
        /// Largest allowed.
        max: i64,
    },
    /// Any text.
    Text,
    /// A list of texts.
    Texts,
    /// `true` or `false`.
    Flag,
    /// A date.
    Date,
    /// One of some words, each with its meaning.
    Choice(Vec<(&'static str, &'static str)>),
    /// A table of its own keys, which follow in the list of facts.
    Table,
    /// A list of tables of the keys that follow.
    Tables,
}

/// Whether a key must be there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Presence {
    /// Must be there.
    Required,
    /// May be left out.
    Optional,
    /// May be left out; this is then taken.
    Default(String),
}

/// One key of a file.
#[derive(Debug, Clone, PartialEq)]
pub struct KeyFact {
    /// Its whole path, such as `bar.length`; tables in lists are written `station[].number`.
    pub path: String,
    /// What it means, one sentence without its end.
    pub meaning: &'static str,
    /// What it may hold.
    pub kind: KeyKind,
    /// Whether it must be there.
    pub presence: Presence,
}

/// Where the values of one file came from, for messages about them.
#[derive(Debug, Clone)]
pub struct Origin {
    /// The file.
    pub source: Source,
    spans: BTreeMap<String, Span>,
}

impl Origin {
    pub(super) fn of(source: &Source) -> Origin {
        Origin { source: source.clone(), spans: BTreeMap::new() }
    }

    /// The place of a key's value such as `bar.length` or `station[2].number`; where the key was
    /// left out, the nearest table above it, else the first line.
    pub fn place(&self, path: &str) -> Place {
        Place::new(&self.source, self.span(path))
    }

    /// As [`Origin::place`], the stretch only.
    pub fn span(&self, path: &str) -> Span {
        nearest(&self.spans, path).unwrap_or_else(|| self.source.line(1))
    }

    /// A message about a key's value.
    pub fn trouble(&self, path: &str, message: impl Into<String>) -> Diagnostic {
        Diagnostic::new(&self.source, self.span(path), message)
    }
}

/// The span of a path, or of the nearest table above it.
fn nearest(spans: &BTreeMap<String, Span>, path: &str) -> Option<Span> {
    let mut path = path;
    loop {
        if let Some(span) = spans.get(path) {
            return Some(*span);
        }
        path = &path[..path.rfind(['.', '['])?];
    }
}

/// One pass over one file.
struct Pass {
    source: Source,
    units: Units,
    describing: bool,
    /// What the keys of such a file are; empty while describing.
    known: Vec<KeyFact>,
    spans: RefCell<BTreeMap<String, Span>>,
    /// The paths whose values were missing or wrong, so that no rule judges a stand-in.
    failed: RefCell<BTreeSet<String>>,
    /// The paths that unknown keys were meant for.
    meant: RefCell<BTreeSet<String>>,
    /// What to say about each missing path.
    missing: RefCell<Vec<(String, Diagnostic)>>,
    diagnostics: RefCell<Vec<Diagnostic>>,
    facts: RefCell<Vec<KeyFact>>,
}

impl Pass {
    fn new(source: &Source, units: Units, describing: bool) -> Pass {
        Pass {
            source: source.clone(),
            units,
            describing,
            known: Vec::new(),
            spans: RefCell::default(),
            failed: RefCell::default(),
            meant: RefCell::default(),
            missing: RefCell::default(),
            diagnostics: RefCell::default(),
            facts: RefCell::default(),
        }
    }

    fn say(&self, diagnostic: Diagnostic) {
        self.diagnostics.borrow_mut().push(diagnostic);
    }
}

/// Reads a file with the reader of its kind. The top-level key `units` is read here.
pub(super) fn read<T>(source: &Source, keys: impl Fn(&Keys<'_>) -> T) -> Read<(T, Origin)> {
    let read = read_through(source, keys);
    Read { value: read.value.filter(|_| read.diagnostics.is_empty()), ..read }
}

/// As [`read`], with harmless stand-ins for what is missing or wrong; no value only where nothing
/// of the file can be told.
pub(super) fn read_through<T>(source: &Source, keys: impl Fn(&Keys<'_>) -> T) -> Read<(T, Origin)> {
    let text = match std::str::from_utf8(source.bytes()) {
        Ok(text) => text,
        Err(error) => {
            let at = error.valid_up_to();
            let diagnostic =
                Diagnostic::new(source, Span::new(at, at + 1), "this is not UTF-8 text")
                    .help("save the file as UTF-8");
            return Read { value: None, diagnostics: vec![diagnostic] };
        }
    };
    let (table, errors) = DeTable::parse_recoverable(text);
    if let Some(error) = errors.first() {
        // What follows the first such place is often read wrongly because of it.
        return Read { value: None, diagnostics: vec![syntax::trouble(source, text, error)] };
    }
    let mut pass = Pass::new(source, Units::Mm, false);
    pass.known = describe(&keys, Units::Mm);
    match table::units(&pass, table.get_ref()) {
        Ok(units) => pass.units = units,
        // No figure of the file can be judged without its units.
        Err(diagnostic) => return Read { value: None, diagnostics: vec![diagnostic] },
    }
    let value = {
        let top = Keys::top(&pass, table.get_ref());
        let value = keys(&top);
        top.finish();
        value
    };
    let mut diagnostics = pass.diagnostics.into_inner();
    let meant = pass.meant.into_inner();
    let missing = pass.missing.into_inner().into_iter().filter(|(path, _)| !meant.contains(path));
    diagnostics.extend(missing.map(|(_, diagnostic)| diagnostic));
    diagnostics.sort_by_key(|diagnostic| diagnostic.span);
    let origin = Origin { source: source.clone(), spans: pass.spans.into_inner() };
    Read { value: Some((value, origin)), diagnostics }
}

/// The keys that a reader asks for in a file in these units, without any file.
pub(super) fn describe<T>(keys: impl Fn(&Keys<'_>) -> T, units: Units) -> Vec<KeyFact> {
    let pass = Pass::new(&Source::new("", ""), units, true);
    table::describe_units(&pass);
    let empty = DeTable::new();
    let top = Keys::top(&pass, &empty);
    keys(&top);
    drop(top);
    pass.facts.into_inner()
}
