//! What a lathe does from visit to visit: how long it runs by itself after each, and what is done there.

use model::files::shop::Attend;
use model::quantity::Seconds;
use std::fmt;

/// A thing to be done at a lathe.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Work {
    /// A new bar.
    Load,
    /// A new edge on this station.
    Edge(u32),
    /// The offset of this station moved, since a size that it turns has drifted.
    Size(u32),
    /// A part gauged.
    Gauge,
    /// The parts catcher emptied.
    Catcher,
    /// The chips cleared.
    Chips,
    /// A look, since the shop leaves the lathe no longer.
    Look,
}

impl Work {
    /// A stable word for scripts.
    pub const fn word(self) -> &'static str {
        match self {
            Work::Load => "load",
            Work::Edge(_) => "edge",
            Work::Size(_) => "size",
            Work::Gauge => "gauge",
            Work::Catcher => "catcher",
            Work::Chips => "chips",
            Work::Look => "look",
        }
    }

    /// The station whose edge is changed, where one is.
    pub const fn station(self) -> Option<u32> {
        match self {
            Work::Edge(station) => Some(station),
            _ => None,
        }
    }

    fn takes(self, attend: &Attend, load: Seconds) -> Seconds {
        match self {
            Work::Load => load,
            Work::Edge(_) => attend.edge,
            Work::Size(_) | Work::Gauge => attend.gauge,
            Work::Catcher => attend.catcher,
            Work::Chips => attend.chips,
            Work::Look => attend.look,
        }
    }
}

/// What is to be done, as one says it to the person who goes there.
impl fmt::Display for Work {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Work::Load => f.write_str("load a bar"),
            // An answer of a plan may not say which.
            Work::Edge(0) => f.write_str("change an edge"),
            Work::Edge(station) => write!(f, "change the edge of station {station}"),
            Work::Size(station) => write!(f, "gauge and move the offset of station {station}"),
            Work::Gauge => f.write_str("gauge a part"),
            Work::Catcher => f.write_str("empty the catcher"),
            Work::Chips => f.write_str("clear the chips"),
            Work::Look => f.write_str("look at it"),
        }
    }
}

/// What ends a run of so many parts, again and again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limit {
    /// What is then to be done; never [`Work::Load`].
    pub work: Work,
    /// Parts from one time to the next, at least one advance.
    pub parts: u32,
}

/// A lathe with its order.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// Parts of one bar.
    pub parts_per_bar: u32,
    /// Parts cut in one advance.
    pub parts_per_advance: u32,
    /// From cycle start of a new bar until the first advance's parts are made.
    pub first: Seconds,
    /// For each further advance.
    pub cycle: Seconds,
    /// What else than the end of a bar ends a run.
    pub limits: Vec<Limit>,
    /// Parts still to be made, from the next bar on; none for work without end.
    pub parts_left: Option<u32>,
    /// What loading a bar takes.
    pub load: Seconds,
    /// What stands when the lathe stands next; none where a new bar is then loaded and nothing else is due.
    pub begun: Option<Begun>,
}

/// A bar that is in the lathe already, and what its parts have added to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Begun {
    /// Parts made of it.
    pub in_bar: u32,
    /// Parts since each of the limits, in their order; none for one that nobody knows.
    pub since: Vec<u32>,
}

/// One visit and the run behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct Leg {
    /// What is done.
    pub works: Vec<Work>,
    /// How long someone is there.
    pub service: Seconds,
    /// How long the lathe then runs by itself.
    pub run: Seconds,
    /// Parts made in that run.
    pub parts: u32,
    /// Whether the order is then complete.
    pub last: bool,
}

impl Course {
    /// Bars alike and without end, each running so long.
    pub fn of_bars(run: Seconds, bars: Option<u32>, load: Seconds) -> Course {
        Course {
            parts_per_bar: 1,
            parts_per_advance: 1,
            first: run,
            cycle: Seconds::default(),
            limits: Vec::new(),
            parts_left: bars,
            load,
            begun: None,
        }
    }

