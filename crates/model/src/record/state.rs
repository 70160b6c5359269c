//! What stands now, as a fold over recorded events.

use super::event::{Event, Loaded, Order, Recorded, SetUp, Stopped, What};
use super::lathe::{BarNow, LatheNow, Runs, stepped};
use super::name::Name;
use super::rack::{Racked, RackedKind};
use super::stamp::Stamp;
use super::tally::Tally;
use super::{Corrections, event};
use std::collections::BTreeMap;

/// What stands now: at every lathe, of every order, on the rack.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct State {
    /// Every lathe that an event named.
    pub lathes: BTreeMap<Name, LatheNow>,
    /// The orders of every job, the present one last.
    pub orders: BTreeMap<Name, Vec<Tally>>,
    /// What lies on the rack, by its label.
    pub rack: BTreeMap<Name, Racked>,
    /// The last event that is in it.
    pub last: Order,
}

impl State {
    /// The state that these events lead to, with their corrections. They may come in any order.
    pub fn of(recorded: &[Recorded]) -> State {
        let corrections: Corrections = recorded.iter().collect();
        let mut ordered: Vec<&Recorded> = recorded.iter().collect();
        ordered.sort_by_key(|recorded| recorded.order);
        let mut state = State::default();
        for recorded in ordered {
            state.take(recorded, &corrections);
        }
        state
    }

    /// The present order of a job.
    pub fn order(&self, job: &str) -> Option<&Tally> {
        self.orders.get(job).and_then(|orders| orders.last())
    }

    /// Takes in the next event, as its corrections say. Events must come in their [`Order`].
    pub fn take(&mut self, recorded: &Recorded, corrections: &Corrections) {
        self.last = recorded.order;
        if let Some(counts) = corrections.effective(recorded) {
            self.fold(&counts.event, recorded.order.time);
        }
    }

    fn fold(&mut self, event: &Event, time: Stamp) {
        match &event.what {
            What::OrderOpened { quantity, planned } => {
                self.open(event.job.as_ref(), *quantity, planned, time);
            }
            What::OrderClosed => {
                if let Some(tally) = self.tally(event) {
                    tally.closed.get_or_insert(time);
                }
            }
            What::SetUpDone(set_up) => self.set_up(event, set_up, time),
            What::BarLoaded(loaded) => self.load(event, loaded, time),
            What::BarEnded { .. } => {
                self.lathe(event, |lathe| lathe.bar = None);
            }
            What::PartsMade { parts } => self.made(event, i64::from(*parts), time),
            What::CountRead { parts } => {
                let known = self.bar(event).map_or(0, |bar| bar.made);
                self.made(event, i64::from(*parts) - i64::from(known), time);
            }
            What::PartsScrapped { parts, .. } => {
                if let Some(tally) = self.tally(event) {
                    tally.scrapped = tally.scrapped.saturating_add(*parts);
                }
            }
            What::Started => self.start(event, time),
            What::Stopped(stopped) => self.stop(event, stopped, time),
            What::EdgeChanged { station, .. } => {
                self.attend(event, time, |lathe| {
                    lathe.edges.insert(*station, 0);
                    lathe.drifted.insert(*station, 0);
                });
                if let Some(tally) = self.tally(event) {
                    tally.edges = tally.edges.saturating_add(1);
                }
            }
            What::OffsetMoved { station, .. } => self.attend(event, time, |lathe| {
                lathe.drifted.insert(*station, 0);
            }),
            What::SizeMeasured(_) => self.attend(event, time, |lathe| lathe.not_gauged = 0),
            What::Emptied { what } => self.attend(event, time, |lathe| {
                lathe.fills.insert(*what, 0);
            }),
            What::PutOnRack(racked) => self.put_on_rack(event, racked),
            What::OffRack { item, count } => self.off_rack(item, *count),
            What::TimeSpent { work, time } => {
                if let Some(tally) = self.tally(event) {
                    *tally.spent.entry(*work).or_default() += *time;
                }
            }
            What::Followed(_) | What::Corrected { .. } => {}
        }
    }

    fn lathe(&mut self, event: &Event, change: impl FnOnce(&mut LatheNow)) {
        if let Some(name) = &event.lathe {
            match self.lathes.get_mut(name) {
                Some(lathe) => change(lathe),
                None => change(self.lathes.entry(name.clone()).or_default()),
            }
        }
    }

    fn attend(&mut self, event: &Event, time: Stamp, change: impl FnOnce(&mut LatheNow)) {
        self.lathe(event, |lathe| {
            lathe.attended = Some(time);
            change(lathe);
        });
    }

    /// The bar in the spindle of the event's lathe.
    fn bar(&self, event: &Event) -> Option<&BarNow> {
        self.lathes.get(event.lathe.as_ref()?)?.bar.as_ref()
    }

    /// The order that an event belongs to: that of its job, else of the job on its lathe.
    fn tally(&mut self, event: &Event) -> Option<&mut Tally> {
        let job = match (&event.job, &event.lathe) {
            (Some(job), _) => job,
            (None, Some(lathe)) => self.lathes.get(lathe)?.job.as_ref()?,
            (None, None) => return None,
        };
        present(&mut self.orders, job)
    }

    fn open(&mut self, job: Option<&Name>, quantity: u32, planned: &event::Planned, time: Stamp) {
        let Some(job) = job else { return };
        let orders = self.orders.entry(job.clone()).or_default();
        if orders.last().is_none_or(|last| last.closed.is_some()) {
            orders.push(Tally::default());
        }
        if let Some(tally) = orders.last_mut() {
            tally.opened.get_or_insert(time);
            tally.quantity = Some(quantity);
            tally.planned = *planned;
        }
    }

