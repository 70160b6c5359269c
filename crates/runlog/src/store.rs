//! The file: making it, opening it, and looking whether it is sound.

use crate::error::{Error, Kind, damaged};
use crate::{backup, upgrade};
use model::record::Stamp;
use rusqlite::{Connection, OpenFlags, OptionalExtension as _};
use std::fs;
use std::io::Read as _;
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime, UNIX_EPOCH};

/// How long one waits for another program that writes.
const PATIENCE: Duration = Duration::from_secs(10);
/// After so long a log is looked over again when it is opened: one that was closed in order, and one that was not,
/// or is open in another program.
const LOOKED_OVER_MS: [i64; 2] = [24 * 3_600_000, 3_600_000];

/// Where the store takes the time from.
pub type Clock = Box<dyn Fn() -> Stamp + Send>;

/// A shop's log.
pub struct Log {
    pub(crate) connection: Connection,
    pub(crate) path: PathBuf,
    pub(crate) clock: Clock,
    writable: bool,
}

impl std::fmt::Debug for Log {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Log({})", self.path.display())
    }
}

#[allow(clippy::disallowed_methods, reason = "the store is where events get their time")]
fn system_clock() -> Stamp {
    // Before 1970 there is no lathe to follow.
    let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    Stamp::from_ms(i64::try_from(since.as_millis()).unwrap_or(i64::MAX))
}

impl Log {
    /// Makes a new log; its folder must be there. It takes its name only when it is whole.
    ///
    /// # Errors
    /// Where something stands there already, or the disk refuses.
    pub fn create(path: &Path) -> Result<Log, Error> {
        if path.exists() {
            return Err(backup::taken(path));
        }
        let part = backup::part_of(path);
        fs::File::create(&part).map_err(|error| Error::disk(path, &error))?;
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE;
        let made = Log::connect(&part, flags).and_then(|mut connection| {
            upgrade::upgrade(&mut connection, 0)?;
            connection.close().map_err(|(_, error)| error)
        });
        if let Err(error) = made {
            let _ = fs::remove_file(&part);
            return Err(Error::of(path, &error));
        }
        backup::take_name(&part, path)?;
        Log::open_unchecked(path)
    }

    /// Opens a log for recording and asking. It is looked over once a day, and once an hour
    /// where it was not closed in order.
    ///
    /// # Errors
    /// Where there is none, it is damaged, it cannot be written, or was made by a newer version.
    pub fn open(path: &Path) -> Result<Log, Error> {
        let unclean = left_open(path);
        let log = Log::open_unchecked(path)?;
        let looked = log.mark("looked-over")?.unwrap_or(i64::MIN);
        let ago = log.now().ms().saturating_sub(looked);
        if !(0..LOOKED_OVER_MS[usize::from(unclean)]).contains(&ago) {
            log.look_over(Depth::Quick)?;
            log.set_mark("looked-over", log.now().ms())?;
        }
        Ok(log)
    }

