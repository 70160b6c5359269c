//! Versions of the file, each made from the one before.

use crate::error::{Error, Kind};
use rusqlite::Connection;
use std::path::Path;

/// The mark of our files in `SQLite`'s header: `BWLG`.
pub(crate) const APPLICATION: i32 = 0x4257_4c47;

/// What leads from each version to the next; a step that was published never changes.
const STEPS: [&str; 1] = [include_str!("schema.sql")];

pub(crate) const VERSION: usize = STEPS.len();

/// The version of a file.
///
/// # Errors
/// Where it is no log of ours, or was written by a newer version.
pub(crate) fn version(connection: &Connection, path: &Path) -> Result<usize, Error> {
    let pragma = |name| connection.pragma_query_value(None, name, |row| row.get::<_, i32>(0));
    let application = pragma("application_id").map_err(|error| Error::of(path, &error))?;
    if application != APPLICATION {
        let message = "this database was not made by barwright";
        let mend = "name the shop's log; `barwright log new` makes one";
        return Err(Error::new(Kind::NotALog, path.display().to_string(), message, mend));
    }
    let version = pragma("user_version").map_err(|error| Error::of(path, &error))?;
    let version = usize::try_from(version).unwrap_or(usize::MAX);
    if version > VERSION {
        let message = format!("the log has form {version}, this version knows up to {VERSION}");
        let mend = "use the newer version of barwright";
        return Err(Error::new(Kind::Newer, path.display().to_string(), message, mend));
    }
    Ok(version)
}

/// Brings a file from one version to the newest, whole or not at all.
pub(crate) fn upgrade(connection: &mut Connection, from: usize) -> rusqlite::Result<()> {
    let all = connection.transaction_with_behavior(rusqlite::TransactionBehavior::Immediate)?;
    for step in &STEPS[from..] {
        all.execute_batch(step)?;
    }
    all.pragma_update(None, "application_id", APPLICATION)?;
    all.pragma_update(None, "user_version", VERSION as i64)?;
    all.commit()
}
