//! The timetable in seconds: who goes where when, to do what and why then, and what each lathe does.

use crate::course::{Leg, Work};
use crate::label::Visit;
use crate::problem::{Problem, Tick, Ticks};
use crate::search::{Effort, Found, Search};
use crate::setting::Setting;
use model::quantity::Seconds;

/// Why a lathe stood before a visit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Stood {
    /// It did not: the person is there when it stops.
    No,
    /// Nobody who attends it is there until the visit can begin.
    NobodyThere,
    /// Those who attend it are at other lathes: the person who then comes, and the lathe where that one was before,
    /// none where that one came to work.
    Busy(Option<usize>),
}

/// A visit, in seconds from now.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Who goes.
    pub person: usize,
    /// Where to.
    pub lathe: usize,
    /// What is done.
    pub works: Vec<Work>,
    /// When the person leaves for it.
    pub leaves: i64,
    /// When it begins.
    pub start: i64,
    /// When it ends and the lathe runs.
    pub end: i64,
    /// When the lathe stands again.
    pub runs_until: i64,
    /// Parts made until then.
    pub parts: u32,
    /// Whether the order is then complete.
    pub last: bool,
    /// Since when the lathe stood.
    pub stands_at: i64,
    /// Why it stood.
    pub stood: Stood,
}

/// What a lathe does for a while.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doing {
    /// It runs by itself.
    Runs,
    /// It stands and nobody is at it.
    Stands,
    /// The visit of this number in the timetable.
    Attended(usize),
    /// Its order is complete.
    Done,
}

/// A stretch of a lane: from, to, and what the lathe does.
pub type Stretch = (i64, i64, Doing);

/// Going first somewhere else: what it would cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Instead {
    /// The other lathe.
    pub lathe: usize,
    /// Spindle time that is lost more until the horizon.
    pub loses: i64,
    /// Whether that is proven to be just so much.
    pub proven: bool,
}

/// Where a person goes next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Next {
    /// The person.
    pub person: usize,
    /// The number of the first visit in the timetable; none where the person is not needed.
    pub visit: Option<usize>,
    /// What it would cost to go first somewhere else; the least first.
    pub instead: Vec<Instead>,
}

/// A timetable.
#[derive(Debug, Clone, PartialEq)]
pub struct Timetable {
    /// Until when it reaches.
    pub horizon: i64,
    /// Its smallest step of time.
    pub tick: Tick,
    /// Its visits, in the order of their starts.
    pub visits: Vec<Entry>,
    /// What each lathe does.
    pub lanes: Vec<Vec<Stretch>>,
    /// When each person is there.
    pub staffed: Vec<Vec<(i64, i64)>>,
    /// Spindle time lost, in seconds: lathes with work that stand or are attended.
    pub lost: i64,
    /// No timetable loses less.
    pub least_lost: i64,
    /// Where each person goes next.
    pub next: Vec<Next>,
}

/// Lathes to which one could go first instead that are tried.
const TRIED: usize = 4;

impl Timetable {
    /// The timetable of a shop until then that loses least spindle time, as far as the effort goes.
    pub fn of(setting: &Setting, horizon: Seconds, effort: Effort) -> Timetable {
        let tick = Tick::fit(horizon);
        let problem = setting.problem(horizon, tick);
        let legs = setting.legs(horizon);
        let search = Search::of(&problem);
        let mut found = search.run(effort, None);
        let mut next = nexts(&problem, &search, &found, tick);
        // Where a first visit that was laid down led to something better, that is now the timetable.
        while let Some(better) = next.1 {
            found = Found { at_most: found.at_most, ..better };
            next = nexts(&problem, &search, &found, tick);
        }
        let all = i64::from(problem.horizon) * problem.lathes.len() as i64;
        let entries = entries(&problem, &legs, &found, tick);
        Timetable {
            horizon: tick.of(problem.horizon),
            tick,
            lanes: lanes(&problem, &entries, tick),
            staffed: setting.staffed(horizon),
            lost: (all - i64::from(found.running)) * i64::from(tick.seconds()),
            least_lost: (all - i64::from(found.at_most)) * i64::from(tick.seconds()),
            next: next.0,
            visits: entries,
        }
    }

    /// Whether no timetable loses less.
    pub fn is_proven(&self) -> bool {
        self.lost <= self.least_lost
    }

    /// How long a lathe does something, in seconds.
    pub fn time_of(&self, lathe: usize, is: impl Fn(Doing) -> bool) -> i64 {
        self.lanes[lathe]
            .iter()
            .filter(|(_, _, doing)| is(*doing))
            .map(|(from, to, _)| to - from)
            .sum()
    }

    /// How long a person walks or is at a lathe, in seconds.
    pub fn busy(&self, person: usize) -> i64 {
        let visits = self.visits.iter().filter(|visit| visit.person == person);
        visits.map(|visit| visit.end - visit.leaves).sum()
    }

    /// How long a person is there, in seconds.
    pub fn there(&self, person: usize) -> i64 {
        self.staffed[person].iter().map(|(from, to)| to - from).sum()
    }
}