    /// From the first visit on, until the order is complete or the runs together are longer than this; at most so
    /// many.
    ///
    /// At a visit everything is done that would otherwise end the run before the bar does: the catcher is emptied
    /// while one is there anyway.
    pub fn legs(&self, attend: &Attend, until: Seconds, at_most: usize) -> Vec<Leg> {
        let mut legs = Vec::new();
        let (mut in_bar, mut made, mut ran) = (self.parts_per_bar, 0, 0.0);
        let mut since: Vec<u32> = vec![0; self.limits.len()];
        if let Some(begun) = &self.begun {
            in_bar = begun.in_bar.min(self.parts_per_bar);
            for (since, known) in since.iter_mut().zip(&begun.since) {
                *since = *known;
            }
        }
        while ran <= until.s() && legs.len() < at_most {
            let left = self.parts_left.map_or(u32::MAX, |all| all.saturating_sub(made));
            if left == 0 || self.parts_per_bar == 0 {
                break;
            }
            let mut works = Vec::new();
            if in_bar >= self.parts_per_bar {
                works.push(Work::Load);
                in_bar = 0;
            }
            let ahead = (self.parts_per_bar - in_bar).min(left);
            for (limit, since) in self.limits.iter().zip(&mut since) {
                if *since > 0 && limit.parts.saturating_sub(*since) < ahead {
                    works.push(limit.work);
                    *since = 0;
                }
            }
            self.new_edges(&mut works, &mut since);
            let each = self.parts_per_advance.max(1);
            let least = |limit: &Limit| (limit.parts / each * each).max(each);
            let soonest = self.limits.iter().zip(&since);
            let soonest =
                soonest.map(|(limit, since)| least(limit).saturating_sub(*since).max(each));
            let parts = soonest.fold(ahead, u32::min);
            let run = self.until(in_bar + parts) - self.until(in_bar);
            let service = works.iter().map(|work| work.takes(attend, self.load)).sum();
            in_bar += parts;
            for since in &mut since {
                *since += parts;
            }
            made += parts;
            ran += run.s().max(1.0);
            legs.push(Leg { works, service, run, parts, last: parts >= left });
        }
        legs
    }

    /// With a new edge its sizes begin anew.
    fn new_edges(&self, works: &mut Vec<Work>, since: &mut [u32]) {
        let changed: Vec<Work> =
            works.iter().filter_map(|work| work.station().map(Work::Size)).collect();
        for (limit, since) in self.limits.iter().zip(since) {
            if changed.contains(&limit.work) {
                *since = 0;
            }
        }
        works.retain(|work| !changed.contains(work));
    }

