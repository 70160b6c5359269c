//! Looks for the timetable that gives most running time: first good ones, then, as far as the effort goes, all that
//! could be better.

use crate::label::{First, Label, Visit};
use crate::price::{self, Prices, UNIT};
use crate::problem::{Problem, Ticks};
use std::collections::HashMap;

/// A timetable in ticks, and what is proven of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// Its visits, in the order of their starts.
    pub visits: Vec<Visit>,
    /// Running time until the horizon, with what ran already.
    pub running: Ticks,
    /// No timetable gives more.
    pub at_most: Ticks,
}

impl Found {
    /// Whether no timetable gives more.
    pub fn is_proven(&self) -> bool {
        self.running >= self.at_most
    }
}

/// How much is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Labels that are gone on with side by side in the first look for good timetables.
    pub side_by_side: usize,
    /// Labels that are then looked at for something better.
    pub labels: usize,
}

impl Effort {
    /// Some seconds for a shop of a dozen lathes.
    pub const USUAL: Effort = Effort { side_by_side: 64, labels: 150_000 };
}

/// Labels of one key that are remembered.
const REMEMBERED: usize = 12;

/// Looks for the best timetable; the same for the same problem and effort.
pub fn best(problem: &Problem, effort: Effort) -> Found {
    Search::of(problem).run(effort, None)
}

/// A problem with its prices, to be looked through more than once.
pub struct Search<'p> {
    problem: &'p Problem,
    prices: Prices,
}

impl<'p> Search<'p> {
    /// Finds the prices of a problem.
    pub fn of(problem: &'p Problem) -> Search<'p> {
        let rough = price::find(problem, 0);
        let mut beam = Search { problem, prices: rough };
        let first = beam.beam(None, 4);
        let least = replay(problem, &first).1;
        beam.prices = price::find(problem, least);
        beam
    }

    /// Looks for the best timetable; with `first`, for the best of those in which this person goes to this lathe
    /// first.
    pub fn run(&self, effort: Effort, first: First) -> Found {
        let problem = self.problem;
        let mut best = Best { visits: Vec::new(), value: 0 };
        if effort.side_by_side > 0 {
            for choose in PLAIN_WAYS {
                best.take(problem, &plainly(problem, first, *choose));
            }
            for width in [1, effort.side_by_side] {
                best.take(problem, &self.beam(first, width));
            }
        }
        let start = Label::first(problem);
        let mut all = Exhaustive {
            search: self,
            first,
            left: effort.labels,
            open: 0,
            best,
            path: Vec::new(),
            seen: HashMap::new(),
        };
        all.look(&start);
        let value = all.best.value;
        let open = (all.open.min(self.prices.bound) / UNIT) as Ticks;
        let already = problem.already();
        Found {
            visits: all.best.visits,
            running: already + value,
            at_most: already + open.max(value),
        }
    }

    /// Goes on with the most promising labels only.
    fn beam(&self, first: First, width: usize) -> Vec<Visit> {
        let problem = self.problem;
        let mut trails: Vec<(Visit, usize)> = Vec::new();
        let mut front = vec![(Label::first(problem), usize::MAX)];
        let mut best = (0, usize::MAX);
        while !front.is_empty() {
            let mut next: Vec<(i64, Label, usize, Visit)> = Vec::new();
            for (label, trail) in &front {
                for visit in label.candidates(problem, first) {
                    let behind = label.behind(problem, &visit);
                    next.push((behind.bound(&self.prices), behind, *trail, visit));
                }
            }
            // A stable order, so that the same problem has the same answer.
            next.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.last.cmp(&b.1.last)));
            front.clear();
            for (_, label, trail, visit) in next {
                let known = front.iter().any(|(other, _): &(Label, usize)| {
                    other.next == label.next && other.key() == label.key() && other.covers(&label)
                });
                if known {
                    continue;
                }
                trails.push((visit, trail));
                let trail = trails.len() - 1;
                if label.value > best.0 {
                    best = (label.value, trail);
                }
                front.push((label, trail));
                if front.len() >= width {
                    break;
                }
            }
        }
        let mut visits = Vec::new();
        let mut at = best.1;
        while let Some((visit, before)) = trails.get(at) {
            visits.push(*visit);
            at = *before;
        }
        visits.reverse();
        visits
    }
}

