//! The answers once more, by looking through all events for each of them: slow, plain, and without any state that
//! is carried from event to event.

use model::Length;
use model::record::event::{StopWhy, Work};
use model::record::{Event, Lapse, Name, RackedKind, Recorded, Stamp, What};
use std::collections::{BTreeMap, BTreeSet};

pub(crate) struct Oracle {
    /// What counts, in order.
    events: Vec<(Stamp, Event)>,
}

#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Quantities {
    pub(crate) quantity: Option<u32>,
    pub(crate) made: u32,
    pub(crate) scrapped: u32,
    pub(crate) bars: u32,
    pub(crate) edges: u32,
    pub(crate) racked: Length,
    pub(crate) running: Lapse,
    pub(crate) stops: BTreeMap<StopWhy, (u32, Lapse)>,
    pub(crate) spent: BTreeMap<Work, Lapse>,
}

impl Oracle {
    pub(crate) fn of(recorded: &[Recorded]) -> Oracle {
        let corrected = |id: &Name| {
            recorded
                .iter()
                .filter_map(|it| match &it.event.what {
                    What::Corrected { event, instead } if event == id => {
                        Some((it.order.place, instead.clone()))
                    }
                    _ => None,
                })
                .max_by_key(|(place, _)| *place)
                .map(|(_, instead)| instead)
        };
        let mut all: Vec<&Recorded> =
            recorded.iter().filter(|it| !matches!(it.event.what, What::Corrected { .. })).collect();
        all.sort_by(|a, b| {
            (a.order.clock, a.order.time.ms(), a.order.place).cmp(&(
                b.order.clock,
                b.order.time.ms(),
                b.order.place,
            ))
        });
        let events = all
            .into_iter()
            .filter_map(|it| {
                let mut event = it.event.clone();
                match corrected(&event.id) {
                    None => {}
                    Some(None) => return None,
                    Some(Some(what)) => event.what = *what,
                }
                Some((it.order.time, event))
            })
            .collect();
        Oracle { events }
    }

    fn of_lathe(&self, lathe: &str, before: usize) -> impl DoubleEndedIterator<Item = usize> {
        let here = |index: &usize| self.events[*index].1.lathe.as_deref() == Some(lathe);
        (0..before).filter(here).collect::<Vec<_>>().into_iter()
    }

    fn what(&self, index: usize) -> &What {
        &self.events[index].1.what
    }

    /// The job on a lathe before an event.
    pub(crate) fn job(&self, lathe: &str, before: usize) -> Option<Name> {
        let set_up =
            self.of_lathe(lathe, before).rfind(|at| matches!(self.what(*at), What::SetUpDone(_)));
        self.events[set_up?].1.job.clone()
    }

    pub(crate) fn end(&self) -> usize {
        self.events.len()
    }

    /// Parts of the bar in a lathe before an event; none where no bar is in it.
    pub(crate) fn made_in_bar(&self, lathe: &str, before: usize) -> Option<u32> {
        let mut parts = 0_i64;
        let mut any = false;
        for at in self.of_lathe(lathe, before).rev() {
            match self.what(at) {
                What::PartsMade { parts: more } => (parts, any) = (parts + i64::from(*more), true),
                What::CountRead { parts: read } => {
                    return Some((parts + i64::from(*read)) as u32);
                }
                What::BarLoaded(_) => return Some(parts as u32),
                What::BarEnded { .. } => break,
                _ => {}
            }
        }
        any.then_some(parts as u32)
    }

    /// Parts that an event adds, or takes back.
    fn step(&self, index: usize) -> i64 {
        let lathe = self.events[index].1.lathe.as_deref();
        match self.what(index) {
            What::PartsMade { parts } => i64::from(*parts),
            What::CountRead { parts } => {
                let known = lathe.and_then(|lathe| self.made_in_bar(lathe, index)).unwrap_or(0);
                i64::from(*parts) - i64::from(known)
            }
            _ => 0,
        }
    }

    /// Parts with the edge of a station of a lathe, or since that or its offset was moved; none where nothing is
    /// known of it.
    pub(crate) fn worn(&self, lathe: &str, station: u32, drift: bool) -> Option<u32> {
        let known = |at: &usize| match self.what(*at) {
            What::EdgeChanged { station: here, .. } => *here == station,
            What::OffsetMoved { station: here, .. } => drift && *here == station,
            What::SetUpDone(_) => true,
            _ => false,
        };
        let from = self.of_lathe(lathe, self.end()).rfind(known)?;
        let follows = match self.what(from) {
            What::SetUpDone(set_up) if drift => set_up.sizes.contains_key(&station),
            What::SetUpDone(set_up) => set_up.edges.contains_key(&station),
            _ => true,
        };
        let after: Vec<usize> = self.of_lathe(lathe, self.end()).filter(|at| *at > from).collect();
        let steps = after.iter().filter(|at| {
            matches!(self.what(**at), What::PartsMade { .. } | What::CountRead { .. })
        });
        if !follows || (steps.clone().count() == 0 && matches!(self.what(from), What::SetUpDone(_)))
        {
            return None;
        }
        Some(steps.fold(0, |worn: i64, at| (worn + self.step(*at)).max(0)) as u32)
    }

