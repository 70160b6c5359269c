//! When someone must come to a lathe next, and why, as far as the log knows.

use super::event::{Fills, StopWhy};
use super::lathe::{LatheNow, Runs};
use super::stamp::Stamp;
use super::tally::Tally;

/// Why someone must come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reason {
    /// The lathe stands.
    Stands(StopWhy),
    /// The bar ends.
    Bar,
    /// The order is complete.
    Order,
    /// The edge of this station has made the parts it is left to make.
    Edge(u32),
    /// Something is full.
    Full(Fills),
    /// A part is to be gauged.
    Gauge,
    /// The shop leaves it no longer.
    NeverLonger,
}

/// One reason, and when it falls due.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Due {
    /// Why.
    pub reason: Reason,
    /// Parts until then; none where it does not hang on parts.
    pub parts: Option<u32>,
    /// When; none where the lathe does not run, or nobody recorded how long a part takes.
    pub at: Option<Stamp>,
}

/// Everything that someone must come for, the first first. `order` is that of the job on the lathe.
///
/// Parts are reckoned on from the last part (or the start) with the planned time of one part; those of which the
/// time is not known come last, fewest parts first.
pub fn visits(lathe: &LatheNow, order: Option<&Tally>) -> Vec<Due> {
    let mut due = Vec::new();
    let mut in_parts = |reason, parts: Option<u32>| {
        if let Some(parts) = parts {
            due.push(Due { reason, parts: Some(parts), at: reached(lathe, parts) });
        }
    };
    in_parts(Reason::Bar, lathe.left_in_bar());
    in_parts(Reason::Order, order.and_then(Tally::left));
    for (station, lasts) in &lathe.set_up.edges {
        let made = lathe.edges.get(station).copied().unwrap_or(0);
        in_parts(Reason::Edge(*station), Some(lasts.saturating_sub(made)));
    }
    for (what, holds) in &lathe.set_up.fills {
        let made = lathe.fills.get(what).copied().unwrap_or(0);
        in_parts(Reason::Full(*what), Some(holds.saturating_sub(made)));
    }
    let gauge = lathe.set_up.gauge_every.map(|every| every.saturating_sub(lathe.not_gauged));
    in_parts(Reason::Gauge, gauge);
    if let Some((longest, attended)) = lathe.set_up.never_longer.zip(lathe.attended)
        && matches!(lathe.runs, Runs::Since(_))
    {
        due.push(Due { reason: Reason::NeverLonger, parts: None, at: Some(attended + longest) });
    }
    if let Runs::Stopped(since, stopped) = &lathe.runs {
        due.push(Due { reason: Reason::Stands(stopped.why), parts: None, at: Some(*since) });
    }
    due.sort_by_key(|due| (due.at.is_none(), due.at, due.parts, due.reason));
    due
}

fn reached(lathe: &LatheNow, parts: u32) -> Option<Stamp> {
    let Runs::Since(started) = lathe.runs else { return None };
    let from = lathe.last_part.map_or(started, |last| last.max(started));
    lathe.set_up.part_time.map(|one| from + one.times(parts))
}
