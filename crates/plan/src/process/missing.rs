//! What the process cannot make, and what would make it.

use crate::cuts::Operation;
use model::Unproven;

/// A feature of the drawing that no operation makes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missing {
    /// The feature, by its place in the list of the part.
    pub feature: usize,
    /// What is lacking, as a sentence.
    pub why: String,
    /// What would do, as a sentence.
    pub remedy: String,
}

/// What a process leaves open.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Open {
    /// Features that nothing makes.
    pub missing: Vec<Missing>,
    /// What is made but not proven to be right.
    pub unproven: Vec<Unproven>,
}

impl Open {
    pub(super) fn lacks(
        &mut self,
        feature: usize,
        why: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        self.missing.push(Missing { feature, why: why.into(), remedy: remedy.into() });
    }

    /// The operation, or its lack noted.
    pub(super) fn taken(&mut self, made: Result<Operation, Missing>) -> Option<Operation> {
        made.map_err(|missing| self.missing.push(missing)).ok()
    }
}
