//! A timetable up to some visit, and the visits that may come next.

use crate::price::{Prices, UNIT};
use crate::problem::{Problem, Ticks};

/// A visit, in ticks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Visit {
    /// Who goes.
    pub person: usize,
    /// Where to.
    pub lathe: usize,
    /// Which of the lathe's visits it is, from 0.
    pub step: usize,
    /// When the person leaves for it, walking.
    pub leaves: Ticks,
    /// When it starts: the person is there and the lathe stands.
    pub start: Ticks,
    /// When it ends and the lathe runs.
    pub end: Ticks,
}

/// Where a timetable has come to. Visits are added in the order of their starts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Label {
    /// The next visit of each lathe.
    pub(crate) next: Vec<u32>,
    /// When each lathe stands next.
    pub(crate) stands: Vec<Ticks>,
    /// When each person is free, and where.
    pub(crate) free: Vec<(Ticks, usize)>,
    /// The start of the last visit.
    pub(crate) last: Ticks,
    /// Running time behind the visits so far.
    pub(crate) value: Ticks,
}

/// The first visit of a person that is laid down: who, and where.
pub(crate) type First = Option<(usize, usize)>;

impl Label {
    pub(crate) fn first(problem: &Problem) -> Label {
        Label {
            next: vec![0; problem.lathes.len()],
            stands: problem.lathes.iter().map(|lathe| lathe.stands_at).collect(),
            free: vec![(0, problem.door()); problem.people.len()],
            last: 0,
            value: 0,
        }
    }

    /// At most given by any timetable that begins so, in units.
    pub(crate) fn bound(&self, prices: &Prices) -> i64 {
        let lathes =
            self.next.iter().zip(&self.stands).enumerate().map(|(lathe, (next, stands))| {
                prices.earns(lathe, *next as usize, (*stands).max(self.last))
            });
        let since = self.last.saturating_sub(prices.longest_walk);
        let people = self.free.iter().enumerate();
        let people = people.map(|(person, (free, _))| prices.left(person, (*free).max(since)));
        i64::from(self.value) * UNIT + lathes.sum::<i64>() + people.sum::<i64>()
    }

    /// The next visit of this lathe by this person; none where it would give nothing.
    ///
    /// A visit is put off until the start of the last one at least, so that what can follow depends on nothing but
    /// this label, and the earlier of two labels can do all that the later one can.
    fn visit(&self, problem: &Problem, person: usize, lathe: usize) -> Option<Visit> {
        if !problem.people[person].attends[lathe] {
            return None;
        }
        let at = self.next[lathe] as usize;
        let step = *problem.lathes[lathe].steps.get(at)?;
        let stands = self.stands[lathe].max(self.last);
        if stands >= problem.horizon {
            return None;
        }
        let (leaves, start, end) =
            problem.earliest(person, self.free[person], lathe, step, stands)?;
        (problem.gain(step, end) > 0).then_some(Visit {
            person,
            lathe,
            step: at,
            leaves,
            start,
            end,
        })
    }

    /// The visits that may come next and that some best timetable may need.
    pub(crate) fn candidates(&self, problem: &Problem, first: First) -> Vec<Visit> {
        let mut found = Vec::new();
        for person in 0..problem.people.len() {
            if self.has_twin_before(problem, person, first) {
                continue;
            }
            let lathes = 0..problem.lathes.len();
            let visits: Vec<Visit> =
                lathes.filter_map(|lathe| self.visit(problem, person, lathe)).collect();
            let laid_down =
                first.filter(|(who, _)| *who == person && self.free[person] == (0, problem.door()));
            if let Some((_, lathe)) = laid_down {
                found.extend(visits.into_iter().filter(|visit| visit.lathe == lathe));
                continue;
            }
            let free_before =
                |visit: &Visit| visits.iter().any(|other| self.fits_before(problem, other, visit));
            found.extend(visits.iter().filter(|visit| !free_before(visit)));
        }
        found
    }

    /// Whether the same person can make one visit and still start the other as early: then a timetable that leaves
    /// the one out here is never better.
    fn fits_before(&self, problem: &Problem, one: &Visit, other: &Visit) -> bool {
        // A cheap way to say no; what follows would say it too.
        if one.lathe == other.lathe || one.end > other.start {
            return false;
        }
        let step = problem.lathes[other.lathe].steps[other.step];
        let stands = self.stands[other.lathe];
        let then = problem.earliest(one.person, (one.end, one.lathe), other.lathe, step, stands);
        then.is_some_and(|(_, start, _)| start <= other.start)
    }

    /// Whether someone before this person in the list is just like this person, so that it is all one who goes.
    fn has_twin_before(&self, problem: &Problem, person: usize, first: First) -> bool {
        let twin = |other: usize| {
            self.free[other] == self.free[person] && problem.people[other] == problem.people[person]
        };
        first.is_none() && (0..person).any(twin)
    }

    /// The label behind a visit.
    pub(crate) fn behind(&self, problem: &Problem, visit: &Visit) -> Label {
        let step = problem.lathes[visit.lathe].steps[visit.step];
        let mut label = self.clone();
        label.next[visit.lathe] += 1;
        label.stands[visit.lathe] = visit.end.saturating_add(step.run);
        label.free[visit.person] = (visit.end, visit.lathe);
        label.last = visit.start;
        label.value += problem.gain(step, visit.end);
        label
    }

    /// What two labels must have alike to be compared.
    pub(crate) fn key(&self) -> (Vec<u32>, Vec<usize>) {
        (self.next.clone(), self.free.iter().map(|(_, place)| *place).collect())
    }

    /// Whether this label can do all that the other can, and has given as much; both have one key.
    ///
    /// Two things follow from lathes that stand nowhere later, since both made the same visits: it has given as much,
    /// for only the last visit of a lathe can lose time behind the horizon, and less the earlier it ended; and its
    /// last visit was no later, for then that visit's lathe would stand later too.
    pub(crate) fn covers(&self, other: &Label) -> bool {
        self.stands.iter().zip(&other.stands).all(|(ours, theirs)| ours <= theirs)
            && self.free.iter().zip(&other.free).all(|(ours, theirs)| ours.0 <= theirs.0)
    }
}
