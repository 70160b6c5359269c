//! Why the log cannot do what it was asked to.

use rusqlite::ErrorCode;
use std::fmt;
use std::path::Path;

/// What kind of trouble it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// There is no log.
    Missing,
    /// Something is there already.
    Taken,
    /// The file is something else.
    NotALog,
    /// The log is damaged.
    Damaged,
    /// It was written by a newer version.
    Newer,
    /// It cannot be written.
    ReadOnly,
    /// The disk is full.
    Full,
    /// Another program holds it for too long.
    Busy,
    /// What was told cannot be recorded.
    Refused,
    /// Something else failed outside.
    Outside,
}

/// A trouble with its place and a mend.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Error {
    /// What kind it is.
    pub kind: Kind,
    /// The file, the line of an import, or the key of an event.
    pub place: String,
    /// What is wrong, one sentence without its place.
    pub message: String,
    /// What to do, one sentence.
    pub mend: String,
}

impl Error {
    pub(crate) fn new(
        kind: Kind,
        place: impl Into<String>,
        message: impl Into<String>,
        mend: impl Into<String>,
    ) -> Error {
        Error { kind, place: place.into(), message: message.into(), mend: mend.into() }
    }

    /// A refusal of what was told, at a key of the event.
    pub(crate) fn refused(
        place: impl Into<String>,
        message: impl Into<String>,
        mend: impl Into<String>,
    ) -> Error {
        Error::new(Kind::Refused, place, message, mend)
    }

    /// What the database says, in plain words.
    pub(crate) fn of(path: &Path, error: &rusqlite::Error) -> Error {
        let place = path.display().to_string();
        let code = error.sqlite_error_code();
        match code {
            Some(ErrorCode::DiskFull) => Error::new(
                Kind::Full,
                place,
                "the disk is full: this was not written, all that was confirmed before is kept",
                "make room on the disk, then tell it again; the same event told twice counts once",
            ),
            // What is a log and can be read, but not opened, lies in a folder without room for its write-ahead file.
            Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied | ErrorCode::CannotOpen) => {
                Error::new(
                    Kind::ReadOnly,
                    place,
                    "the log cannot be written: file, folder or disk is read-only",
                    "give yourself the right to write the file and its folder; reading goes on",
                )
            }
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Error::new(
                Kind::Busy,
                place,
                "another program has been writing the log for too long: nothing is recorded",
                "tell it again; if it stays so, look for a program that hangs with the log open",
            ),
            Some(ErrorCode::DatabaseCorrupt) => damaged(path, &error.to_string()),
            Some(ErrorCode::NotADatabase) => Error::new(
                Kind::NotALog,
                place,
                "this file is no log",
                "name the log, or restore a backup of it",
            ),
            _ => Error::new(
                Kind::Outside,
                place,
                format!("the log's database says: {error}"),
                "look at disk and folder; what was confirmed is recorded, what was not may be told again",
            ),
        }
    }

    /// What the disk says, in plain words.
    pub(crate) fn disk(path: &Path, error: &std::io::Error) -> Error {
        let (kind, why) = match error.kind() {
            std::io::ErrorKind::NotFound => {
                (Kind::Missing, "there is no such file or folder".into())
            }
            std::io::ErrorKind::PermissionDenied => (Kind::ReadOnly, "it is not allowed".into()),
            std::io::ErrorKind::ReadOnlyFilesystem => {
                (Kind::ReadOnly, "the disk cannot be written".into())
            }
            std::io::ErrorKind::StorageFull => (Kind::Full, "the disk is full".into()),
            _ => (Kind::Outside, error.to_string()),
        };
        Error::new(kind, path.display().to_string(), why, "check the path and its folder")
    }
}

/// A damaged log, with the backup that could stand in for it.
pub(crate) fn damaged(path: &Path, why: &str) -> Error {
    let mend = match crate::backup::newest_sound(path) {
        Some((backup, events, last)) => format!(
            "nothing was changed; the newest sound backup has {events} events up to {last}: `barwright log \
             restore {} --log {}` puts it in this place and keeps the damaged file beside it",
            backup.display(),
            path.display()
        ),
        None => "nothing was changed, and no sound backup lies beside it: copy the file before anything else, \
                 then save what can be read with `barwright log export --damaged`"
            .to_owned(),
    };
    Error::new(
        Kind::Damaged,
        path.display().to_string(),
        format!("the log is damaged: {why}"),
        mend,
    )
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.place.as_str() {
            "" => f.write_str(&self.message),
            place => write!(f, "{place}: {}", self.message),
        }
    }
}

impl std::error::Error for Error {}
