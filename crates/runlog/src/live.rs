//! The state of the shop, kept up to date while events come in, late ones and corrections among them.

use crate::error::Error;
use crate::query::Query;
use crate::store::Log;
use crate::wire;
use model::record::{Corrections, Order, Recorded, Stamp, State, What};

/// Most snapshots in memory; beyond it, older ones stand farther apart.
const IN_MEMORY: usize = 24;
/// Snapshots in the file.
const IN_FILE: u32 = 3;

/// How often states are kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Keep {
    /// Events from one snapshot in memory to the next.
    pub every: u32,
    /// Events after which a snapshot in the file is worth it.
    pub worth: u64,
}

impl Default for Keep {
    fn default() -> Keep {
        Keep { every: 5000, worth: 2000 }
    }
}

/// A state that follows a log.
#[derive(Debug, Default)]
pub struct Live {
    keep: Keep,
    state: State,
    /// The last place in the log that it knows.
    through: u64,
    /// The same of the newest snapshot in the file.
    saved: u64,
    corrections: Corrections,
    snapshots: Vec<State>,
    since_snapshot: u32,
}

impl Live {
    /// The state of a log, from its newest snapshot on that still holds.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn open(log: &Log) -> Result<Live, Error> {
        Live::open_keeping(log, Keep::default())
    }

    /// The same, with snapshots as often as is wanted.
    ///
    /// # Errors
    /// As [`Live::open`].
    pub fn open_keeping(log: &Log, keep: Keep) -> Result<Live, Error> {
        let corrections = log.corrections()?;
        let mut live = Live { keep, corrections, ..Live::default() };
        for (through, text) in log.snapshots()? {
            let Some(state) = wire::read_state(&text) else { continue };
            if through > log.count()? {
                continue;
            }
            let holds = log.reaches_back_to(through)?.is_none_or(|order| order > state.last);
            if holds {
                (live.state, live.through, live.saved) = (state, through, through);
                live.snapshots.push(live.state.clone());
                break;
            }
        }
        live.refresh(log)?;
        Ok(live)
    }

    /// The state from all events, without any snapshot.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn rebuild(log: &Log) -> Result<Live, Error> {
        let mut live = Live { corrections: log.corrections()?, ..Live::default() };
        live.refresh(log)?;
        Ok(live)
    }

    /// Takes in what was recorded since, here or by another program. `true` where there was something.
    ///
    /// # Errors
    /// Where the file cannot be read; the state is then what it was, or older.
    pub fn refresh(&mut self, log: &Log) -> Result<bool, Error> {
        let through = log.count()?;
        if through == self.through {
            return Ok(false);
        }
        for recorded in log.corrections_after(self.through)? {
            self.corrections.take(&recorded);
        }
        if self.through == 0 {
            self.fold_in_order(log, through)?;
        }
        if let Some(order) = log.reaches_back_to(self.through)?
            && order <= self.state.last
        {
            self.go_back(order);
        }
        let last = self.state.last;
        log.follow(last, through, &mut |recorded| self.take(recorded))?;
        self.through = through;
        Ok(true)
    }

    /// From the first event on, as long as they came in their order: a scan is faster than the way over an index.
    fn fold_in_order(&mut self, log: &Log, through: u64) -> Result<(), Error> {
        let mut came = 0;
        log.told_between(1, through, &mut |recorded| {
            if recorded.order <= self.state.last {
                return false;
            }
            self.take(&recorded);
            came = recorded.order.place;
            true
        })?;
        self.through = came;
        Ok(())
    }

    fn take(&mut self, recorded: &Recorded) {
        self.state.take(recorded, &self.corrections);
        self.since_snapshot += 1;
        if self.since_snapshot >= self.keep.every {
            self.since_snapshot = 0;
            self.snapshots.push(self.state.clone());
            thin(&mut self.snapshots);
        }
    }

    /// To the newest snapshot before a place of the order.
    fn go_back(&mut self, order: Order) {
        self.snapshots.retain(|snapshot| snapshot.last < order);
        self.state = self.snapshots.last().cloned().unwrap_or_default();
        self.since_snapshot = 0;
    }

    /// The state.
    pub const fn state(&self) -> &State {
        &self.state
    }

    /// The corrections of the log.
    pub const fn corrections(&self) -> &Corrections {
        &self.corrections
    }

    /// Keeps the state in the file, where enough has come since the last time, so that the next who opens it need
    /// not fold all events.
    ///
    /// # Errors
    /// Where the file cannot be written.
    pub fn save(&mut self, log: &Log) -> Result<(), Error> {
        if !log.is_writable() || self.through < self.saved.saturating_add(self.keep.worth) {
            return Ok(());
        }
        let text = wire::state_text(&self.state);
        let save = || -> rusqlite::Result<()> {
            log.connection.execute(
                "INSERT INTO snapshot VALUES (?1, ?2) ON CONFLICT DO UPDATE SET state = ?2",
                rusqlite::params![self.through as i64, text],
            )?;
            let sql = "DELETE FROM snapshot WHERE through NOT IN \
                       (SELECT through FROM snapshot ORDER BY through DESC LIMIT ?)";
            log.connection.execute(sql, [IN_FILE]).map(|_| ())
        };
        save().map_err(|error| log.error(&error))?;
        self.saved = self.through;
        Ok(())
    }
}

/// Every other one of the older half goes.
fn thin(snapshots: &mut Vec<State>) {
    if snapshots.len() > IN_MEMORY {
        let half = snapshots.len() / 2;
        let mut index = 0;
        snapshots.retain(|_| {
            index += 1;
            index > half || index % 2 == 0
        });
    }
}

impl Log {
    fn snapshots(&self) -> Result<Vec<(u64, String)>, Error> {
        let read = || -> rusqlite::Result<Vec<(u64, String)>> {
            let sql = "SELECT through, state FROM snapshot ORDER BY through DESC";
            let mut statement = self.connection.prepare_cached(sql)?;
            let rows =
                statement.query_map([], |row| Ok((row.get::<_, i64>(0)? as u64, row.get(1)?)))?;
            rows.collect()
        };
        read().map_err(|error| self.error(&error))
    }

    fn corrections_after(&self, place: u64) -> Result<Vec<Recorded>, Error> {
        // Corrections are few; all of them are looked at.
        let query = Query { kind: Some("corrected"), ..Query::default() };
        let mut all = self.events(&query)?;
        all.retain(|recorded| recorded.order.place > place);
        Ok(all)
    }

    /// The earliest place of the order that an event behind a place in the log changes.
    fn reaches_back_to(&self, place: u64) -> Result<Option<Order>, Error> {
        // Few are new: they are looked at by place, not all events by time.
        let sql = "SELECT clock, time, place FROM event NOT INDEXED WHERE place > ? \
                   ORDER BY clock, time, place LIMIT 1";
        let mut first = self.one(sql, [place as i64], |row| {
            Ok(Order {
                clock: row.get(0)?,
                time: Stamp::from_ms(row.get(1)?),
                place: row.get::<_, i64>(2)? as u64,
            })
        })?;
        for recorded in self.corrections_after(place)? {
            if let What::Corrected { event, .. } = &recorded.event.what
                && let Some(corrected) = self.event(event)?
            {
                first = Some(first.map_or(corrected.order, |first| first.min(corrected.order)));
            }
        }
        Ok(first)
    }
}
