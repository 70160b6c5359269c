//! Runs a shop many times, each time with other chance.
//!
//! From event to event: a lathe stops, someone is free, someone comes to work. Whoever is free goes by the rule of
//! the floor, where walk and usual time still fit before the break; what then takes longer is done to its end.

use crate::chance::{Chance, Scatter};
use crate::floor::{Floor, FloorPerson, Rule, Turn};
use rayon::prelude::*;

/// What one run came to, in seconds.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Of each lathe.
    pub lathes: Vec<Tally>,
    /// Walking and attending time of each person.
    pub busy: Vec<f64>,
}

/// What a lathe did in one run.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Tally {
    /// It ran.
    pub running: f64,
    /// It stood and nobody was at it.
    pub waiting: f64,
    /// Someone was at it.
    pub attended: f64,
    /// How often someone came.
    pub visits: u32,
}

/// Many runs; the same for the same seed, however many threads there are.
pub fn runs(floor: &Floor, seed: u64, count: u32) -> Vec<Run> {
    (0..count)
        .into_par_iter()
        .map(|number| run(floor, Chance::of(seed, u64::from(number))))
        .collect()
}

/// One run.
pub fn run(floor: &Floor, chance: Chance) -> Run {
    let mut now = Now::start(floor, chance);
    let mut next = now.next();
    while next.0 < floor.horizon {
        let at = next.0;
        // All that happens at one moment is known before anyone decides.
        while next.0 <= at {
            match next.1 {
                Event::Stops(lathe) => now.stops(lathe, at),
                Event::Ready(person) => now.wake(person, at),
            }
            next = now.next();
        }
        if now.send_people(at) {
            next = now.next();
        }
    }
    now.end()
}

/// What happens next.
#[derive(Clone, Copy)]
enum Event {
    /// This lathe stops.
    Stops(usize),
    /// This person is free, comes to work or goes.
    Ready(usize),
}

/// A lathe at some moment.
struct LatheNow {
    /// Since when it stands, where it does.
    since: f64,
    /// Its next turn.
    turn: usize,
    /// What of its run is left behind a stop that nobody planned; none where the next turn is due.
    rest: Option<f64>,
    tally: Tally,
}

/// A person at some moment.
struct PersonNow {
    /// The present or the next span.
    span: usize,
    place: usize,
    free: bool,
    busy: f64,
}

struct Now<'f> {
    floor: &'f Floor,
    chance: Chance,
    lathes: Vec<LatheNow>,
    people: Vec<PersonNow>,
    /// When each lathe stops; never while it stands.
    stops: Vec<f64>,
    /// When each person is free, comes to work or goes.
    ready: Vec<f64>,
    /// The lathes that stand and that nobody is on the way to.
    standing: Vec<usize>,
}

const NEVER: f64 = f64::INFINITY;

