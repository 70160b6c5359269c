//! What a shop's own records say of figures that a plan would else take from files: the cycle-time
//! factor, the life of edges, the gripper's repeatability, the time to load a bar.
//!
//! Each comes with its count, its spread and the range in which it lies; nothing of it is used
//! before a person has switched it on ([`Learned::only`]).
//!
//! Read in this order: [`estimate`], [`gripper`], [`edge`].

pub mod edge;
pub mod estimate;
pub mod gripper;

pub use edge::EdgeLife;
pub use estimate::Estimate;
pub use gripper::Repeatability;

use model::quantity::Seconds;
use std::collections::BTreeMap;

/// Everything that was learned for one lathe and job; what there were too few records for is none.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Learned {
    /// Measured cycle over planned cycle.
    pub cycle: Option<Estimate<f64>>,
    /// Time from the end of a bar to the first cycle of the next.
    pub load: Option<Estimate<Seconds>>,
    /// How the gripper's pulls scatter.
    pub gripper: Option<Repeatability>,
    /// Life of the edge on each station.
    pub edges: BTreeMap<u32, EdgeLife>,
}

/// What of it a person lets a plan use.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[allow(clippy::struct_excessive_bools, reason = "four switches, each by itself")]
pub struct Switches {
    /// The cycle-time factor.
    pub cycle: bool,
    /// The time to load a bar.
    pub load: bool,
    /// The gripper's repeatability.
    pub gripper: bool,
    /// The life of edges.
    pub edges: bool,
}

impl Learned {
    /// What is switched on of it.
    #[must_use]
    pub fn only(&self, on: Switches) -> Learned {
        Learned {
            cycle: self.cycle.filter(|_| on.cycle),
            load: self.load.filter(|_| on.load),
            gripper: self.gripper.filter(|_| on.gripper),
            edges: if on.edges { self.edges.clone() } else { BTreeMap::new() },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::quantity::Probability;

    #[test]
    fn nothing_is_used_that_is_not_switched_on() {
        let sure = Probability::from_ratio(0.95);
        let seconds: Vec<Seconds> = [80.0, 95.0, 88.0].map(Seconds::from_s).to_vec();
        let load = Some(estimate::load_time(&seconds, sure).unwrap());
        let learned = Learned { load, ..Learned::default() };
        assert_eq!(learned.only(Switches::default()), Learned::default());
        assert_eq!(learned.only(Switches { load: true, ..Switches::default() }), learned);
    }
}
