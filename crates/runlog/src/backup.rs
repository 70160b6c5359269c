//! Copies of a log while it is in use, and putting one in its place.

use crate::error::{Error, Kind};
use crate::store::{Depth, Log};
use crate::wire::stamp_text;
use model::record::Stamp;
use rusqlite::{Connection, OpenFlags};
use std::fs;
use std::path::{Path, PathBuf};

/// What stands in a copy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Copied {
    /// Where it is.
    pub path: PathBuf,
    /// How many events it has.
    pub events: u64,
    /// Where the file went that stood there before.
    pub aside: Option<PathBuf>,
}

impl Log {
    /// Copies the log while others go on recording; the copy is whole, as of one moment, and looked over before it
    /// takes its name. Without a name it lies beside the log, with the day and the time in its name.
    ///
    /// # Errors
    /// Where something of that name is there already, or the disk refuses.
    pub fn backup(&self, to: Option<&Path>) -> Result<Copied, Error> {
        let to = to.map_or_else(|| named(&self.path, "backup", self.now()), Path::to_path_buf);
        let events = copy(&self.connection, &to)?;
        Ok(Copied { path: to, events, aside: None })
    }
}

/// Puts a copy in the place of a log. What stands there is never overwritten: it is kept beside it under another name,
/// and only when that is asked for.
///
/// # Errors
/// Where the copy is damaged or no log, something stands in its place, or the disk refuses.
pub fn restore(from: &Path, to: &Path, put_aside: bool) -> Result<Copied, Error> {
    let source = Log::open_to_read(from)?;
    source.look_over(Depth::Whole)?;
    let there = to.exists();
    if there && !put_aside {
        return Err(Error::new(
            Kind::Taken,
            to.display().to_string(),
            "a log stands there already",
            "give --force: the file there is then kept beside it under another name",
        ));
    }
    let part = part_of(to);
    let events = copy(&source.connection, &part)?;
    let aside = there.then(|| named(to, "aside", source.now()));
    if let Some(aside) = &aside {
        // Events that stand only in the write-ahead file go with it.
        for end in ["", "-wal", "-shm"] {
            let (old, new) = (with_end(to, end), with_end(aside, end));
            if old.exists() {
                fs::rename(&old, &new).map_err(|error| Error::disk(&new, &error))?;
            }
        }
    }
    take_name(&part, to)?;
    Ok(Copied { path: to.to_owned(), events, aside })
}

/// A copy before the form of the file changes.
pub(crate) fn before_upgrade(connection: &Connection, path: &Path) -> Result<(), Error> {
    let version: i64 = connection
        .pragma_query_value(None, "user_version", |row| row.get(0))
        .map_err(|error| Error::of(path, &error))?;
    let to = path.with_file_name(format!("{}.backup-form-{version}.barlog", stem(path)));
    if to.exists() { Ok(()) } else { copy(connection, &to).map(|_| ()) }
}

fn copy(connection: &Connection, to: &Path) -> Result<u64, Error> {
    if to.exists() {
        return Err(taken(to));
    }
    let part = part_of(to);
    // What an earlier try left behind is worth nothing.
    let _ = fs::remove_file(&part);
    let copied = whole(connection, &part);
    let events = copied.inspect_err(|_| {
        let _ = fs::remove_file(&part);
    })?;
    take_name(&part, to)?;
    Ok(events)
}

/// Gives a whole file its name, which nothing may have yet: of two who want it at once, one is told.
pub(crate) fn take_name(part: &Path, to: &Path) -> Result<(), Error> {
    let linked = fs::hard_link(part, to).map_err(|error| match error.kind() {
        std::io::ErrorKind::AlreadyExists => taken(to),
        _ => Error::disk(to, &error),
    });
    // It is there under its own name, or worth nothing.
    let _ = fs::remove_file(part);
    linked
}