    fn job_of(&self, index: usize) -> Option<Name> {
        let event = &self.events[index].1;
        event.job.clone().or_else(|| self.job(event.lathe.as_deref()?, index))
    }

    /// What belongs to the last order of a job.
    pub(crate) fn quantities(&self, job: &str) -> Quantities {
        let mine: Vec<usize> =
            (0..self.end()).filter(|at| self.job_of(*at).as_deref() == Some(job)).collect();
        let mut from = 0;
        let mut closed = false;
        for at in &mine {
            match self.what(*at) {
                What::OrderClosed => closed = true,
                What::OrderOpened { .. } if closed => (from, closed) = (*at, false),
                _ => {}
            }
        }
        let mut it = Quantities::default();
        let mut made = 0_i64;
        for at in mine.into_iter().filter(|at| *at >= from) {
            made = (made + self.step(at)).max(0);
            match self.what(at) {
                What::OrderOpened { quantity, .. } => it.quantity = Some(*quantity),
                What::PartsScrapped { parts, .. } => it.scrapped += parts,
                What::BarLoaded(_) => it.bars += 1,
                What::EdgeChanged { .. } => it.edges += 1,
                What::PutOnRack(racked) if racked.kind == RackedKind::Remnant => {
                    it.racked += racked.length * i64::from(racked.count);
                }
                What::TimeSpent { work, time } => *it.spent.entry(*work).or_default() += *time,
                _ => {}
            }
        }
        it.made = made as u32;
        self.running(job, from, &mut it);
        it
    }

    /// Stretches of each lathe between starts, stops and set-ups; each belongs to the order in which it ends.
    fn running(&self, job: &str, from: usize, it: &mut Quantities) {
        let lathes: BTreeSet<&str> =
            self.events.iter().filter_map(|(_, event)| event.lathe.as_deref()).collect();
        for lathe in lathes {
            let turns: Vec<usize> = self
                .of_lathe(lathe, self.end())
                .filter(|at| {
                    matches!(self.what(*at), What::Started | What::Stopped(_) | What::SetUpDone(_))
                })
                .collect();
            for (index, end) in turns.iter().enumerate() {
                let ends_here = *end >= from && self.job(lathe, *end).as_deref() == Some(job);
                // Back through what repeats itself, to where the stretch began.
                let mut start = None;
                let mut why = StopWhy::NotKnown;
                for before in turns[..index].iter().rev() {
                    match (self.what(*before), self.what(start.unwrap_or(*before))) {
                        (What::Started, What::Started) => start = Some(*before),
                        (What::Stopped(stop), What::Stopped(_)) => {
                            start = Some(*before);
                            if why == StopWhy::NotKnown {
                                why = stop.why;
                            }
                        }
                        _ => break,
                    }
                }
                let Some(start) = start.filter(|_| ends_here) else { continue };
                let lapse = self.events[*end].0.since(self.events[start].0);
                match (self.what(start), self.what(*end)) {
                    (What::Started, What::Started) | (What::Stopped(_), What::Stopped(_)) => {}
                    (What::Started, _) => it.running += lapse,
                    _ => {
                        let entry = it.stops.entry(why).or_default();
                        *entry = (entry.0 + 1, entry.1 + lapse);
                    }
                }
            }
        }
    }

    /// How many of an item lie on the rack.
    pub(crate) fn on_rack(&self, item: &str) -> u32 {
        let mut count = 0_u32;
        let mut length = None;
        for (_, event) in &self.events {
            match &event.what {
                What::PutOnRack(racked) if racked.item.text() == item => {
                    let same = length == Some(racked.length) && count > 0;
                    count = if same { count + racked.count } else { racked.count };
                    length = Some(racked.length);
                }
                What::OffRack { item: gone, count: off } if gone.text() == item => {
                    count = count.saturating_sub(*off);
                }
                What::BarLoaded(loaded) if loaded.from.as_deref() == Some(item) => {
                    count = count.saturating_sub(1);
                }
                _ => {}
            }
        }
        count
    }
}
