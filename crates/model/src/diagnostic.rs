//! Trouble with reading an input: one message with its place and the mend.

use crate::source::{Source, Span};

/// Why a file cannot be used as it stands. Readers collect these and never stop at the first.
#[derive(Debug, Clone)]
pub struct Diagnostic {
    /// The text it is about.
    pub source: Source,
    /// The stretch to underline.
    pub span: Span,
    /// What is wrong, one sentence without its place.
    pub message: String,
    /// What stands under the underline: a few words, may be empty.
    pub label: String,
    /// What to write instead, one sentence.
    pub help: String,
}

impl Diagnostic {
    /// A message about a stretch of a text.
    pub fn new(source: &Source, span: Span, message: impl Into<String>) -> Diagnostic {
        Diagnostic {
            source: source.clone(),
            span,
            message: message.into(),
            label: String::new(),
            help: String::new(),
        }
    }

    /// With words under the underline.
    #[must_use]
    pub fn label(mut self, label: impl Into<String>) -> Diagnostic {
        self.label = label.into();
        self
    }

    /// With the mend.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Diagnostic {
        self.help = help.into();
        self
    }
}
