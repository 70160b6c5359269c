//! What the process cannot make, and what would make it.

use crate::cuts::Operation;
use model::files::job::{FeatureKind, Job};
use model::files::keys::Choice as _;
use model::{Length, Unproven};

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

/// What of the outside and of bores no operation makes: all but cylinders that never get smaller toward
/// the chuck, and the chamfers on their front edges.
pub(super) fn outside(job: &Job, open: &mut Open) {
    let mut before = Length::ZERO;
    for (index, feature) in job.file.part.features.iter().enumerate().filter(|(_, it)| !it.later) {
        let made = match feature.kind {
            FeatureKind::Chamfer => !feature.inside,
            FeatureKind::Diameter => {
                feature.diameter >= std::mem::replace(&mut before, feature.diameter)
            }
            FeatureKind::Hole | FeatureKind::Thread => true,
            _ => false,
        };
        if !made {
            let kind = feature.kind.word();
            open.lacks(
                index,
                format!("This version plans no cut for a feature of this kind here ({kind})."),
                "Add `later = true` to it if another operation cuts it, or prove a program of your own with this job.",
            );
        }
    }
}
