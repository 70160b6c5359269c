//! Recording: one transaction for all that wait, each event once.

use crate::error::Error;
use crate::store::Log;
use crate::wire;
use model::record::event::Needs;
use model::record::{Event, Name, Order, Recorded, Stamp, What};
use rusqlite::{Connection, Transaction, TransactionBehavior, params};

/// A clock may be corrected so far backward without being taken for set back.
const CORRECTED_MS: i64 = 2000;

/// What a client tells.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told {
    /// The event.
    pub event: Event,
    /// The client's clock when it sent this: how old the event is, is reckoned from it, so that a clock that is
    /// wrong does no harm. None where the client does not say; then its clock is taken for right.
    pub sent: Option<Stamp>,
}

impl Told {
    /// Something that just happened.
    pub fn now(id: Name, what: What, now: Stamp) -> Told {
        let event = Event { id, at: now, lathe: None, job: None, person: None, what, note: None };
        Told { event, sent: Some(now) }
    }

    /// The same at a lathe.
    #[must_use]
    pub fn at_lathe(mut self, lathe: &str) -> Told {
        self.event.lathe = Some(Name::from(lathe));
        self
    }

    /// The same for a job.
    #[must_use]
    pub fn for_job(mut self, job: &str) -> Told {
        self.event.job = Some(Name::from(job));
        self
    }
}

/// What was confirmed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// The event, as the log has it.
    pub recorded: Recorded,
    /// It had been told before, and counts once.
    pub known: bool,
}

impl Log {
    /// Records events: all of them, or none. What is given back is on the disk.
    ///
    /// # Errors
    /// Where one of them cannot be recorded, or the disk refuses; then none of them is.
    pub fn record(&mut self, told: &[Told]) -> Result<Vec<Kept>, Error> {
        let mut all = self.record_groups(&[told]);
        all.pop().unwrap_or_else(|| Ok(Vec::new()))
    }

    /// Records several groups in one go, each of them whole or not at all.
    pub fn record_groups(&mut self, groups: &[&[Told]]) -> Vec<Result<Vec<Kept>, Error>> {
        let now = self.now();
        let path = self.path.clone();
        let of = |error: rusqlite::Error| Error::of(&path, &error);
        let mut done = || -> Result<Vec<Result<Vec<Kept>, Error>>, Error> {
            let all = self
                .connection
                .transaction_with_behavior(TransactionBehavior::Immediate)
                .map_err(of)?;
            let mut head = Head::of(&all, now).map_err(of)?;
            let mut results = Vec::with_capacity(groups.len());
            for group in groups {
                results.push(one_group(&all, group, &mut head, &of)?);
            }
            all.commit().map_err(of)?;
            Ok(results)
        };
        done().unwrap_or_else(|error| groups.iter().map(|_| Err(error.clone())).collect())
    }
}

/// One group inside the transaction. The outer error is that of the whole transaction.
fn one_group(
    all: &Transaction<'_>,
    group: &[Told],
    head: &mut Head,
    of: &impl Fn(rusqlite::Error) -> Error,
) -> Result<Result<Vec<Kept>, Error>, Error> {
    if let Some(refusal) = group.iter().find_map(|told| lacking(&told.event)) {
        return Ok(Err(refusal));
    }
    all.execute_batch("SAVEPOINT one").map_err(of)?;
    let before = *head;
    let mut kept = Vec::with_capacity(group.len());
    for told in group {
        match one(all, told, head).map_err(of)? {
            Ok(one) => kept.push(one),
            Err(refusal) => {
                *head = before;
                all.execute_batch("ROLLBACK TO one; RELEASE one").map_err(of)?;
                return Ok(Err(refusal));
            }
        }
    }
    all.execute_batch("RELEASE one").map_err(of)?;
    Ok(Ok(kept))
}

fn one(
    connection: &Connection,
    told: &Told,
    head: &mut Head,
) -> rusqlite::Result<Result<Kept, Error>> {
    if let Some(known) = crate::query::by_id(connection, &told.event.id)? {
        return Ok(same(known, &told.event));
    }
    if let What::Corrected { event, instead } = &told.event.what
        && let Some(refusal) = uncorrectable(connection, event, instead.as_deref())?
    {
        return Ok(Err(refusal));
    }
    let recorded =
        Recorded { order: head.next(told), received: head.received, event: told.event.clone() };
    insert(connection, &recorded)?;
    Ok(Ok(Kept { recorded, known: false }))
}

/// An event of a known id is the same event, or it is a mistake.
pub(crate) fn same(known: Recorded, told: &Event) -> Result<Kept, Error> {
    if known.event == *told {
        return Ok(Kept { recorded: known, known: true });
    }
    Err(Error::refused(
        told.id.text(),
        format!("this id belongs to another event already, of kind {}", known.event.what.kind()),
        "give every event an id of its own; to change what was recorded, record a correction",
    ))
}

