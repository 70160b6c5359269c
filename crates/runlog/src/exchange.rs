//! Events as lines of JSON, out of one log and into another.

use crate::append::{insert, lacking, same};
use crate::error::{Error, Kind};
use crate::query::by_id;
use crate::store::Log;
use crate::wire::{Line, parse_line};
use model::record::{Order, Recorded, Stamp};
use rusqlite::TransactionBehavior;
use std::io::{BufRead, Write};

/// What an import did.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Imported {
    /// Events that were new.
    pub added: u64,
    /// Events that the log had already.
    pub known: u64,
}

impl Log {
    /// Writes every event, one a line, in the order in which they were told; gives how many.
    ///
    /// # Errors
    /// Where the log cannot be read, or what is written to refuses.
    pub fn export(&self, out: &mut dyn Write) -> Result<u64, Error> {
        let mut count = 0;
        let mut refused: Option<std::io::Error> = None;
        let last = self.count()?;
        self.told_between(1, last, &mut |recorded| {
            if refused.is_none() {
                count += 1;
                refused = writeln!(out, "{}", Line::text(&recorded)).err();
            }
            refused.is_none()
        })?;
        match refused.map_or_else(|| out.flush().err(), Some) {
            None => Ok(count),
            Some(error) => {
                let mend = "check where the export goes";
                let message = format!("the export cannot be written: {error}");
                Err(Error::new(Kind::Outside, "", message, mend))
            }
        }
    }

    /// Writes every event of a damaged log that can still be read; gives how many, and how many before the last of
    /// them could not. The database keeps no sums of its rows: what was saved is to be looked through.
    ///
    /// # Errors
    /// Where not even the number of events can be read.
    pub fn export_damaged(&self, out: &mut dyn Write) -> Result<(u64, u64), Error> {
        // A damaged page can say any number; a row takes more than 16 bytes.
        let size =
            std::fs::metadata(&self.path).map_err(|error| Error::disk(&self.path, &error))?;
        let (mut saved, mut last) = (0, 0);
        for place in 1..=self.count()?.min(size.len() / 16) {
            if let Ok(Some(recorded)) = self.at_place(place)
                && writeln!(out, "{}", Line::text(&recorded)).is_ok()
            {
                (saved, last) = (saved + 1, place);
            }
        }
        Ok((saved, last - saved))
    }

    /// Takes in lines of an export, or of a script: all of them, or none. Events that the log has already are passed
    /// over; those of an export keep their times and their order.
    ///
    /// # Errors
    /// The line that cannot be read or recorded, with what to write instead.
    pub fn import(&mut self, lines: &mut dyn BufRead, name: &str) -> Result<Imported, Error> {
        let now = self.now();
        let path = self.path.clone();
        let of = |error: rusqlite::Error| Error::of(&path, &error);
        let all = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(of)?;
        let sql = "SELECT coalesce(max(place), 0), coalesce(max(clock), 0) FROM event";
        let (mut place, clock): (i64, u32) =
            all.query_row(sql, [], |row| Ok((row.get(0)?, row.get(1)?))).map_err(of)?;
        let mut done = Imported::default();
        let mut text = String::new();
        for number in 1.. {
            text.clear();
            let at = format!("{name}:{number}");
            let read = lines.read_line(&mut text).map_err(|error| {
                let mend = "check the file: each line must be UTF-8 text";
                Error::new(Kind::Refused, at.clone(), format!("it cannot be read: {error}"), mend)
            })?;
            if read == 0 {
                break;
            }
            if text.trim().is_empty() {
                continue;
            }
            let line = parse_line(&text).map_err(|wrong| {
                let key = if wrong.key.is_empty() {
                    "this line".into()
                } else {
                    format!("`{}`", wrong.key)
                };
                Error::refused(at.clone(), format!("{key} {}", wrong.message), wrong.mend)
            })?;
            let placed = |error: Error| Error { place: at.clone(), ..error };
            if let Some(refusal) = lacking(&line.event) {
                return Err(placed(refusal));
            }
            if let Some(known) = by_id(&all, &line.event.id).map_err(of)? {
                same(known, &line.event).map_err(placed)?;
                done.known += 1;
                continue;
            }
            place += 1;
            insert(&all, &recorded(line, place as u64, clock, now)).map_err(of)?;
            done.added += 1;
        }
        all.commit().map_err(of)?;
        Ok(done)
    }

    fn at_place(&self, place: u64) -> Result<Option<Recorded>, Error> {
        let mut found = None;
        self.told_between(place, place, &mut |recorded| {
            found = Some(recorded);
            true
        })?;
        Ok(found)
    }
}

fn recorded(line: Line, place: u64, clock: u32, now: Stamp) -> Recorded {
    let received = line.received.unwrap_or(now);
    let (clock, time) = line.counted.unwrap_or((clock, line.event.at.min(received)));
    let time = time.max(Stamp::default());
    Recorded { order: Order { clock, time, place }, received, event: line.event }
}
