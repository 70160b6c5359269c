//! The problem of the timetable, in whole ticks of its clock.

use crate::course::Leg;
use crate::staffed::Span;
use model::quantity::Seconds;

/// Whole ticks from now, or a number of them.
pub type Ticks = u32;

/// A visit and the run behind it, in ticks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Step {
    /// How long someone is there, at least one tick.
    pub service: Ticks,
    /// How long the lathe then runs; longer than any horizon where its order is then complete, since it then
    /// loses nothing any more.
    pub run: Ticks,
}

/// A lathe.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lathe {
    /// When it stands first.
    pub stands_at: Ticks,
    /// Its visits in their order, as many as the horizon may see.
    pub steps: Vec<Step>,
}

/// A person.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Person {
    /// When this person is there, in order.
    pub spans: Vec<(Ticks, Ticks)>,
    /// Whether this person attends each of the lathes.
    pub attends: Vec<bool>,
}

/// Lathes that run by themselves between visits, and people who walk between them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// What is lost before it counts.
    pub horizon: Ticks,
    /// The lathes.
    pub lathes: Vec<Lathe>,
    /// The people.
    pub people: Vec<Person>,
    /// The walk from each place to each other: the lathes in their order, then the door. No way around is
    /// shorter.
    walk: Vec<Vec<Ticks>>,
}

/// Longer than any horizon.
pub const ENDLESS: Ticks = Ticks::MAX / 4;

impl Problem {
    /// A problem; a walk that is longer than a way around is taken as that way.
    pub fn new(
        horizon: Ticks,
        lathes: Vec<Lathe>,
        people: Vec<Person>,
        mut walk: Vec<Vec<Ticks>>,
    ) -> Problem {
        let places = lathes.len() + 1;
        walk.resize(places, Vec::new());
        for (place, row) in walk.iter_mut().enumerate() {
            row.resize(places, 0);
            row[place] = 0;
        }
        for over in 0..places {
            for from in 0..places {
                for to in 0..places {
                    walk[from][to] =
                        walk[from][to].min(walk[from][over].saturating_add(walk[over][to]));
                }
            }
        }
        Problem { horizon: horizon.min(ENDLESS), lathes, people, walk }
    }

    /// The place where people come from.
    pub fn door(&self) -> usize {
        self.lathes.len()
    }

    /// The walk between two places.
    pub fn walk(&self, from: usize, to: usize) -> Ticks {
        self.walk[from][to]
    }

    /// How much the run behind a visit gives that ends so.
    pub fn gain(&self, step: Step, end: Ticks) -> Ticks {
        step.run.min(self.horizon.saturating_sub(end))
    }

    /// Running time before the first visits.
    pub fn already(&self) -> Ticks {
        self.lathes.iter().map(|lathe| lathe.stands_at.min(self.horizon)).sum()
    }

    /// The earliest visit of this person at this lathe: leaving, start, end. A walk and what follows it lie in
    /// one span; in a later span the person comes from the door.
    pub fn earliest(
        &self,
        person: usize,
        (free, place): (Ticks, usize),
        lathe: usize,
        step: Step,
        stands_at: Ticks,
    ) -> Option<(Ticks, Ticks, Ticks)> {
        let spans = &self.people[person].spans;
        let first = spans.partition_point(|span| span.1 <= free);
        for &(from, to) in &spans[first..] {
            let (free, place) = if from > free { (from, self.door()) } else { (free, place) };
            let walk = self.walk(place, lathe);
            let start = (free + walk).max(stands_at);
            if start + step.service <= to {
                return Some((start - walk, start, start + step.service));
            }
        }
        None
    }
}

/// How a shop's times become ticks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tick(u32);

impl Tick {
    /// The finest that keeps a timetable of this length quick to find: 10 s up to a day and a half, half a minute
    /// up to four days, else a minute.
    pub fn fit(horizon: Seconds) -> Tick {
        match horizon.s() / 3600.0 {
            hours if hours <= 36.0 => Tick(10),
            hours if hours <= 96.0 => Tick(30),
            _ => Tick(60),
        }
    }

    /// Its length in seconds.
    pub const fn seconds(self) -> u32 {
        self.0
    }

    /// Ticks of a span of time, rounded up: a lathe that is visited then does stand, and who is there is done.
    pub fn up(self, time: Seconds) -> Ticks {
        let ticks = libm::ceil(time.s() / f64::from(self.0) - 1e-9).max(0.0);
        if ticks < f64::from(ENDLESS) { ticks as Ticks } else { ENDLESS }
    }

    /// Seconds of ticks.
    pub fn of(self, ticks: Ticks) -> i64 {
        i64::from(ticks) * i64::from(self.0)
    }

    /// Steps of legs.
    pub fn steps(self, legs: &[Leg]) -> Vec<Step> {
        let step = |leg: &Leg| Step {
            service: self.up(leg.service).max(1),
            run: if leg.last { ENDLESS } else { self.up(leg.run).max(1) },
        };
        legs.iter().map(step).collect()
    }

    /// Spans; what is no whole tick at an end is left off.
    pub fn spans(self, spans: &[Span]) -> Vec<(Ticks, Ticks)> {
        let tick = i64::from(self.0);
        let each = spans.iter().map(|&(from, to)| {
            let from = (from.max(0) + tick - 1) / tick;
            (from as Ticks, (to.max(0) / tick).min(i64::from(ENDLESS)) as Ticks)
        });
        each.filter(|(from, to)| from < to).collect()
    }
}