    /// From cycle start of a new bar until so many of its parts are made.
    fn until(&self, parts: u32) -> Seconds {
        match parts.div_ceil(self.parts_per_advance.max(1)) {
            0 => Seconds::default(),
            advances => self.first + self.cycle * f64::from(advances - 1),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Work::{Catcher, Load};
    use super::*;

    fn minutes(minutes: f64) -> Seconds {
        Seconds::from_s(minutes * 60.0)
    }

    fn course(limits: Vec<Limit>, parts_left: Option<u32>) -> Course {
        Course {
            parts_per_bar: 44,
            parts_per_advance: 1,
            first: Seconds::from_s(90.0),
            cycle: Seconds::from_s(60.0),
            limits,
            parts_left,
            load: minutes(4.0),
            begun: None,
        }
    }

    #[test]
    fn a_bar_that_was_begun_is_used_up_first() {
        let edge = Limit { work: Work::Edge(3), parts: 50 };
        let begun = Begun { in_bar: 30, since: vec![50] };
        let course = Course { begun: Some(begun), ..course(vec![edge], Some(80)) };
        let legs = course.legs(&Attend::COMMON, minutes(1e6), 1000);
        let seen: Vec<(u32, Vec<Work>)> =
            legs.iter().map(|leg| (leg.parts, leg.works.clone())).collect();
        // The edge is worn out in the middle of the bar; its new one does not last for the whole of the next.
        assert_eq!(
            seen,
            [
                (14, vec![Work::Edge(3)]),
                (44, vec![Load, Work::Edge(3)]),
                (22, vec![Load, Work::Edge(3)])
            ]
        );
        assert_eq!(
            legs[0].run,
            Seconds::from_s(14.0 * 60.0),
            "no first cut in the middle of a bar"
        );
        let stopped = Begun { in_bar: 30, since: vec![3] };
        let course = Course { begun: Some(stopped), ..course };
        let first = &course.legs(&Attend::COMMON, minutes(1e6), 1000)[0];
        assert_eq!((first.works.as_slice(), first.parts), (&[][..], 14), "it is started again");
    }

    #[test]
    fn bars_alone_are_legs_alike_until_the_order_is_complete() {
        let legs = course(Vec::new(), Some(100)).legs(&Attend::COMMON, minutes(1e6), 1000);
        let parts: Vec<u32> = legs.iter().map(|leg| leg.parts).collect();
        assert_eq!(parts, [44, 44, 12]);
        assert_eq!(legs[0].run, Seconds::from_s(90.0 + 43.0 * 60.0));
        assert_eq!(legs[2].run, Seconds::from_s(90.0 + 11.0 * 60.0));
        assert!(legs[2].last && !legs[1].last);
        assert!(
            legs.iter()
                .all(|leg| leg.works == [Work::Load] && leg.service == Seconds::from_s(240.0))
        );
    }

    #[test]
    fn a_small_catcher_is_emptied_in_the_middle_of_a_bar_and_a_large_one_when_one_is_there() {
        let small = Limit { work: Work::Catcher, parts: 30 };
        let legs = course(vec![small], Some(88)).legs(&Attend::COMMON, minutes(1e6), 1000);
        let seen: Vec<(u32, Vec<Work>)> =
            legs.iter().map(|leg| (leg.parts, leg.works.clone())).collect();
        let expected =
            [(30, vec![Load]), (14, vec![Catcher]), (30, vec![Load, Catcher]), (14, vec![Catcher])];
        assert_eq!(seen, expected);
        assert_eq!(
            legs[1].run,
            Seconds::from_s(14.0 * 60.0),
            "no first cut in the middle of a bar"
        );
        // After two bars 88 of 120 are in: the third would not fit.
        let large = Limit { work: Work::Catcher, parts: 120 };
        let legs = course(vec![large], Some(220)).legs(&Attend::COMMON, minutes(1e6), 1000);
        let emptied: Vec<bool> = legs.iter().map(|leg| leg.works.contains(&Catcher)).collect();
        assert_eq!(emptied, [false, false, true, false, true]);
    }

    #[test]
    fn a_new_edge_sets_its_sizes_back() {
        let edge = Limit { work: Work::Edge(3), parts: 50 };
        let size = Limit { work: Work::Size(3), parts: 80 };
        let legs = course(vec![edge, size], Some(440)).legs(&Attend::COMMON, minutes(1e6), 1000);
        assert!(legs.iter().skip(1).all(|leg| leg.works == [Load, Work::Edge(3)]), "{legs:?}");
        let other = Limit { work: Work::Size(4), parts: 80 };
        let legs = course(vec![edge, other], Some(440)).legs(&Attend::COMMON, minutes(1e6), 1000);
        assert_eq!(legs.iter().filter(|leg| leg.works.contains(&Work::Size(4))).count(), 9);
    }

    #[test]
    fn no_run_goes_beyond_a_limit() {
        for parts in 1..100 {
            let limit = Limit { work: Work::Edge(3), parts };
            let legs = course(vec![limit], Some(500)).legs(&Attend::COMMON, minutes(1e6), 1000);
            let mut since = 0;
            for leg in &legs {
                if leg.works.contains(&Work::Edge(3)) {
                    since = 0;
                }
                since += leg.parts;
                assert!(since <= parts, "{parts}");
            }
            assert_eq!(legs.iter().map(|leg| leg.parts).sum::<u32>(), 500);
        }
    }
}
