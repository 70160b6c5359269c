//! From a part's time to its bar's heat number, and from a heat number to its parts, without folding all events.

use crate::error::Error;
use crate::query::Query;
use crate::store::Log;
use model::record::{BarNow, BarRun, Corrections, Name, Order, Recorded, Stamp, State, What, bars};

/// What was on a lathe at a time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Traced {
    /// How often the store's clock had been found set back: where it was, one time can stand for two moments.
    pub clock: u32,
    /// The job.
    pub job: Option<Name>,
    /// The bar, with the parts made of it until then.
    pub bar: Option<BarNow>,
    /// Who loaded it.
    pub person: Option<Name>,
}

impl Log {
    /// What was on a lathe at a time; more than one answer only where the clock had been set back over it.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn bar_at(&self, lathe: &str, time: Stamp) -> Result<Vec<Traced>, Error> {
        let corrections = self.corrections()?;
        let mut found = Vec::new();
        let last = self.clock_set_back()?;
        for clock in 0..=last {
            let (first, end) = self.span(clock)?.unwrap_or((Stamp::from_ms(i64::MAX), time));
            if first <= time && (clock == last || time <= end) {
                let upto = Order { clock, time, place: u64::MAX };
                found.extend(self.traced(lathe, upto, &corrections)?);
            }
        }
        Ok(found)
    }

    fn traced(
        &self,
        lathe: &str,
        upto: Order,
        corrections: &Corrections,
    ) -> Result<Option<Traced>, Error> {
        let lathe = Name::from(lathe);
        let last = |kind, upto| self.last_that_counts(kind, Some(&lathe), upto, corrections);
        let loaded = last("bar-loaded", upto)?;
        let ended = last("bar-ended", upto)?;
        let from = loaded.iter().chain(&ended).max_by_key(|it| it.order);
        let set_up = last("set-up", upto)?;
        let mut state = State::default();
        if let Some(from) = from {
            for before in [self.rack_item(from, corrections)?, set_up].into_iter().flatten() {
                if before.order < from.order {
                    state.take(&before, corrections);
                }
            }
            state.take(from, corrections);
        }
        let after = from.map(|from| from.order);
        let query =
            Query { lathe: Some(lathe.clone()), after, upto: Some(upto), ..Query::default() };
        for recorded in self.events(&query)? {
            state.take(&recorded, corrections);
        }
        let person =
            loaded.filter(|loaded| Some(loaded.order) == after).and_then(|it| it.event.person);
        let now = state.lathes.remove(&lathe);
        Ok(now.map(|now| Traced { clock: upto.clock, job: now.job, bar: now.bar, person }))
    }

    /// Every bar of a heat number, in the order in which they went into a spindle, with its parts.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn bars_of_heat(&self, heat: &str) -> Result<Vec<BarRun>, Error> {
        let corrections = self.corrections()?;
        let mut found: Vec<BarRun> = Vec::new();
        for recorded in self.loaded_of_heat(heat, &corrections)? {
            let Some(lathe) = recorded.event.lathe.clone() else { continue };
            let until = self.end_of_bar(&lathe, recorded.order, &corrections)?;
            let set_up =
                self.last_that_counts("set-up", Some(&lathe), recorded.order, &corrections)?;
            let query = Query {
                lathe: Some(lathe),
                after: Some(recorded.order),
                upto: until.as_ref().map(|until| until.order),
                ..Query::default()
            };
            let mut events: Vec<Recorded> =
                self.rack_item(&recorded, &corrections)?.into_iter().collect();
            events.extend(set_up);
            events.push(recorded);
            events.extend(self.events(&query)?);
            found.extend(
                bars(events.iter(), &corrections)
                    .into_iter()
                    .filter(|run| run.loaded.heat.as_deref() == Some(heat)),
            );
        }
        Ok(found)
    }

    /// Bars that were loaded with a heat number, or from an item of the rack that has it.
    fn loaded_of_heat(
        &self,
        heat: &str,
        corrections: &Corrections,
    ) -> Result<Vec<Recorded>, Error> {
        let mut loaded: Vec<Recorded> = Vec::new();
        let mut items: Vec<Name> = Vec::new();
        for recorded in self.of_heat(heat)? {
            let recorded = match &recorded.event.what {
                What::Corrected { event, .. } => self.event(event)?,
                _ => Some(recorded),
            };
            match recorded.as_ref().map(|it| &it.event.what) {
                Some(What::PutOnRack(racked)) => items.push(racked.item.clone()),
                Some(What::BarLoaded(_)) => loaded.extend(recorded),
                _ => {}
            }
        }
        if !items.is_empty() {
            // Seldom: people write the heat number of a remnant when they load it.
            let all = self.events(&Query { kind: Some("bar-loaded"), ..Query::default() })?;
            let from_rack = |it: &Recorded| match corrections
                .effective(it)
                .map(|it| it.event.what.clone())
            {
                Some(What::BarLoaded(bar)) => bar.from.is_some_and(|item| items.contains(&item)),
                _ => false,
            };
            loaded.extend(all.into_iter().filter(from_rack));
        }
        loaded.retain(|it| corrections.effective(it).is_some());
        loaded.sort_by_key(|it| it.order);
        loaded.dedup_by_key(|it| it.order);
        Ok(loaded)
    }

    /// What the rack said of a bar that was taken from it.
    fn rack_item(
        &self,
        loaded: &Recorded,
        corrections: &Corrections,
    ) -> Result<Option<Recorded>, Error> {
        let counts = corrections.effective(loaded);
        let item = match counts.as_ref().map(|it| &it.event.what) {
            Some(What::BarLoaded(bar)) if bar.heat.is_none() || bar.length.is_none() => {
                bar.from.clone()
            }
            _ => None,
        };
        let Some(item) = item else { return Ok(None) };
        let query =
            Query { kind: Some("put-on-rack"), upto: Some(loaded.order), ..Query::default() };
        let put = self.events(&query)?.into_iter().rev().find(|it| {
            matches!(
                corrections.effective(it).map(|it| it.event.what.clone()),
                Some(What::PutOnRack(racked)) if racked.item == item
            )
        });
        Ok(put)
    }

    /// The last event of a kind at a lathe, up to a place of the order, that was not taken back.
    fn last_that_counts(
        &self,
        kind: &'static str,
        lathe: Option<&Name>,
        upto: Order,
        corrections: &Corrections,
    ) -> Result<Option<Recorded>, Error> {
        let query =
            Query { kind: Some(kind), lathe: lathe.cloned(), upto: Some(upto), ..Query::default() };
        self.first_of(&query, true, corrections)
    }

    /// When a bar left a lathe: the first bar loaded or ended there behind a place of the order.
    fn end_of_bar(
        &self,
        lathe: &Name,
        after: Order,
        corrections: &Corrections,
    ) -> Result<Option<Recorded>, Error> {
        let first = |kind| {
            let query = Query {
                kind: Some(kind),
                lathe: Some(lathe.clone()),
                after: Some(after),
                ..Query::default()
            };
            self.first_of(&query, false, corrections)
        };
        let found = [first("bar-loaded")?, first("bar-ended")?];
        Ok(found.into_iter().flatten().min_by_key(|it| it.order))
    }

    /// The newest or oldest of some events that was not taken back.
    fn first_of(
        &self,
        query: &Query,
        newest: bool,
        corrections: &Corrections,
    ) -> Result<Option<Recorded>, Error> {
        let mut found = None;
        self.each(query, newest, &mut |recorded| {
            found = corrections.effective(&recorded).is_some().then_some(recorded);
            found.is_none()
        })?;
        Ok(found)
    }

    /// The first and last time that events count for while the clock had been set back so often.
    fn span(&self, clock: u32) -> Result<Option<(Stamp, Stamp)>, Error> {
        let end = |order: &str| {
            let sql =
                format!("SELECT time FROM event WHERE clock = ? ORDER BY time {order} LIMIT 1");
            self.one(&sql, [clock], |row| row.get(0).map(Stamp::from_ms))
        };
        Ok(end("ASC")?.zip(end("DESC")?))
    }
}
