//! What is lacking for a figure.

use crate::OutOfRange;
use crate::cut::CutError;
use crate::figure::BadFigure;
use std::fmt;

/// Why a figure cannot be told: a key that no file has, or one whose figure no formula takes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lack {
    /// The key that would tell it, as a path in its file; empty where the figures of the cut itself
    /// are at fault.
    pub key: &'static str,
    /// The reason, as a sentence without its point.
    pub why: String,
}

impl fmt::Display for Lack {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.why)
    }
}

impl std::error::Error for Lack {}

impl Lack {
    /// A key that a file does not have.
    pub fn of(key: &'static str, why: impl Into<String>) -> Lack {
        Lack { key, why: why.into() }
    }

    /// Figures of the cut that no formula takes.
    pub(crate) fn figures(why: impl fmt::Display) -> Lack {
        Lack { key: "", why: why.to_string() }
    }
}

impl From<BadFigure> for Lack {
    fn from(error: BadFigure) -> Lack {
        Lack::figures(error)
    }
}

impl From<OutOfRange> for Lack {
    fn from(error: OutOfRange) -> Lack {
        Lack::figures(error)
    }
}

impl From<CutError> for Lack {
    fn from(error: CutError) -> Lack {
        match error {
            CutError::NoForce { .. } => Lack::of("force", error.to_string()),
            CutError::Figure(_) => Lack::figures(error),
        }
    }
}
