//! What to ask an agent next, and what follows from its answer. No socket, no clock.

use crate::document::{AgentError, Document, Observation, Streams};
use crate::happening::{Gap, Happening, Id, State, What};
use crate::watch::Watch;
use std::collections::BTreeMap;
use std::time::Duration;

/// Where one is, so that following goes on after a restart of this side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// The run of the agent.
    pub instance: u64,
    /// The number to ask from next.
    pub next: u64,
    /// What the counter of parts showed last; none where it was not told yet.
    pub total: Option<u64>,
    /// What the control did last.
    pub state: State,
}

impl Place {
    /// Where one is once this happening has been recorded. A log that holds the place of the
    /// beginning and every happening since needs to keep no other: after a crash in between, following
    /// goes on behind the last one that it holds, and nothing is counted twice.
    #[must_use]
    pub fn after(self, happening: &Happening) -> Place {
        let id = happening.id;
        let next = if id.gap { id.sequence.max(1) } else { id.sequence.saturating_add(1) };
        let place = Place { instance: id.instance, next, ..self };
        match happening.what {
            What::Parts { total, .. } => Place { total: Some(total), ..place },
            What::CountSetBack { to, .. } => Place { total: Some(to), ..place },
            What::State(state) => Place { state, ..place },
            What::BarEnded | What::Gap(_) => place,
        }
    }
}

/// What to ask next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Request {
    /// How everything stands.
    Current,
    /// What happened from a number on, so many at most.
    Sample {
        /// First number.
        from: u64,
        /// Most observations.
        count: u32,
    },
}

impl Request {
    /// As the end of an address.
    pub fn query(self) -> String {
        match self {
            Request::Current => "current".to_owned(),
            Request::Sample { from, count } => format!("sample?from={from}&count={count}"),
        }
    }
}

/// Why an answer was of no use.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refused {
    /// The agent said what is wrong, and it is not that the numbers are gone.
    Agent(Vec<AgentError>),
    /// It answered something else than was asked for.
    NotStreams,
    /// Its numbers go backward within one run: the next that it names.
    Backward(u64),
}

/// Follows one device.
#[derive(Debug, Clone)]
pub struct Follower {
    watch: Watch,
    place: Option<Place>,
    /// The buffer no longer holds what would come next, or the agent started anew.
    lost: bool,
    failures: u32,
    more_waits: bool,
    /// What the agent's clock showed with its last answer.
    clock: String,
}

/// Most observations that are asked for at once.
const AT_ONCE: u32 = 1000;
/// Time between two looks where all is well.
const LOOK: Duration = Duration::from_secs(2);
/// Longest time between two tries where it is not.
const LONGEST: Duration = Duration::from_mins(1);

impl Follower {
    /// Begins, or goes on where one was.
    pub const fn new(watch: Watch, place: Option<Place>) -> Follower {
        let clock = String::new();
        Follower { watch, place, lost: false, failures: 0, more_waits: false, clock }
    }

    /// Where one is now. To be recorded at the beginning; from there on [`Place::after`] follows
    /// what was recorded.
    pub const fn place(&self) -> Option<Place> {
        self.place
    }

    /// What the agent's clock showed with its last answer, as it writes it; how old its observations are is
    /// reckoned from that, whatever this side's clock shows.
    pub fn clock(&self) -> Option<&str> {
        Some(self.clock.as_str()).filter(|it| !it.is_empty())
    }

    /// What to ask next.
    pub fn request(&self) -> Request {
        match self.place {
            Some(place) if !self.lost => Request::Sample { from: place.next, count: AT_ONCE },
            _ => Request::Current,
        }
    }

    /// How long to wait before asking: nothing where more is known to be there, longer and longer
    /// where the agent does not answer.
    pub fn wait(&self) -> Duration {
        match self.failures {
            0 if self.more_waits => Duration::ZERO,
            0 => LOOK,
            failures => LOOK.saturating_mul(1 << failures.min(6).saturating_sub(1)).min(LONGEST),
        }
    }

    /// The agent did not answer, or nothing that can be read.
    pub fn failed(&mut self) {
        self.failures = self.failures.saturating_add(1);
        self.more_waits = false;
    }

    /// What follows from an answer, in the order in which it happened.
    ///
    /// # Errors
    /// An answer that says nothing; it counts as a failure, and the place stays.
    pub fn take(&mut self, answer: Document) -> Result<Vec<Happening>, Refused> {
        let taken = match answer {
            Document::Streams(streams) => self.streams(&streams),
            Document::Errors(errors) if errors.iter().any(|it| it.code == "OUT_OF_RANGE") => {
                // Asking again at once is right once only: `current` is never out of range.
                let again = self.lost;
                (self.lost, self.more_waits) = (true, true);
                if again { Err(Refused::Agent(errors)) } else { Ok(Vec::new()) }
            }
            Document::Errors(errors) => Err(Refused::Agent(errors)),
            Document::Devices(_) => Err(Refused::NotStreams),
        };
        match taken {
            Ok(_) => self.failures = 0,
            Err(_) => self.failed(),
        }
        taken
    }

