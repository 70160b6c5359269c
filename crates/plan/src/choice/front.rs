//! What can be had at best of two things, time and wear: the candidates of which none is beaten in both.

use super::unit::{Candidate, Measure, Unit};

/// One point: seconds and wear for one part, and the candidate of each unit that makes it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Point {
    pub(super) time: f64,
    pub(super) wear: f64,
    pub(super) picks: Vec<Candidate>,
}

/// The candidates of a unit that keep every limit and of which none is beaten in both, the fastest
/// first. Where none keeps every limit, those that are no worse than the given data.
pub(super) fn of_unit(unit: &Unit<'_, '_>) -> Vec<Point> {
    let mut takings = unit.takings();
    takings.sort_by(|one, other| {
        let times = one.time.total_cmp(&other.time);
        times.then(one.wear.total_cmp(&other.wear)).then(one.candidate.cmp(&other.candidate))
    });
    let front = |measure| {
        let mut front: Vec<Point> = Vec::new();
        for taking in &takings {
            // Only what wears less than all faster ones is looked at.
            let better = front.last().is_none_or(|last| taking.wear < last.wear);
            if better && unit.broken(taking.candidate, measure).is_none() {
                let (time, wear) = (taking.time, taking.wear);
                front.push(Point { time, wear, picks: vec![taking.candidate] });
            }
        }
        front
    };
    let kept = front(Measure::Kept);
    if kept.is_empty() { front(Measure::NoWorse) } else { kept }
}

/// The front of two works that wear the same edge: each point of the one with each of the other, those
/// that are beaten left out. Nothing is lost by it: of a sum that is not beaten no part is beaten.
pub(super) fn both(one: &[Point], other: &[Point]) -> Vec<Point> {
    let mut sums: Vec<(f64, f64, usize, usize)> = Vec::with_capacity(one.len() * other.len());
    for (first, a) in one.iter().enumerate() {
        for (second, b) in other.iter().enumerate() {
            sums.push((a.time + b.time, a.wear + b.wear, first, second));
        }
    }
    sums.sort_by(|a, b| {
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)).then((a.2, a.3).cmp(&(b.2, b.3)))
    });
    let mut front: Vec<Point> = Vec::new();
    for (time, wear, first, second) in sums {
        if front.last().is_none_or(|last| wear < last.wear) {
            let picks = [one[first].picks.as_slice(), &other[second].picks].concat();
            front.push(Point { time, wear, picks });
        }
    }
    front
}

/// The fastest point that wears no more than this; the fastest is first.
pub(super) fn fastest_within(front: &[Point], wear: f64) -> Option<&Point> {
    front.iter().find(|point| point.wear <= wear)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn point(time: f64, wear: f64, pick: usize) -> Point {
        Point { time, wear, picks: vec![Candidate { speed: pick, feed: 0, depth: 0 }] }
    }

    fn front_of(points: &[(f64, f64)]) -> Vec<Point> {
        let all: Vec<Point> =
            points.iter().enumerate().map(|(pick, it)| point(it.0, it.1, pick)).collect();
        // With nothing added, only what is beaten goes.
        both(&all, &[Point { time: 0.0, wear: 0.0, picks: Vec::new() }])
    }

    proptest! {
        /// Whatever wear is allowed, the joined front has the least time of all pairs there are.
        #[test]
        fn a_joined_front_loses_nothing(
            one in prop::collection::vec((0.0_f64..9.0, 0.0_f64..9.0), 1..9),
            other in prop::collection::vec((0.0_f64..9.0, 0.0_f64..9.0), 1..9),
            allowed in 0.0_f64..18.0,
        ) {
            let joined = both(&front_of(&one), &front_of(&other));
            let found = fastest_within(&joined, allowed).map(|point| point.time);
            let pairs = one.iter().flat_map(|a| other.iter().map(move |b| (a.0 + b.0, a.1 + b.1)));
            let least = pairs.filter(|pair| pair.1 <= allowed).map(|pair| pair.0).reduce(f64::min);
            prop_assert_eq!(found, least);
        }
    }
}
