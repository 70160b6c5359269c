//! Events back out of the file: some of them newest first, or all in their order.

use crate::error::{Error, damaged};
use crate::store::Log;
use crate::wire;
use model::record::{Corrections, Event, Name, Order, Recorded, Stamp, What};
use rusqlite::types::ToSql;
use rusqlite::{Connection, OptionalExtension as _, Row};

const COLUMNS: &str =
    "place, clock, time, received, at, id, lathe, job, person, kind, parts, detail, note";

const AFTER: &str = "(clock, time, place) > (?, ?, ?)";
const UP_TO: &str = "(clock, time, place) <= (?, ?, ?)";

/// Which events are wanted; what is left open, any.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Query {
    /// At this lathe.
    pub lathe: Option<Name>,
    /// Told for this job.
    pub job: Option<Name>,
    /// Of this kind, as [`What::KINDS`] has it.
    pub kind: Option<&'static str>,
    /// That count for this time or later.
    pub since: Option<Stamp>,
    /// That count for this time or earlier.
    pub until: Option<Stamp>,
    /// Behind this place of the order.
    pub after: Option<Order>,
    /// Up to this place of the order, itself included.
    pub upto: Option<Order>,
    /// The newest so many.
    pub last: Option<u32>,
}

impl Query {
    /// The index that leads straight to them: `SQLite` knows nothing of how many there are of each.
    fn index(&self) -> &'static str {
        match (&self.lathe, &self.job, self.kind) {
            (_, Some(_), Some("size-measured")) => "event_size",
            (_, _, Some(kind)) if kind != "parts-made" => "event_kind",
            (Some(_), _, _) => "event_lathe",
            (_, Some(_), _) => "event_job",
            _ => "event_order",
        }
    }

    fn sql(&self, newest: bool) -> (String, Vec<Box<dyn ToSql>>) {
        let mut terms: Vec<&str> = Vec::new();
        let mut values: Vec<Box<dyn ToSql>> = Vec::new();
        let mut term = |text: &'static str, value: Box<dyn ToSql>| {
            terms.push(text);
            values.push(value);
        };
        if let Some(lathe) = &self.lathe {
            term("lathe = ?", Box::new(lathe.text().to_owned()));
        }
        if let Some(job) = &self.job {
            term("job = ?", Box::new(job.text().to_owned()));
        }
        if let Some(kind) = self.kind {
            term("kind = ?", Box::new(kind));
        }
        if let Some(since) = self.since {
            term("time >= ?", Box::new(since.ms()));
        }
        if let Some(until) = self.until {
            term("time <= ?", Box::new(until.ms()));
        }
        for (text, order) in [(AFTER, self.after), (UP_TO, self.upto)] {
            if let Some(order) = order {
                terms.push(text);
                values.push(Box::new(order.clock));
                values.push(Box::new(order.time.ms()));
                values.push(Box::new(i64::try_from(order.place).unwrap_or(i64::MAX)));
            }
        }
        // What a partial index leaves out must be said for SQLite to use it.
        match self.index() {
            "event_kind" => terms.push("kind <> 'parts-made'"),
            "event_size" => terms.push("kind = 'size-measured'"),
            _ => {}
        }
        let terms = if terms.is_empty() { "1".to_owned() } else { terms.join(" AND ") };
        let limit = self.last.map_or(-1, i64::from);
        let way = if newest { "DESC" } else { "ASC" };
        let sql = format!(
            "SELECT {COLUMNS} FROM event INDEXED BY {} WHERE {terms} \
             ORDER BY clock {way}, time {way}, place {way} LIMIT {limit}",
            self.index()
        );
        (sql, values)
    }
}

