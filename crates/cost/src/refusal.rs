//! Why there is no answer, with its place and what to do.

/// Which file a refusal is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum In {
    /// The job file.
    Job,
    /// The shop file.
    Shop,
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refusal {
    /// A stop stands against the plan: what would be sold is not proven.
    Stop,
    /// A file does not say what is needed, or says what cannot be.
    File {
        /// Which file.
        file: In,
        /// The key that it is about.
        key: String,
        /// What is wrong.
        message: String,
        /// What to do.
        help: String,
    },
}

impl Refusal {
    pub(crate) fn shop(
        key: impl Into<String>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> Refusal {
        let (key, message, help) = (key.into(), message.into(), help.into());
        Refusal::File { file: In::Shop, key, message, help }
    }
}
