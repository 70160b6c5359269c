//! Many who tell at once: one thread writes, and one wait for the disk confirms all that came meanwhile.

use crate::append::{Kept, Told};
use crate::error::{Error, Kind};
use crate::store::Log;
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::thread;

/// Most groups of one transaction.
const AT_ONCE: usize = 1000;

struct Ask {
    told: Vec<Told>,
    answer: SyncSender<Result<Vec<Kept>, Error>>,
}

/// The way to a log that many threads share. Its copies write into the same file; when the last is gone, the
/// log is closed.
#[derive(Debug, Clone)]
pub struct Recorder {
    ask: SyncSender<Ask>,
    path: PathBuf,
}

impl Recorder {
    /// Gives the log to a thread of its own.
    pub fn start(log: Log) -> Recorder {
        let (ask, asked) = sync_channel(AT_ONCE);
        let path = log.path().to_owned();
        thread::spawn(move || write(log, &asked));
        Recorder { ask, path }
    }

    /// Records events, all of them or none, and waits until they are on the disk.
    ///
    /// # Errors
    /// As [`Log::record`].
    pub fn record(&self, told: Vec<Told>) -> Result<Vec<Kept>, Error> {
        let (answer, answered) = sync_channel(1);
        let gone = || {
            Error::new(
                Kind::Outside,
                self.path.display().to_string(),
                "the thread that writes the log has ended: nothing is recorded",
                "start the program again, then tell it again",
            )
        };
        self.ask.send(Ask { told, answer }).map_err(|_| gone())?;
        answered.recv().unwrap_or_else(|_| Err(gone()))
    }
}

fn write(mut log: Log, asked: &Receiver<Ask>) {
    while let Ok(first) = asked.recv() {
        let mut all = vec![first];
        all.extend(asked.try_iter().take(AT_ONCE - 1));
        let groups: Vec<&[Told]> = all.iter().map(|ask| ask.told.as_slice()).collect();
        let results = log.record_groups(&groups);
        for (ask, result) in all.iter().zip(results) {
            // Who does not wait any more can ask again: the event counts once.
            let _ = ask.answer.send(result);
        }
    }
}