impl Log {
    /// The events that are wanted, in their order, as they were told: corrections are not worked in.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn events(&self, query: &Query) -> Result<Vec<Recorded>, Error> {
        let mut found = Vec::new();
        self.each(query, true, &mut |recorded| {
            found.push(recorded);
            true
        })?;
        found.reverse();
        Ok(found)
    }

    /// Goes through the events that are wanted, newest or oldest first, as long as `take` says so.
    pub(crate) fn each(
        &self,
        query: &Query,
        newest: bool,
        take: &mut dyn FnMut(Recorded) -> bool,
    ) -> Result<(), Error> {
        let (sql, values) = query.sql(newest);
        let mut read = || -> rusqlite::Result<()> {
            let mut statement = self.connection.prepare_cached(&sql)?;
            let mut rows =
                statement.query(rusqlite::params_from_iter(values.iter().map(AsRef::as_ref)))?;
            let mut reader = Reader::default();
            while let Some(row) = rows.next()? {
                if !take(reader.recorded(row)?) {
                    break;
                }
            }
            Ok(())
        };
        read().map_err(|error| self.read_error(&error))
    }

    /// The event of an id, as it was told.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn event(&self, id: &str) -> Result<Option<Recorded>, Error> {
        by_id(&self.connection, id).map_err(|error| self.read_error(&error))
    }

    /// The event of an id, or up to three whose ids begin so.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn events_that_begin(&self, id: &str) -> Result<Vec<Recorded>, Error> {
        if let Some(exact) = self.event(id)? {
            return Ok(vec![exact]);
        }
        let sql = format!(
            "SELECT {COLUMNS} FROM event WHERE id >= ?1 AND id < ?1 || ?2 ORDER BY id LIMIT 3"
        );
        let read = || -> rusqlite::Result<Vec<Recorded>> {
            let mut statement = self.connection.prepare_cached(&sql)?;
            let mut reader = Reader::default();
            let last = char::MAX.to_string();
            statement.query_map([id, &last], |row| reader.recorded(row))?.collect()
        };
        read().map_err(|error| self.read_error(&error))
    }

    /// All corrections of the log.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn corrections(&self) -> Result<Corrections, Error> {
        let query = Query { kind: Some("corrected"), ..Query::default() };
        Ok(self.events(&query)?.iter().collect())
    }

    /// Events in which a heat number stands: bars loaded, put on the rack, and corrections of those.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn of_heat(&self, heat: &str) -> Result<Vec<Recorded>, Error> {
        let sql = format!(
            "SELECT {COLUMNS} FROM event INDEXED BY event_heat \
             WHERE coalesce(json_extract(detail, '$.heat'), json_extract(detail, '$.instead.detail.heat')) = ? \
             AND kind IN ('bar-loaded', 'put-on-rack', 'corrected') ORDER BY clock, time, place"
        );
        let read = || -> rusqlite::Result<Vec<Recorded>> {
            let mut statement = self.connection.prepare_cached(&sql)?;
            let mut reader = Reader::default();
            statement.query_map([heat], |row| reader.recorded(row))?.collect()
        };
        read().map_err(|error| self.read_error(&error))
    }

    /// Every event behind a place of the order, up to a place in the log, in order.
    pub(crate) fn follow(
        &self,
        after: Order,
        through: u64,
        take: &mut dyn FnMut(&Recorded),
    ) -> Result<(), Error> {
        let sql = format!(
            "SELECT {COLUMNS} FROM event INDEXED BY event_order \
             WHERE (clock, time, place) > (?1, ?2, ?3) AND place <= ?4 ORDER BY clock, time, place"
        );
        let mut read = || -> rusqlite::Result<()> {
            let mut statement = self.connection.prepare_cached(&sql)?;
            let mut rows = statement.query(rusqlite::params![
                after.clock,
                after.time.ms(),
                after.place as i64,
                through as i64
            ])?;
            let mut reader = Reader::default();
            while let Some(row) = rows.next()? {
                take(&reader.recorded(row)?);
            }
            Ok(())
        };
        read().map_err(|error| self.read_error(&error))
    }

    /// The events between two places in the log, both included, in the order in which they were told, as long
    /// as `take` says so.
    pub(crate) fn told_between(
        &self,
        first: u64,
        last: u64,
        take: &mut dyn FnMut(Recorded) -> bool,
    ) -> Result<(), Error> {
        let sql = format!("SELECT {COLUMNS} FROM event WHERE place BETWEEN ? AND ? ORDER BY place");
        let mut read = || -> rusqlite::Result<()> {
            let mut statement = self.connection.prepare_cached(&sql)?;
            let mut rows = statement.query([first as i64, last as i64])?;
            let mut reader = Reader::default();
            while let Some(row) = rows.next()? {
                if !take(reader.recorded(row)?) {
                    break;
                }
            }
            Ok(())
        };
        read().map_err(|error| self.read_error(&error))
    }

    pub(crate) fn read_error(&self, error: &rusqlite::Error) -> Error {
        match error {
            rusqlite::Error::FromSqlConversionFailure(..) => {
                damaged(&self.path, &error.to_string())
            }
            _ => self.error(error),
        }
    }
}

pub(crate) fn by_id(connection: &Connection, id: &str) -> rusqlite::Result<Option<Recorded>> {
    let sql = format!("SELECT {COLUMNS} FROM event WHERE id = ?");
    connection
        .prepare_cached(&sql)?
        .query_row([id], |row| Reader::default().recorded(row))
        .optional()
}

/// Reads rows; names that repeat from row to row share one text.
#[derive(Default)]
struct Reader {
    lathe: Vec<Name>,
    job: Vec<Name>,
    person: Vec<Name>,
}

impl Reader {
    fn recorded(&mut self, row: &Row<'_>) -> rusqlite::Result<Recorded> {
        let order = Order {
            place: row.get::<_, i64>(0)? as u64,
            clock: row.get(1)?,
            time: Stamp::from_ms(row.get(2)?),
        };
        let text = |column| row.get_ref(column).and_then(|value| Ok(value.as_str_or_null()?));
        let id = text(5)?.unwrap_or_default();
        let wrong = |wrong: &wire::Wrong| {
            let told = format!("event {id}: `{}` {}", wrong.key, wrong.message);
            rusqlite::Error::FromSqlConversionFailure(11, rusqlite::types::Type::Text, told.into())
        };
        let kind = text(9)?.unwrap_or_default();
        let what = match row.get::<_, Option<u32>>(10)? {
            Some(parts) if kind == "parts-made" => What::PartsMade { parts },
            _ => {
                let detail = text(11)?.map_or(Ok(serde_json::json!({})), serde_json::from_str);
                let detail =
                    detail.map_err(|error| wrong(&wire::Wrong::new(error.to_string(), "")))?;
                wire::what(kind, &detail).map_err(|it| wrong(&it))?
            }
        };
        Ok(Recorded {
            order,
            received: Stamp::from_ms(row.get(3)?),
            event: Event {
                id: Name::from(id),
                at: Stamp::from_ms(row.get(4)?),
                lathe: text(6)?.map(|name| shared(&mut self.lathe, name)),
                job: text(7)?.map(|name| shared(&mut self.job, name)),
                person: text(8)?.map(|name| shared(&mut self.person, name)),
                what,
                note: text(12)?.map(Name::from),
            },
        })
    }
}

/// Names of one column that are kept at once.
const SHARED: usize = 16;

fn shared(known: &mut Vec<Name>, text: &str) -> Name {
    if let Some(name) = known.iter().find(|name| name.text() == text) {
        return name.clone();
    }
    if known.len() == SHARED {
        known.remove(0);
    }
    let name = Name::from(text);
    known.push(name.clone());
    name
}