pub(crate) fn taken(path: &Path) -> Error {
    Error::new(
        Kind::Taken,
        path.display().to_string(),
        "something of this name is there already",
        "use it as it is, or choose another name",
    )
}

fn whole(connection: &Connection, part: &Path) -> Result<u64, Error> {
    let of = |error: rusqlite::Error| Error::of(part, &error);
    let mut copy = Connection::open(part).map_err(of)?;
    let backup = rusqlite::backup::Backup::new(connection, &mut copy).map_err(of)?;
    // All pages in one step: the copy is as of one moment, however fast others write.
    let step = backup.step(-1).map_err(of)?;
    drop(backup);
    if step != rusqlite::backup::StepResult::Done {
        let message = "another program has held the log for too long: no copy was made";
        return Err(Error::new(Kind::Busy, part.display().to_string(), message, "try again"));
    }
    // One file, without another beside it, until someone opens it.
    copy.pragma_update(None, "journal_mode", "DELETE").map_err(of)?;
    let sound: String =
        copy.query_row("PRAGMA quick_check(1)", [], |row| row.get(0)).map_err(of)?;
    if sound != "ok" {
        let mend = "look at the disk, and run `barwright log check` on the log";
        let message = format!("the copy is damaged: {sound}");
        return Err(Error::new(Kind::Damaged, part.display().to_string(), message, mend));
    }
    let sql = "SELECT coalesce(max(place), 0) FROM event";
    let events: i64 = copy.query_row(sql, [], |row| row.get(0)).map_err(of)?;
    copy.close().map_err(|(_, error)| of(error))?;
    let file = fs::File::open(part).map_err(|error| Error::disk(part, &error))?;
    file.sync_all().map_err(|error| Error::disk(part, &error))?;
    Ok(events as u64)
}

/// Backups that lie beside a log, newest first.
pub fn beside(path: &Path) -> Vec<PathBuf> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    let start = format!("{}.backup-", stem(path));
    let entries = fs::read_dir(folder.unwrap_or(Path::new("."))).into_iter().flatten().flatten();
    let mut found: Vec<PathBuf> = entries
        .map(|entry| entry.path())
        .filter(|path| {
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            name.starts_with(&start) && name.ends_with(".barlog")
        })
        .collect();
    found.sort();
    found.reverse();
    found
}

/// The newest backup beside a log that is sound, with its number of events and the time of the last.
pub(crate) fn newest_sound(path: &Path) -> Option<(PathBuf, u64, String)> {
    beside(path).into_iter().find_map(|backup| {
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY;
        let connection = Connection::open_with_flags(&backup, flags).ok()?;
        let sound: String =
            connection.query_row("PRAGMA quick_check(1)", [], |row| row.get(0)).ok()?;
        let sql = "SELECT place, received FROM event ORDER BY place DESC LIMIT 1";
        let last = connection.query_row(sql, [], |row| Ok((row.get::<_, i64>(0)?, row.get(1)?)));
        let (events, last): (i64, i64) = last.ok()?;
        (sound == "ok").then(|| (backup, events as u64, stamp_text(Stamp::from_ms(last))))
    })
}

fn stem(path: &Path) -> String {
    path.file_stem().unwrap_or_default().to_string_lossy().into_owned()
}

/// `shop.backup-20261201-143000.barlog` beside `shop.barlog`; in UTC, so that names sort by time.
fn named(path: &Path, what: &str, now: Stamp) -> PathBuf {
    let digits: String =
        stamp_text(now).chars().filter(|it| it.is_ascii_digit() || *it == 'T').collect();
    let when = digits.get(..15).unwrap_or(&digits).replace('T', "-");
    path.with_file_name(format!("{}.{what}-{when}.barlog", stem(path)))
}

fn with_end(path: &Path, end: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(end);
    PathBuf::from(name)
}

/// Another name until it is whole; of this process alone.
pub(crate) fn part_of(path: &Path) -> PathBuf {
    with_end(path, &format!(".{}.part", std::process::id()))
}