impl<'f> Now<'f> {
    fn start(floor: &'f Floor, chance: Chance) -> Now<'f> {
        let lathes = floor.lathes.iter().map(|lathe| {
            let running = lathe.stands_at.min(floor.horizon);
            let tally = Tally { running, ..Tally::default() };
            LatheNow { since: 0.0, turn: 0, rest: None, tally }
        });
        let door = floor.lathes.len();
        let person = PersonNow { span: 0, place: door, free: false, busy: 0.0 };
        let from = |person: &FloorPerson| person.spans.first().map_or(NEVER, |span| span.0);
        Now {
            floor,
            chance,
            lathes: lathes.collect(),
            people: floor.people.iter().map(|_| PersonNow { ..person }).collect(),
            stops: floor.lathes.iter().map(|lathe| lathe.stands_at).collect(),
            ready: floor.people.iter().map(from).collect(),
            standing: Vec::new(),
        }
    }

    /// The next event and when it is; at one moment lathes come first.
    fn next(&self) -> (f64, Event) {
        let mut next = (NEVER, Event::Ready(0));
        for (lathe, &at) in self.stops.iter().enumerate() {
            if at < next.0 {
                next = (at, Event::Stops(lathe));
            }
        }
        for (person, &at) in self.ready.iter().enumerate() {
            if at < next.0 {
                next = (at, Event::Ready(person));
            }
        }
        next
    }

    fn stops(&mut self, lathe: usize, at: f64) {
        self.lathes[lathe].since = at;
        self.stops[lathe] = NEVER;
        self.standing.push(lathe);
    }

    /// A person is free, comes to work or goes.
    fn wake(&mut self, person: usize, at: f64) {
        let spans = &self.floor.people[person].spans;
        let now = &mut self.people[person];
        while spans.get(now.span).is_some_and(|span| span.1 <= at) {
            now.span += 1;
            now.place = self.floor.lathes.len();
        }
        let (from, to) = spans.get(now.span).copied().unwrap_or((NEVER, NEVER));
        now.free = from <= at;
        self.ready[person] = if now.free { to } else { from };
    }

    /// Sends all who can go; whether anyone went.
    fn send_people(&mut self, at: f64) -> bool {
        let mut any = false;
        while !self.standing.is_empty() && self.people.iter().any(|who| who.free) {
            let Some((person, place)) = self.best(at) else { break };
            self.send(person, place, at);
            any = true;
        }
        any
    }

    /// Who goes where now, as a place in the list of lathes that stand.
    fn best(&self, at: f64) -> Option<(usize, usize)> {
        let mut best = None;
        let mut most = f64::NEG_INFINITY;
        for (place, &lathe) in self.standing.iter().enumerate() {
            let turn = self.turn(lathe);
            for (person, who) in self.people.iter().enumerate() {
                let data = &self.floor.people[person];
                if !who.free || !data.attends[lathe] {
                    continue;
                }
                let takes = self.floor.walk[who.place][lathe] + turn.service;
                if at + takes > data.spans[who.span].1 {
                    continue;
                }
                let worth = match self.floor.rule {
                    Rule::MostRunning => turn.run / takes.max(1.0),
                    // The nearest of those who are free.
                    Rule::FirstStood => at - self.lathes[lathe].since - 1e-6 * takes,
                };
                if worth > most {
                    most = worth;
                    best = Some((person, place));
                }
            }
        }
        best
    }

    /// What is due at a lathe, before chance.
    fn turn(&self, lathe: usize) -> Turn {
        let (now, data) = (&self.lathes[lathe], &self.floor.lathes[lathe]);
        match (now.rest, &data.stops) {
            (Some(run), Some(stops)) => Turn { service: stops.takes, run },
            _ => data.turns[now.turn],
        }
    }

    fn send(&mut self, person: usize, place: usize, at: f64) {
        let lathe = self.standing.swap_remove(place);
        let turn = self.turn(lathe);
        let data = &self.floor.lathes[lathe];
        let (now, who) = (&mut self.lathes[lathe], &mut self.people[person]);
        let walk = self.floor.walk[who.place][lathe];
        let start = at + walk;
        let planned = now.rest.is_none();
        let scatter = match (&data.stops, planned) {
            (Some(stops), false) => stops.scatter,
            _ => self.floor.service,
        };
        let service = self.chance.draw(turn.service, scatter);
        let whole = if planned { self.chance.draw(turn.run, data.run) } else { turn.run };
        let unplanned = match &data.stops {
            Some(stops) => self.chance.draw(stops.every, Scatter::Exponential),
            None => NEVER,
        };
        let end = start + service;
        let run = whole.min(unplanned);
        let left = |from: f64| (self.floor.horizon - from).max(0.0);
        now.tally.waiting += start.min(self.floor.horizon) - now.since;
        now.tally.attended += service.min(left(start));
        now.tally.running += run.min(left(end));
        now.tally.visits += 1;
        now.rest = (unplanned < whole).then_some(whole - unplanned);
        if planned {
            now.turn += 1;
            if now.turn == data.turns.len() {
                now.turn = 0;
            }
        }
        self.stops[lathe] = end + run;
        who.busy += (walk + service).min(left(at));
        who.place = lathe;
        who.free = false;
        self.ready[person] = end;
    }

    fn end(self) -> Run {
        let horizon = self.floor.horizon;
        let mut lathes: Vec<Tally> = self.lathes.iter().map(|lathe| lathe.tally).collect();
        for &lathe in &self.standing {
            lathes[lathe].waiting += (horizon - self.lathes[lathe].since).max(0.0);
        }
        Run { lathes, busy: self.people.iter().map(|person| person.busy).collect() }
    }
}

/// A figure over many runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// The mean.
    pub mean: f64,
    /// Half of the range that holds the true mean 95 times of 100; how many runs there were decides it.
    pub half: f64,
    /// One run of ten is below this.
    pub low: f64,
    /// One run of ten is above this.
    pub high: f64,
}

impl Figure {
    /// Of at least one run.
    pub fn of(values: impl Iterator<Item = f64>) -> Figure {
        let mut values: Vec<f64> = values.collect();
        values.sort_by(f64::total_cmp);
        let count = values.len().max(1) as f64;
        let mean = values.iter().sum::<f64>() / count;
        let square = values.iter().map(|value| (value - mean) * (value - mean)).sum::<f64>();
        let deviation = libm::sqrt(square / (count - 1.0).max(1.0));
        let at = |share: f64| {
            let index = libm::round(share * (count - 1.0)) as usize;
            values.get(index).copied().unwrap_or_default()
        };
        // The normal law's 97.5 %.
        Figure {
            mean,
            half: 1.959_964 * deviation / libm::sqrt(count),
            low: at(0.1),
            high: at(0.9),
        }
    }
}
