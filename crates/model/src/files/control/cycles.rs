//! `[cycles]` of a control file: how cycles are run.

use crate::Length;
use crate::choices;
use crate::files::keys::Keys;

choices! {
    /// What the layers of a roughing cycle are counted from.
    LevelsFrom {
        Allowance = "allowance": "from the start point moved by the finishing allowances",
        Start = "start": "from the start point itself",
    }
}

choices! {
    /// How the path of a nose radius goes around an outside corner.
    OutsideCorner {
        Straight = "straight": "along both lines to where they meet",
        Round = "round": "on an arc about the corner",
    }
}

/// How cycles are run.
#[derive(Debug, Clone, PartialEq)]
pub struct Cycles {
    /// What roughing layers are counted from.
    pub levels_from: LevelsFrom,
    /// How far a deep drilling cycle goes back after each peck; zero for all the way.
    pub drill_back: Length,
    /// Length of a threading box's pull-out in tenths of the lead.
    pub thread_pull_out: u32,
    /// How a nose radius goes around outside corners.
    pub outside_corner: OutsideCorner,
}

impl Cycles {
    /// Common practice, where the file says nothing.
    pub const fn usual() -> Cycles {
        Cycles {
            levels_from: LevelsFrom::Allowance,
            drill_back: Length::ZERO,
            thread_pull_out: 0,
            outside_corner: OutsideCorner::Straight,
        }
    }
}

pub(super) fn keys(keys: &Keys<'_>) -> Cycles {
    let usual = Cycles::usual();
    Cycles {
        levels_from: keys
            .choice("levels_from", "what the layers of roughing cycles are counted from")
            .or(usual.levels_from),
        drill_back: keys
            .length(
                "drill_back",
                "how far a deep drilling cycle goes back after each peck; 0 for all the way",
                Length::ZERO..=Length::from_mm(100),
            )
            .or(usual.drill_back),
        thread_pull_out: keys
            .count(
                "thread_pull_out",
                "length of a threading box's pull-out in tenths of the lead",
                0..=99,
            )
            .or(i64::from(usual.thread_pull_out)) as u32,
        outside_corner: keys
            .choice("outside_corner", "how a nose radius goes around outside corners")
            .or(usual.outside_corner),
    }
}