    /// Opens a log without looking it over.
    pub(crate) fn open_unchecked(path: &Path) -> Result<Log, Error> {
        is_a_log(path)?;
        let of = |error: rusqlite::Error| Error::of(path, &error);
        let mut connection = Log::connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE).map_err(of)?;
        let version = upgrade::version(&connection, path)?;
        if connection.is_readonly("main").map_err(of)? {
            return Err(Error::of(path, &read_only()));
        }
        prepare(&connection).map_err(of)?;
        if version < upgrade::VERSION {
            backup::before_upgrade(&connection, path)?;
            upgrade::upgrade(&mut connection, version).map_err(of)?;
        }
        Ok(Log::with(connection, path, true))
    }

    /// Opens a log for asking only; nothing in its folder is changed where that cannot be written.
    ///
    /// # Errors
    /// Where there is none, it is damaged, or was made by another version.
    pub fn open_to_read(path: &Path) -> Result<Log, Error> {
        match Log::open(path) {
            Err(error) if error.kind == Kind::ReadOnly => {}
            opened => return opened,
        }
        let of = |error: rusqlite::Error| Error::of(path, &error);
        let mut connection = Log::connect(path, OpenFlags::SQLITE_OPEN_READ_ONLY).map_err(of)?;
        if upgrade::version(&connection, path).is_err() && !left_open(path) {
            // In a folder that cannot be written, SQLite reads a file only if told that nobody writes it.
            let url = format!("file:{}?immutable=1", escaped(path));
            let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI;
            connection = Connection::open_with_flags(url, flags).map_err(of)?;
        }
        if upgrade::version(&connection, path)? < upgrade::VERSION {
            let message = "the log has an older form and cannot be written to bring it up";
            let mend = "open it once where it can be written";
            return Err(Error::new(Kind::ReadOnly, path.display().to_string(), message, mend));
        }
        let log = Log::with(connection, path, false);
        log.look_over(Depth::Quick)?;
        Ok(log)
    }

    /// Opens a damaged log as it is, to save what can be read. Nothing is written into it.
    ///
    /// # Errors
    /// Where it cannot be read at all.
    pub fn open_damaged(path: &Path) -> Result<Log, Error> {
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY;
        let connection = Log::connect(path, flags).map_err(|error| Error::of(path, &error))?;
        Ok(Log::with(connection, path, false))
    }

    fn connect(path: &Path, flags: OpenFlags) -> rusqlite::Result<Connection> {
        let connection = Connection::open_with_flags(path, flags)?;
        connection.busy_timeout(PATIENCE)?;
        Ok(connection)
    }

    fn with(connection: Connection, path: &Path, writable: bool) -> Log {
        connection.set_prepared_statement_cache_capacity(64);
        Log { connection, path: path.to_owned(), clock: Box::new(system_clock), writable }
    }

    /// The same log with another clock, for tests and for events of other times.
    #[must_use]
    pub fn with_clock(mut self, clock: Clock) -> Log {
        self.clock = clock;
        self
    }

    /// The store's time.
    pub fn now(&self) -> Stamp {
        (self.clock)()
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Whether events can be recorded.
    pub const fn is_writable(&self) -> bool {
        self.writable
    }

    /// How many events it has.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn count(&self) -> Result<u64, Error> {
        let sql = "SELECT coalesce(max(place), 0) FROM event";
        self.one(sql, [], |row| row.get::<_, i64>(0)).map(|count| count.unwrap_or(0) as u64)
    }

    /// How often this computer's clock was found set back.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn clock_set_back(&self) -> Result<u32, Error> {
        let sql = "SELECT max(clock) FROM event";
        let clock = self.one(sql, [], |row| row.get::<_, Option<u32>>(0))?;
        Ok(clock.flatten().unwrap_or(0))
    }

    /// Looks whether the file is sound.
    ///
    /// # Errors
    /// What is wrong with it, and the backup that could stand in.
    pub fn look_over(&self, depth: Depth) -> Result<(), Error> {
        let (pragma, sql) = match depth {
            Depth::Quick => ("quick_check", "PRAGMA quick_check(5)"),
            Depth::Whole => ("integrity_check", "PRAGMA integrity_check(5)"),
        };
        let read = || -> rusqlite::Result<Vec<String>> {
            let mut statement = self.connection.prepare(sql)?;
            statement.query_map([], |row| row.get(0))?.collect()
        };
        let lines = read().map_err(|error| self.error(&error))?;
        if lines == ["ok"] {
            return Ok(());
        }
        let first = lines.first().map_or(pragma, String::as_str);
        Err(damaged(&self.path, &format!("{first} ({} troubles or more)", lines.len())))
    }

    /// Makes the database give up beyond so many pages of 4 kB, as a disk that is full would; for tests.
    ///
    /// # Errors
    /// Where the file cannot be read.
    pub fn limit_pages(&self, pages: u32) -> Result<(), Error> {
        self.connection
            .pragma_update(None, "max_page_count", pages)
            .map_err(|error| self.error(&error))
    }

    pub(crate) fn error(&self, error: &rusqlite::Error) -> Error {
        Error::of(&self.path, error)
    }

    pub(crate) fn one<T>(
        &self,
        sql: &str,
        with: impl rusqlite::Params,
        read: impl FnOnce(&rusqlite::Row<'_>) -> rusqlite::Result<T>,
    ) -> Result<Option<T>, Error> {
        let one = || self.connection.prepare_cached(sql)?.query_row(with, read).optional();
        one().map_err(|error| self.error(&error))
    }

    pub(crate) fn mark(&self, name: &str) -> Result<Option<i64>, Error> {
        self.one("SELECT value FROM mark WHERE name = ?", [name], |row| row.get(0))
    }

    pub(crate) fn set_mark(&self, name: &str, value: i64) -> Result<(), Error> {
        let sql = "INSERT INTO mark VALUES (?1, ?2) ON CONFLICT DO UPDATE SET value = ?2";
        let set = self.connection.execute(sql, rusqlite::params![name, value]);
        set.map(|_| ()).map_err(|error| self.error(&error))
    }
}

/// How closely a file is looked over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Depth {
    /// Every page and row.
    Quick,
    /// Every index against its rows too.
    Whole,
}

/// Each commit waits for the disk; a writer does not hold up readers.
fn prepare(connection: &Connection) -> rusqlite::Result<()> {
    connection.pragma_update(None, "journal_mode", "WAL")?;
    connection.pragma_update(None, "synchronous", "FULL")?;
    // Else a REPLACE would take rows away without asking the trigger.
    connection.pragma_update(None, "recursive_triggers", true)?;
    connection.pragma_update(None, "cache_size", -64_000)
}

fn is_a_log(path: &Path) -> Result<(), Error> {
    let not_there = || {
        Error::new(
            Kind::Missing,
            path.display().to_string(),
            "there is no log",
            "make one with `barwright log new`, or name the shop's with --log",
        )
    };
    let mut file = fs::File::open(path).map_err(|error| match error.kind() {
        std::io::ErrorKind::NotFound => not_there(),
        _ => Error::disk(path, &error),
    })?;
    let mut head = [0; 16];
    match file.read_exact(&mut head) {
        Ok(()) if &head == b"SQLite format 3\0" => Ok(()),
        Err(error) if error.kind() != std::io::ErrorKind::UnexpectedEof => {
            Err(Error::disk(path, &error))
        }
        _ if backup::beside(path).is_empty() => Err(Error::of(path, &not_a_database())),
        // Backups lie beside it, so that a log once was here.
        _ => Err(damaged(path, "its beginning is not that of a database")),
    }
}

/// Whether a log was not closed in order, or is open somewhere.
fn left_open(path: &Path) -> bool {
    let mut name = path.as_os_str().to_owned();
    name.push("-wal");
    fs::metadata(PathBuf::from(name)).is_ok_and(|wal| wal.len() > 0)
}

fn escaped(path: &Path) -> String {
    let text = path.display().to_string();
    text.replace('%', "%25").replace('?', "%3f").replace('#', "%23")
}

fn failure(code: i32) -> rusqlite::Error {
    rusqlite::Error::SqliteFailure(rusqlite::ffi::Error::new(code), None)
}

fn read_only() -> rusqlite::Error {
    failure(rusqlite::ffi::SQLITE_READONLY)
}

fn not_a_database() -> rusqlite::Error {
    failure(rusqlite::ffi::SQLITE_NOTADB)
}