/// A plain way to choose the next visit: the one of which this says the least, where its lathe has stood since then.
type PlainWay = fn(&Problem, &Visit, Ticks) -> (Ticks, Ticks);

/// What people do who do not look ahead: first what can begin first, first what stood first, first what gives most
/// for its time.
const PLAIN_WAYS: &[PlainWay] = &[
    |_, visit, stands| (visit.start, stands),
    |_, visit, stands| (stands, visit.start),
    |problem, visit, _| {
        let step = problem.lathes[visit.lathe].steps[visit.step];
        let gain = u64::from(problem.gain(step, visit.end)).max(1);
        let takes = u64::from(visit.end - visit.leaves);
        ((takes * 1_000_000 / gain).min(u64::from(Ticks::MAX)) as Ticks, visit.start)
    },
];

/// The timetable of people who do not look ahead: none waits for a visit while another one fits in before.
fn plainly(problem: &Problem, first: First, choose: PlainWay) -> Vec<Visit> {
    let mut label = Label::first(problem);
    let mut visits = Vec::new();
    loop {
        let candidates = label.candidates(problem, first);
        let soonest = candidates.iter().map(|visit| visit.end).min();
        let begin = candidates.iter().filter(|visit| soonest.is_some_and(|end| visit.start < end));
        let next = begin.min_by_key(|visit| choose(problem, visit, label.stands[visit.lathe]));
        let Some(&visit) = next else { return visits };
        label = label.behind(problem, &visit);
        visits.push(visit);
    }
}

/// The best timetable so far.
struct Best {
    visits: Vec<Visit>,
    /// Running time behind its visits.
    value: Ticks,
}

impl Best {
    fn take(&mut self, problem: &Problem, visits: &[Visit]) {
        let (visits, value) = replay(problem, visits);
        if value > self.value {
            *self = Best { visits, value };
        }
    }
}

/// The same visits, each as early as the ones before it let it be, and their running time.
fn replay(problem: &Problem, visits: &[Visit]) -> (Vec<Visit>, Ticks) {
    let mut label = Label::first(problem);
    let mut early = Vec::new();
    for visit in visits {
        let step = problem.lathes[visit.lathe].steps[visit.step];
        let free = label.free[visit.person];
        let stands = label.stands[visit.lathe];
        let Some((leaves, start, end)) =
            problem.earliest(visit.person, free, visit.lathe, step, stands)
        else {
            continue;
        };
        let visit = Visit { leaves, start, end, ..*visit };
        label = label.behind(problem, &visit);
        early.push(visit);
    }
    early.sort_by_key(|visit| (visit.start, visit.person));
    (early, label.value)
}

/// Looks at every label that may lead to something better.
struct Exhaustive<'s, 'p> {
    search: &'s Search<'p>,
    first: First,
    /// Labels that may still be looked at.
    left: usize,
    /// At most given by what was not looked at, in units.
    open: i64,
    best: Best,
    path: Vec<Visit>,
    seen: HashMap<(Vec<u32>, Vec<usize>), Vec<Label>>,
}

impl Exhaustive<'_, '_> {
    fn look(&mut self, label: &Label) {
        let problem = self.search.problem;
        if label.value > self.best.value {
            let path = self.path.clone();
            self.best.take(problem, &path);
        }
        let prices = &self.search.prices;
        let mut next: Vec<(i64, Visit, Label)> = label
            .candidates(problem, self.first)
            .into_iter()
            .map(|visit| {
                let behind = label.behind(problem, &visit);
                (behind.bound(prices), visit, behind)
            })
            .collect();
        next.sort_by_key(|(bound, _, _)| std::cmp::Reverse(*bound));
        for (bound, visit, behind) in next {
            if bound / UNIT <= i64::from(self.best.value) || self.is_covered(&behind) {
                continue;
            }
            if self.left == 0 {
                self.open = self.open.max(bound);
                continue;
            }
            self.left -= 1;
            self.path.push(visit);
            self.look(&behind);
            self.path.pop();
        }
    }

    /// Whether a label that was looked at can do all that this one can; else it is remembered.
    fn is_covered(&mut self, label: &Label) -> bool {
        if self.left == 0 {
            return false;
        }
        let seen = self.seen.entry(label.key()).or_default();
        if seen.iter().any(|other| other.covers(label)) {
            return true;
        }
        seen.retain(|other| !label.covers(other));
        if seen.len() < REMEMBERED {
            seen.push(label.clone());
        }
        false
    }
}
