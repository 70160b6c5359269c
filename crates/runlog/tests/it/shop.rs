//! A log in a folder of its own, with a clock that the test sets.

use model::record::event::Loaded;
use model::record::{Event, Name, Recorded, Stamp, What};
use runlog::{Log, Query, Told};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};
use tempfile::TempDir;

pub(crate) struct Shop {
    pub(crate) folder: TempDir,
    pub(crate) log: Log,
    clock: Arc<AtomicI64>,
}

/// 2026-12-01 00:00 UTC.
pub(crate) const START: i64 = 1_796_083_200_000;

impl Shop {
    pub(crate) fn new() -> Shop {
        Shop::within(tempfile::tempdir().unwrap())
    }

    /// In memory, where there is such a folder: thousands of waits for a disk would test nothing more.
    pub(crate) fn in_memory() -> Shop {
        let folder = tempfile::tempdir_in("/dev/shm").or_else(|_| tempfile::tempdir());
        Shop::within(folder.unwrap())
    }

    fn within(folder: TempDir) -> Shop {
        let clock = Arc::new(AtomicI64::new(START));
        let log = Log::create(&folder.path().join("shop.barlog")).unwrap();
        Shop { log: log.with_clock(clock_of(&clock)), folder, clock }
    }

    pub(crate) fn path(&self) -> PathBuf {
        self.folder.path().join("shop.barlog")
    }

    /// The store's clock, in seconds after the start.
    pub(crate) fn set_clock(&self, seconds: i64) {
        self.clock.store(START + seconds * 1000, Ordering::Relaxed);
    }

    pub(crate) fn reopened(&self) -> Log {
        Log::open(&self.path()).unwrap().with_clock(clock_of(&self.clock))
    }

    pub(crate) fn all(&self) -> Vec<Recorded> {
        let mut all = self.log.events(&Query::default()).unwrap();
        all.sort_by_key(|recorded| recorded.order.place);
        all
    }
}

fn clock_of(clock: &Arc<AtomicI64>) -> runlog::Clock {
    let clock = Arc::clone(clock);
    Box::new(move || Stamp::from_ms(clock.load(Ordering::Relaxed)))
}

pub(crate) fn at(seconds: i64) -> Stamp {
    Stamp::from_ms(START + seconds * 1000)
}

pub(crate) fn event(id: &str, seconds: i64, what: What) -> Event {
    Event {
        id: Name::from(id),
        at: at(seconds),
        lathe: Some(Name::from("L1")),
        job: None,
        person: None,
        what,
        note: None,
    }
}

/// Told at once, by a client whose clock is right.
pub(crate) fn told(id: &str, seconds: i64, what: What) -> Told {
    Told { event: event(id, seconds, what), sent: Some(at(seconds)) }
}

pub(crate) fn made(parts: u32) -> What {
    What::PartsMade { parts }
}

pub(crate) fn loaded(heat: &str) -> What {
    let heat = Some(Name::from(heat));
    What::BarLoaded(Box::new(Loaded { heat, gives: Some(30), ..Loaded::default() }))
}
