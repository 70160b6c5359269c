//! Whether the lathe makes parts until someone is back, and what would let it.

use super::{Kind, Limit, Pace};
use crate::bar::BarPlan;
use crate::walk_away;
use model::Length;
use model::files::job::Job;
use model::quantity::Seconds;

/// What would let the lathe go on until someone is back, for one limit that ends it before.
#[derive(Debug, Clone, PartialEq)]
pub enum Reach {
    /// A blank of this length.
    Blank(Length),
    /// No blank that the spindle takes is long enough: the longest gives so many parts.
    NoBlank {
        /// Parts of the longest blank.
        parts: u32,
        /// When they are made.
        at: Seconds,
    },
    /// So many edges in all, each on a station of its own and used one after the other.
    Edges {
        /// The station that the first stands on.
        station: u32,
        /// How many, that one with them.
        count: u32,
    },
    /// A catcher with room for so many parts.
    Catcher(u32),
    /// Room for so many liters of chips.
    Chips(f64),
    /// A longer time in the shop's own limit.
    NeverLonger,
    /// More parts between two that are gauged.
    Gauge,
}

/// Whether the lathe makes parts until someone is back.
#[derive(Debug, Clone, PartialEq)]
pub struct Back {
    /// When someone is back.
    pub at: Seconds,
    /// Parts that would be made until then if nothing ended it before.
    pub wanted: u32,
    /// Parts that are made.
    pub made: u32,
    /// Whether nothing ends it before, or the order is complete.
    pub reached: bool,
    /// What would be needed, for each limit that ends it before, the first of them first; all are needed.
    pub reach: Vec<Reach>,
}

impl Back {
    pub(super) fn of(job: &Job, bar: &BarPlan, pace: Pace, at: Seconds, limits: &[Limit]) -> Back {
        let in_time = pace.parts_in(at);
        let quantity = job.file.order.quantity;
        let wanted = in_time.min(quantity);
        let first = limits.first().map_or(0, |limit| limit.parts);
        let made = first.min(wanted);
        // What ends the run at the very part that is the last one in time ends nothing.
        let early = |limit: &&Limit| limit.at.s() < at.s() && limit.parts < wanted;
        let reach = |limit: &Limit| reach(job, bar, pace, (at, wanted), limit);
        let mut reach: Vec<Reach> = limits.iter().filter(early).filter_map(reach).collect();
        // Where no bar is long enough, nothing else helps.
        if reach.iter().any(|it| matches!(it, Reach::NoBlank { .. })) {
            reach.retain(|it| matches!(it, Reach::NoBlank { .. }));
        }
        Back { at, wanted, made, reached: made >= wanted, reach }
    }
}

fn reach(
    job: &Job,
    bar: &BarPlan,
    pace: Pace,
    (until, wanted): (Seconds, u32),
    limit: &Limit,
) -> Option<Reach> {
    Some(match limit.kind {
        Kind::Order | Kind::Back => return None,
        Kind::Bar => {
            let blank = bar.division.shortest_blank(wanted) + bar.tolerance;
            if blank + bar.tolerance <= bar.longest_blank {
                Reach::Blank(blank)
            } else {
                let parts = bar.division.parts_per_bar(bar.longest_blank - bar.tolerance * 2);
                Reach::NoBlank { parts, at: pace.until(parts) }
            }
        }
        Kind::Edge(station) | Kind::Size(station) => {
            // An edge that does not last for one advance does not last any longer in a row of them.
            let parts = (limit.parts > 0).then_some(limit.parts)?;
            Reach::Edges { station, count: wanted.div_ceil(parts) }
        }
        Kind::Gauge => Reach::Gauge,
        Kind::Catcher => Reach::Catcher(wanted),
        Kind::Chips => Reach::Chips(walk_away::chips_of_part(job, bar)?.high * f64::from(wanted)),
        Kind::NeverLonger => return (until.s() > limit.at.s()).then_some(Reach::NeverLonger),
    })
}
