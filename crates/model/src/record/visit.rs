//! When someone must come to a lathe next, and why, as far as the log knows.

use super::event::{Fills, StopWhy};
use super::lathe::{LatheNow, Runs};
use super::stamp::Stamp;
use super::tally::Tally;
use crate::files::keys::Choice as _;
use std::fmt;

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
    /// A size that this station turns may have drifted to its limit.
    Size(u32),
    /// Something is full.
    Full(Fills),
    /// A part is to be gauged.
    Gauge,
    /// The shop leaves it no longer.
    NeverLonger,
}

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Reason::Stands(why) => {
                let meaning = StopWhy::words().iter().find(|(_, one, _)| one == why);
                write!(f, "it stands: {}", meaning.map_or("", |(_, _, meaning)| meaning))
            }
            Reason::Bar => f.write_str("the bar ends"),
            Reason::Order => f.write_str("the order is complete"),
            Reason::Edge(station) => write!(f, "edge of station {station}"),
            Reason::Size(station) => write!(f, "a size of station {station} may be at its limit"),
            Reason::Full(Fills::Catcher) => f.write_str("the parts catcher is full"),
            Reason::Full(Fills::Chips) => f.write_str("the chip room is full"),
            Reason::Gauge => f.write_str("gauge a part"),
            Reason::NeverLonger => f.write_str("left alone no longer"),
        }
    }
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
    for (station, lasts) in &lathe.set_up.sizes {
        let made = lathe.drifted.get(station).copied().unwrap_or(0);
        in_parts(Reason::Size(*station), Some(lasts.saturating_sub(made)));
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::event::{Loaded, SetUp, Stopped};
    use crate::record::{BarNow, Lapse};

    fn at(seconds: i64) -> Stamp {
        Stamp::from_ms(seconds * 1000)
    }

    fn running() -> LatheNow {
        let bar = BarNow { loaded: Loaded::default(), since: at(0), made: 12 };
        LatheNow {
            set_up: SetUp {
                parts_per_bar: Some(30),
                part_time: Some(Lapse::from_s(60)),
                edges: [(3, 100)].into(),
                fills: [(Fills::Catcher, 40)].into(),
                gauge_every: Some(10),
                never_longer: Some(Lapse::from_s(2000)),
                ..SetUp::default()
            },
            bar: Some(bar),
            runs: Runs::Since(at(100)),
            edges: [(3, 98)].into(),
            fills: [(Fills::Catcher, 12)].into(),
            not_gauged: 12,
            attended: Some(at(100)),
            last_part: Some(at(900)),
            ..LatheNow::default()
        }
    }

    #[test]
    fn the_first_to_fall_due_comes_first() {
        let order = Tally { quantity: Some(400), made: 372, scrapped: 2, ..Tally::default() };
        let due: Vec<_> = visits(&running(), Some(&order))
            .into_iter()
            .map(|due| (due.reason, due.parts, due.at.map(|at| at.ms() / 1000)))
            .collect();
        assert_eq!(
            due,
            [
                // More were made than should have been without gauging: it is due since the last part.
                (Reason::Gauge, Some(0), Some(900)),
                (Reason::Edge(3), Some(2), Some(1020)),
                (Reason::Bar, Some(18), Some(1980)),
                (Reason::NeverLonger, None, Some(2100)),
                (Reason::Full(Fills::Catcher), Some(28), Some(2580)),
                (Reason::Order, Some(30), Some(2700)),
            ]
        );
    }

    #[test]
    fn a_lathe_that_stands_has_no_times_but_that_of_its_stop() {
        let stopped = Stopped { why: StopWhy::Alarm, block: None };
        let lathe = LatheNow { runs: Runs::Stopped(at(950), stopped), ..running() };
        let due = visits(&lathe, None);
        assert_eq!((due[0].reason, due[0].at), (Reason::Stands(StopWhy::Alarm), Some(at(950))));
        assert!(due[1..].iter().all(|due| due.at.is_none()));
        let parts: Vec<_> = due[1..].iter().map(|due| due.parts).collect();
        assert_eq!(parts, [Some(0), Some(2), Some(18), Some(28)]);
        assert_eq!(visits(&LatheNow::default(), None), []);
    }
}