fn entries(problem: &Problem, legs: &[Vec<Leg>], found: &Found, tick: Tick) -> Vec<Entry> {
    let mut stands: Vec<Ticks> = problem.lathes.iter().map(|lathe| lathe.stands_at).collect();
    let mut entries = Vec::new();
    for (index, visit) in found.visits.iter().enumerate() {
        let leg = &legs[visit.lathe][visit.step];
        let stands_at = stands[visit.lathe];
        let until = visit.end + tick.up(leg.run).max(1);
        stands[visit.lathe] = until;
        entries.push(Entry {
            person: visit.person,
            lathe: visit.lathe,
            works: leg.works.clone(),
            leaves: tick.of(visit.leaves),
            start: tick.of(visit.start),
            end: tick.of(visit.end),
            runs_until: tick.of(until),
            parts: leg.parts,
            last: leg.last,
            stands_at: tick.of(stands_at),
            stood: stood(problem, &found.visits[..index], visit, stands_at),
        });
    }
    entries
}

/// Why a lathe stood before a visit, from the visits before it.
fn stood(problem: &Problem, before: &[Visit], visit: &Visit, stands_at: Ticks) -> Stood {
    if visit.start <= stands_at {
        return Stood::No;
    }
    let (from, to) = (stands_at, visit.leaves.max(stands_at));
    let attend = problem.people.iter().filter(|person| person.attends[visit.lathe]);
    let there = attend.flat_map(|person| &person.spans).any(|span| span.0 < to && span.1 > from);
    // Who is there at the end of the stretch only to go to this lathe does not count as being there before.
    if from < to && !there {
        return Stood::NobodyThere;
    }
    let last = before.iter().rev().find(|it| it.person == visit.person);
    let span = problem.people[visit.person].spans.iter().find(|span| span.1 >= visit.end);
    let same = last.filter(|last| span.is_some_and(|span| last.end > span.0));
    Stood::Busy(same.map(|last| last.lathe))
}

fn lanes(problem: &Problem, entries: &[Entry], tick: Tick) -> Vec<Vec<Stretch>> {
    let horizon = tick.of(problem.horizon);
    let lane = |lathe: usize| {
        let mut lane: Vec<Stretch> = Vec::new();
        let mut at = 0;
        let mut add = |to: i64, doing: Doing| {
            let to = to.min(horizon);
            if to > at {
                lane.push((at, to, doing));
                at = to;
            }
        };
        add(tick.of(problem.lathes[lathe].stands_at), Doing::Runs);
        let mut rest =
            if problem.lathes[lathe].steps.is_empty() { Doing::Done } else { Doing::Stands };
        for (index, visit) in entries.iter().enumerate().filter(|(_, visit)| visit.lathe == lathe) {
            add(visit.start, Doing::Stands);
            add(visit.end, Doing::Attended(index));
            add(visit.runs_until, Doing::Runs);
            rest = if visit.last { Doing::Done } else { Doing::Stands };
        }
        add(horizon, rest);
        lane
    };
    (0..problem.lathes.len()).map(lane).collect()
}

/// Where each person goes next; and a better timetable, where looking for that has found one.
fn nexts(
    problem: &Problem,
    search: &Search<'_>,
    found: &Found,
    tick: Tick,
) -> (Vec<Next>, Option<Found>) {
    let mut better: Option<Found> = None;
    let mut nexts = Vec::new();
    for person in 0..problem.people.len() {
        let visit = found.visits.iter().position(|visit| visit.person == person);
        let mut instead = Vec::new();
        for lathe in visit.map_or_else(Vec::new, |index| others(problem, found, index)) {
            let other = search.run(ALTERNATIVE, Some((person, lathe)));
            let loses = i64::from(found.running) - i64::from(other.running);
            let proven = found.is_proven() && other.is_proven();
            instead.push(Instead { lathe, loses: loses * i64::from(tick.seconds()), proven });
            let best = better.as_ref().map_or(found.running, |better| better.running);
            if other.running > best {
                better = Some(other);
            }
        }
        instead.sort_by_key(|it| (it.loses, it.lathe));
        nexts.push(Next { person, visit, instead });
    }
    (nexts, better)
}

/// How much is looked at for each first visit that is laid down.
const ALTERNATIVE: Effort = Effort { side_by_side: 12, labels: 4_000 };

/// The lathes that stand soonest to which the person of a visit could go first instead.
fn others(problem: &Problem, found: &Found, index: usize) -> Vec<usize> {
    let Visit { person, lathe: goes, .. } = found.visits[index];
    let mut others: Vec<usize> = (0..problem.lathes.len())
        .filter(|&lathe| lathe != goes && problem.people[person].attends[lathe])
        .filter(|&lathe| !problem.lathes[lathe].steps.is_empty())
        .collect();
    others.sort_by_key(|&lathe| problem.lathes[lathe].stands_at);
    others.truncate(TRIED);
    others
}
