//! What of the drawing no tool on the turret cuts, and what would.

/// A feature that is not cut.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Missing {
    /// The place of the feature in the part's list; none where it is not one feature alone.
    pub feature: Option<usize>,
    /// Why it is not cut, as a sentence.
    pub why: String,
    /// What would cut it, as a sentence.
    pub mend: String,
}
