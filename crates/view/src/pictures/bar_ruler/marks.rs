//! Places along the bar at which a person has something to do.

use model::Length;
use plan::bar::BarPlan;
use plan::walk_away::WalkAway;

/// Something to do when the bar has been cut so far.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark {
    /// Distance from the front end of the bar.
    pub at: Length,
    /// What to do, a few words.
    pub words: String,
}

/// The marks of a bar: where an edge reaches the end of its life, and where the catcher is full.
pub fn marks(bar: &BarPlan, walk_away: &WalkAway) -> Vec<Mark> {
    walk_away
        .limits
        .iter()
        .filter(|limit| limit.parts > 0 && limit.parts < bar.parts_per_bar)
        .map(|limit| Mark {
            at: bar.division.first_face + bar.division.pitch() * i64::from(limit.parts),
            words: format!("after {} parts: {}", limit.parts, limit.name),
        })
        .collect()
}