    fn streams(&mut self, streams: &Streams) -> Result<Vec<Happening>, Refused> {
        self.clock.clone_from(&streams.created);
        let Some(place) = self.place else {
            self.place = Some(self.beginning(streams));
            return Ok(Vec::new());
        };
        let anew = streams.instance != place.instance;
        if anew && !self.lost {
            // The numbers that were asked for mean nothing in the new run: look at how it stands.
            (self.lost, self.more_waits) = (true, true);
            return Ok(Vec::new());
        }
        if !anew && streams.next < place.next {
            self.lost = true;
            return Err(Refused::Backward(streams.next));
        }
        let mut said = Said { place, happened: Vec::new(), in_gap: self.lost };
        if anew {
            said.place.instance = streams.instance;
            said.place.next = 0;
        }
        let fresh = in_order(streams, said.place.next, &self.watch);
        said.gap(place, streams, anew, &fresh);
        for observation in &fresh {
            said.observe(observation, &self.watch);
        }
        let last = fresh.last().map_or(0, |it| it.sequence.saturating_add(1));
        said.place.next = streams.next.max(last);
        let full = streams.observations.len() >= AT_ONCE as usize;
        self.more_waits = full || self.lost;
        self.lost = false;
        self.place = Some(said.place);
        Ok(said.happened)
    }

    /// Where one stands at first sight: nothing that was counted before is counted now.
    fn beginning(&self, streams: &Streams) -> Place {
        let seen = in_order(streams, 0, &self.watch);
        let last = |item: &Option<String>| {
            seen.iter().rev().find(|it| Some(&it.item) == item.as_ref()).map(|it| it.value.as_str())
        };
        Place {
            instance: streams.instance,
            next: streams.next,
            total: last(&self.watch.parts).and_then(count),
            state: last(&self.watch.execution).map_or(State::Unknown, State::of),
        }
    }
}

/// The watched observations from a number on, each number once, in order.
fn in_order<'a>(streams: &'a Streams, from: u64, watch: &Watch) -> Vec<&'a Observation> {
    let fresh = streams.observations.iter();
    let fresh = fresh.filter(|it| it.sequence >= from && watch.sees(&it.item));
    let once: BTreeMap<u64, &Observation> = fresh.map(|it| (it.sequence, it)).collect();
    once.into_values().collect()
}

/// What is said on the way through one answer.
struct Said {
    place: Place,
    happened: Vec<Happening>,
    /// Whether the next parts that are told fell into a gap.
    in_gap: bool,
}

impl Said {
    /// Tells a gap, once for each answer.
    fn gap(&mut self, before: Place, streams: &Streams, anew: bool, fresh: &[&Observation]) {
        // `current` leaves out all that came between; `sample` begins where the buffer does.
        let there = if self.in_gap { streams.next } else { streams.first };
        let gap = if anew {
            Gap::Restart { before: before.instance }
        } else if there > before.next {
            Gap::Overrun { from: before.next, to: there - 1 }
        } else {
            return;
        };
        self.in_gap = true;
        let time = fresh.first().map_or(String::new(), |it| it.time.clone());
        let sequence = if anew { 0 } else { before.next };
        let id = Id { instance: streams.instance, sequence, gap: true };
        self.happened.push(Happening { id, time, what: What::Gap(gap) });
    }

    fn observe(&mut self, observation: &Observation, watch: &Watch) {
        let is = |item: &Option<String>| item.as_ref() == Some(&observation.item);
        let what = if is(&watch.parts) {
            self.parts(&observation.value)
        } else if is(&watch.execution) {
            let state = State::of(&observation.value);
            let changed = state != self.place.state;
            self.place.state = state;
            changed.then_some(What::State(state))
        } else {
            (observation.value == "YES").then_some(What::BarEnded)
        };
        if let Some(what) = what {
            let (instance, sequence) = (self.place.instance, observation.sequence);
            let id = Id { instance, sequence, gap: false };
            self.happened.push(Happening { id, time: observation.time.clone(), what });
        }
    }

    fn parts(&mut self, value: &str) -> Option<What> {
        // `UNAVAILABLE` leaves what was counted last: the counter goes on from there.
        let total = count(value)?;
        let in_gap = std::mem::take(&mut self.in_gap);
        match self.place.total.replace(total) {
            Some(before) if total > before => {
                Some(What::Parts { more: total - before, total, in_gap })
            }
            Some(before) if total < before => Some(What::CountSetBack { from: before, to: total }),
            _ => None,
        }
    }
}

/// A count as an agent may write it: whole, or with nothing behind its point.
fn count(value: &str) -> Option<u64> {
    let (whole, rest) = value.split_once('.').unwrap_or((value, ""));
    let zeros = rest.bytes().all(|byte| byte == b'0');
    whole.parse().ok().filter(|total| zeros && *total <= MOST)
}

/// More parts than any counter holds.
const MOST: u64 = 1_000_000_000_000;
