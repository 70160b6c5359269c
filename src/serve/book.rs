//! The shop's log while the pages are served: one way to write it, one state that is asked.

use super::locked;
use model::record::{Corrections, Stamp, State};
use runlog::{Error, Kept, Live, Log, Recorder, Told};
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use tokio::sync::broadcast;

/// The log of the shop, opened when it is first asked.
pub(super) struct Book {
    path: PathBuf,
    opened: Mutex<Option<Opened>>,
    /// How many events the log has, each time that it has more.
    told: broadcast::Sender<u64>,
}

struct Opened {
    file: Option<u64>,
    /// Why nothing can be written, where only that cannot be.
    recorder: Result<Recorder, Error>,
    log: Log,
    live: Live,
}

/// What may be asked of the log, as of one moment.
#[derive(Clone, Copy)]
pub(super) struct Asked<'a> {
    pub(super) log: &'a Log,
    pub(super) live: &'a Live,
}

impl<'a> Asked<'a> {
    pub(super) const fn state(self) -> &'a State {
        self.live.state()
    }

    pub(super) const fn corrections(self) -> &'a Corrections {
        self.live.corrections()
    }

    pub(super) fn now(self) -> Stamp {
        self.log.now()
    }

    /// How many events it has, by which a page knows whether it is behind.
    pub(super) fn revision(self) -> u64 {
        self.log.count().unwrap_or_default()
    }
}

impl Book {
    pub(super) fn at(path: PathBuf) -> Book {
        Book { path, opened: Mutex::default(), told: broadcast::channel(64).0 }
    }

    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// Makes the log, where there is none.
    pub(super) fn begin(&self) -> Result<(), Error> {
        Log::create(&self.path).map(drop)?;
        self.look();
        Ok(())
    }

    /// Asks the log, with everything that was recorded until now, here or by another program.
    pub(super) fn ask<T>(&self, work: impl FnOnce(Asked<'_>) -> T) -> Result<T, Error> {
        let mut opened = locked(&self.opened);
        let opened = self.fresh(&mut opened)?;
        Ok(work(Asked { log: &opened.log, live: &opened.live }))
    }

    /// Records events, all of them or none; what is given back is on the disk.
    pub(super) fn record(&self, told: Vec<Told>) -> Result<Vec<Kept>, Error> {
        // Many may wait for the disk at once: the log is not held meanwhile.
        let recorder = self.fresh(&mut locked(&self.opened))?.recorder.clone()?;
        let kept = recorder.record(told)?;
        self.look();
        Ok(kept)
    }

    /// Takes in what was recorded since, and tells of it. A log that cannot be read is told when it is asked.
    pub(super) fn look(&self) {
        let _ = self.fresh(&mut locked(&self.opened));
    }

    pub(super) fn listen(&self) -> broadcast::Receiver<u64> {
        self.told.subscribe()
    }

    fn fresh<'o>(&self, opened: &'o mut Option<Opened>) -> Result<&'o mut Opened, Error> {
        // A backup that was put in the log's place is another file under the same name.
        if opened.as_ref().is_some_and(|it| it.file != identity(&self.path)) {
            *opened = None;
        }
        let (it, new) = match opened {
            Some(it) => (it, false),
            None => (opened.insert(Opened::open(&self.path)?), true),
        };
        if it.live.refresh(&it.log)? || new {
            // Who opens it next may have to fold more; nothing is lost.
            let _ = it.live.save(&it.log);
            // Nobody listening is no trouble.
            let _ = self.told.send(it.log.count()?);
        }
        Ok(it)
    }
}

impl Opened {
    fn open(path: &Path) -> Result<Opened, Error> {
        let log = Log::open_to_read(path)?;
        let live = Live::open(&log)?;
        let recorder = Log::open(path).map(Recorder::start);
        Ok(Opened { file: identity(path), recorder, log, live })
    }
}

/// By what a file is known again under the same name, where the system tells.
#[cfg(unix)]
fn identity(path: &Path) -> Option<u64> {
    use std::os::unix::fs::MetadataExt as _;
    std::fs::metadata(path).ok().map(|file| file.ino())
}

#[cfg(not(unix))]
fn identity(_: &Path) -> Option<u64> {
    None
}