/// What an event must name and does not.
pub(crate) fn lacking(event: &Event) -> Option<Error> {
    let lacks = match event.what.needs() {
        Needs::Lathe | Needs::LatheAndJob if event.lathe.is_none() => "lathe",
        Needs::Job | Needs::LatheAndJob if event.job.is_none() => "job",
        Needs::LatheOrJob if event.lathe.is_none() && event.job.is_none() => "lathe",
        _ => return None,
    };
    let kind = event.what.kind();
    Some(Error::refused(
        event.id.text(),
        format!("an event of kind {kind} needs its `{lacks}`"),
        format!("say which {lacks} it is"),
    ))
}

fn uncorrectable(
    connection: &Connection,
    of: &Name,
    instead: Option<&What>,
) -> rusqlite::Result<Option<Error>> {
    let refused = |message: String, mend: &str| Ok(Some(Error::refused(of.text(), message, mend)));
    let Some(known) = crate::query::by_id(connection, of)? else {
        return refused(
            "there is no event of this id to correct".to_owned(),
            "look the id up with `barwright log list`",
        );
    };
    let kind = known.event.what.kind();
    if let What::Corrected { event, .. } = &known.event.what {
        return refused(
            format!("this event is itself a correction, of {event}"),
            "correct that one anew; its last correction holds",
        );
    }
    match instead {
        Some(what) if what.kind() != kind => refused(
            format!("this event is of kind {kind} and cannot become one of kind {}", what.kind()),
            "withdraw it, and record what happened as a new event",
        ),
        _ => Ok(None),
    }
}

/// Where the log ends, and what time it is.
#[derive(Debug, Clone, Copy)]
struct Head {
    place: u64,
    clock: u32,
    /// The earliest time that an event may count for, since the clock was set back.
    from: Option<Stamp>,
    received: Stamp,
}

impl Head {
    fn of(connection: &Connection, now: Stamp) -> rusqlite::Result<Head> {
        let place: i64 = connection
            .prepare_cached("SELECT coalesce(max(place), 0) FROM event")?
            .query_row([], |row| row.get(0))?;
        let last = "SELECT clock, time FROM event ORDER BY clock DESC, time DESC LIMIT 1";
        let last = connection
            .prepare_cached(last)?
            .query_row([], |row| Ok((row.get::<_, u32>(0)?, row.get::<_, i64>(1)?)));
        let (clock, last) = match last {
            Ok((clock, last)) => (clock, Stamp::from_ms(last)),
            Err(rusqlite::Error::QueryReturnedNoRows) => (0, now),
            Err(error) => return Err(error),
        };
        let set_back = last.ms().saturating_sub(now.ms()) > CORRECTED_MS;
        let clock = if set_back { clock.saturating_add(1) } else { clock };
        let from = match clock {
            0 => None,
            _ if set_back => Some(now),
            _ => {
                let first = "SELECT time FROM event WHERE clock = ? ORDER BY time LIMIT 1";
                let first = connection.prepare_cached(first)?.query_row([clock], |row| row.get(0));
                first.ok().map(Stamp::from_ms)
            }
        };
        // Within what a clock is corrected by, time stands until the clock has come up again.
        let received = if set_back { now } else { now.max(last) };
        Ok(Head { place: place as u64, clock, from, received })
    }

    fn next(&mut self, told: &Told) -> Order {
        self.place += 1;
        let at = told.event.at;
        let time = match told.sent {
            Some(sent) => self.received - sent.since(at),
            None => at.min(self.received),
        };
        // Nothing is older than the first of all times: a state without events stands before it.
        let time = time.max(self.from.unwrap_or_default());
        Order { clock: self.clock, time, place: self.place }
    }
}

/// Writes an event at its place.
pub(crate) fn insert(connection: &Connection, recorded: &Recorded) -> rusqlite::Result<()> {
    let Recorded { order, received, event } = recorded;
    let (parts, detail) = match &event.what {
        What::PartsMade { parts } => (Some(*parts), None),
        what => {
            let detail = wire::detail(what);
            (None, detail.as_object().filter(|map| !map.is_empty()).map(|_| detail.to_string()))
        }
    };
    connection
        .prepare_cached("INSERT INTO event VALUES (?1,?2,?3,?4,?5,?6,?7,?8,?9,?10,?11,?12,?13)")?
        .execute(params![
            order.place as i64,
            order.clock,
            order.time.ms(),
            received.ms(),
            event.at.ms(),
            event.id.text(),
            event.lathe.as_deref(),
            event.job.as_deref(),
            event.person.as_deref(),
            event.what.kind(),
            parts,
            detail,
            event.note.as_deref(),
        ])
        .map(|_| ())
}
