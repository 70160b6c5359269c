//! What the short words of a drawing stand for: tolerance classes, threads, undercuts, grooves for
//! retaining rings, knurls and drill sizes, each from its standard's table or formula.
//!
//! A drawing says `h7`, `M10x1.5-6g` or `F 0.6x0.3`; everybody behind the reader wants sizes. The
//! reader of a part asks here once, and the [`crate::files::job::Feature`] holds what came of it.
//! These are tables of what words mean, no physics: formulas of the latter kind live in `calc`.
//!
//! Every table names its source and how it was seen; `handbook/drawing.toml` holds them to values
//! published elsewhere.

pub mod drill;
pub mod fit;
pub mod knurl;
pub mod ring;
pub mod thread;
pub mod undercut;

use crate::Length;

/// Why a word of a drawing cannot be taken: what is wrong with it, and what would do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// What is wrong, one sentence without its place.
    pub message: String,
    /// What to write instead, one sentence.
    pub help: String,
}

impl Refusal {
    /// A refusal in these words.
    pub fn new(message: impl Into<String>, help: impl Into<String>) -> Refusal {
        Refusal { message: message.into(), help: help.into() }
    }
}

/// The largest and the smallest that a size may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// The largest.
    pub most: Length,
    /// The smallest.
    pub least: Length,
}

impl Limits {
    /// Halfway between both, to the nanometer.
    pub fn middle(self) -> Length {
        self.least + (self.most - self.least).half()
    }

    /// How far both are apart.
    pub fn width(self) -> Length {
        self.most - self.least
    }
}
