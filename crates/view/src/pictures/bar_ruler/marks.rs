//! Places along the bar at which a person has something to do.

use model::Length;
use model::files::job::Job;
use plan::bar::BarPlan;

/// Something to do when the bar has been cut so far.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark {
    /// Distance from the front end of the bar.
    pub at: Length,
    /// What to do, a few words.
    pub words: String,
}

/// The marks of a bar: where an edge reaches the end of its life, and where the catcher is full.
pub fn marks(job: &Job, bar: &BarPlan) -> Vec<Mark> {
    let answer = plan::walk_away::of_bar(job, bar);
    answer
        .limits
        .iter()
        .filter(|limit| limit.parts > 0 && limit.parts < bar.parts_per_bar)
        .map(|limit| Mark {
            at: bar.division.first_face + bar.division.pitch() * i64::from(limit.parts),
            words: format!("after {} parts: {}", limit.parts, limit.name),
        })
        .collect()
}