    /// What ran or stood until now belongs to the job before.
    fn set_up(&mut self, event: &Event, set_up: &SetUp, time: Stamp) {
        self.settle(event, time);
        self.attend(event, time, |lathe| {
            lathe.job.clone_from(&event.job);
            lathe.since = Some(time);
            lathe.set_up = set_up.clone();
            lathe.runs = Runs::NotKnown;
            lathe.edges.clear();
            lathe.drifted.clear();
            lathe.fills.clear();
            lathe.not_gauged = 0;
        });
    }

    fn load(&mut self, event: &Event, loaded: &Loaded, time: Stamp) {
        let mut loaded = loaded.clone();
        if let Some(item) = &loaded.from {
            if let Some(racked) = self.rack.get(item) {
                loaded.heat = loaded.heat.or_else(|| racked.heat.clone());
                loaded.material = loaded.material.or_else(|| racked.material.clone());
                loaded.size = loaded.size.or(racked.size);
                loaded.length = loaded.length.or(Some(racked.length));
            }
            self.off_rack(&item.clone(), 1);
        }
        if let Some(tally) = self.tally(event) {
            tally.bars = tally.bars.saturating_add(1);
            match loaded.length {
                Some(length) => tally.bar_length += length,
                None => tally.bars_without_length = tally.bars_without_length.saturating_add(1),
            }
        }
        self.attend(event, time, |lathe| {
            lathe.bar = Some(BarNow { loaded, since: time, made: 0 });
        });
    }

    /// Takes in parts, or takes them back where the number is negative.
    fn made(&mut self, event: &Event, parts: i64, time: Stamp) {
        self.lathe(event, |lathe| {
            let bar = lathe.bar.get_or_insert_with(|| BarNow {
                loaded: Loaded::default(),
                since: time,
                made: 0,
            });
            bar.made = stepped(bar.made, parts);
            lathe.step(parts);
            if parts > 0 {
                lathe.last_part = Some(time);
            }
        });
        if let Some(tally) = self.tally(event) {
            tally.made = stepped(tally.made, parts);
            if parts > 0 {
                let first = tally.parts_between.map_or(time, |(first, _)| first);
                tally.parts_between = Some((first, time));
            }
        }
    }

    fn start(&mut self, event: &Event, time: Stamp) {
        if matches!(self.runs(event), Some(Runs::Since(_))) {
            return;
        }
        self.settle(event, time);
        self.attend(event, time, |lathe| lathe.runs = Runs::Since(time));
    }

    /// A second stop tells more about the first: it stands since then.
    fn stop(&mut self, event: &Event, stopped: &Stopped, time: Stamp) {
        let (since, stopped) = match self.runs(event) {
            Some(Runs::Stopped(since, known)) => (*since, known.with(stopped)),
            _ => {
                self.settle(event, time);
                (time, stopped.clone())
            }
        };
        self.lathe(event, |lathe| lathe.runs = Runs::Stopped(since, stopped));
    }

    fn runs(&self, event: &Event) -> Option<&Runs> {
        self.lathes.get(event.lathe.as_ref()?).map(|lathe| &lathe.runs)
    }

    /// Puts what the lathe did until now into the order on it.
    fn settle(&mut self, event: &Event, time: Stamp) {
        let Some(lathe) = event.lathe.as_ref().and_then(|name| self.lathes.get(name)) else {
            return;
        };
        let Some(job) = &lathe.job else { return };
        let Some(tally) = present(&mut self.orders, job) else { return };
        match &lathe.runs {
            Runs::NotKnown => {}
            Runs::Since(since) => tally.running += time.since(*since),
            Runs::Stopped(since, stopped) => {
                let (count, lapse) = tally.stops.entry(stopped.why).or_default();
                *count = count.saturating_add(1);
                *lapse += time.since(*since);
            }
        }
    }

    /// Bars with the same label and length are added up; else the newer label holds.
    fn put_on_rack(&mut self, event: &Event, racked: &Racked) {
        match self.rack.get_mut(&racked.item) {
            Some(known) if known.length == racked.length => {
                known.count = known.count.saturating_add(racked.count);
            }
            _ => {
                self.rack.insert(racked.item.clone(), racked.clone());
            }
        }
        if racked.kind == RackedKind::Remnant
            && let Some(tally) = self.tally(event)
        {
            tally.racked += racked.length * i64::from(racked.count);
        }
    }

    fn off_rack(&mut self, item: &Name, count: u32) {
        if let Some(racked) = self.rack.get_mut(item) {
            racked.count = racked.count.saturating_sub(count);
            if racked.count == 0 {
                self.rack.remove(item);
            }
        }
    }
}

fn present<'o>(orders: &'o mut BTreeMap<Name, Vec<Tally>>, job: &Name) -> Option<&'o mut Tally> {
    if !orders.contains_key(job) {
        orders.insert(job.clone(), vec![Tally::default()]);
    }
    orders.get_mut(job)?.last_mut()
}

impl Stopped {
    /// The same stop, with what is told of it later.
    fn with(&self, later: &Stopped) -> Stopped {
        Stopped {
            why: if later.why == event::StopWhy::NotKnown { self.why } else { later.why },
            block: later.block.clone().or_else(|| self.block.clone()),
        }
    }
}
