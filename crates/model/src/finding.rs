//! What a proof says: findings, and what it could not prove.

use crate::source::{LineColumn, Source, Span};

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// Worth knowing.
    Note,
    /// Works, with a margin under its factor or a habit that bites later.
    Caution,
    /// Can throw a bar, crash, scrap parts or run without end.
    Stop,
}

impl Level {
    /// The word that reports and scripts show.
    pub const fn word(self) -> &'static str {
        match self {
            Level::Note => "note",
            Level::Caution => "caution",
            Level::Stop => "stop",
        }
    }
}

/// A stretch of a file.
#[derive(Debug, Clone)]
pub struct Place {
    /// The file.
    pub source: Source,
    /// The stretch.
    pub span: Span,
}

impl Place {
    /// A stretch of a file.
    pub fn new(source: &Source, span: Span) -> Place {
        Place { source: source.clone(), span }
    }

    /// The line and column of its first character.
    pub fn start(&self) -> LineColumn {
        self.source.locate(self.span.start)
    }
}

/// One trouble, where and when it happens, and its remedy.
#[derive(Debug, Clone)]
pub struct Finding {
    /// A stable kebab-case word that says the trouble.
    pub id: &'static str,
    /// How much it matters.
    pub level: Level,
    /// The word of the program or the key of the input that makes it.
    pub place: Place,
    /// The cycle in which it was first seen, from 1; none where it is not bound to a cycle.
    pub cycle: Option<u32>,
    /// Seconds after the start of the program when it was first seen.
    pub at_s: Option<f64>,
    /// In how many cycles it was seen.
    pub times: u32,
    /// What was seen and which limit it broke, one or two sentences.
    pub message: String,
    /// What to do, one sentence.
    pub remedy: String,
}

/// Something that was not checked, and why. Never counted as clear.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Unproven {
    /// What was not checked.
    pub what: String,
    /// What is missing to check it.
    pub why: String,
}

/// The one word over a whole answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Nothing above a note was found in what was checked.
    Clear,
    /// At least one caution, no stop.
    Caution,
    /// At least one stop.
    Stop,
}

impl Verdict {
    /// The verdict over some findings.
    pub fn over<'a>(findings: impl IntoIterator<Item = &'a Finding>) -> Verdict {
        match findings.into_iter().map(|finding| finding.level).max() {
            Some(Level::Stop) => Verdict::Stop,
            Some(Level::Caution) => Verdict::Caution,
            Some(Level::Note) | None => Verdict::Clear,
        }
    }

    /// The word that reports and scripts show.
    pub const fn word(self) -> &'static str {
        match self {
            Verdict::Clear => "clear",
            Verdict::Caution => "caution",
            Verdict::Stop => "stop",
        }
    }
}
