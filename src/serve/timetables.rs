//! The shop's timetables while the pages are served. A timetable takes seconds: it is looked for in the background,
//! one at a time, and kept until a file changes.

use super::shelf::{Around, Shelf};
use super::{NoShop, locked};
use crate::attend::{self, Attended, Gathered, Trials, WhatIf, gather};
use crate::commands::Trouble;
use crate::files::Disk;
use model::{Files, Source};
use std::cell::RefCell;
use std::hash::{DefaultHasher, Hash as _, Hasher as _};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::time::{Duration, Instant};
use tokio::sync::broadcast;
use visits::clock::Clock;
use visits::figures::Simulated;

/// Timetables that are kept.
const KEPT: usize = 24;
/// How the shop is run many times.
const TRIALS: Trials = Trials { runs: 300, over: 28, seed: 1 };

/// What a timetable is wanted of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Wish {
    /// What the shop's clock shows when it begins.
    pub(super) from: String,
    pub(super) days: u32,
    pub(super) what_if: WhatIf,
}

/// A timetable that was found.
#[derive(Debug)]
pub(super) struct Found {
    pub(super) from: String,
    /// In words, what is otherwise.
    pub(super) otherwise: Option<String>,
    pub(super) attended: Attended,
}

/// How far a wish has come.
#[derive(Debug, Clone)]
pub(super) enum Made {
    /// It is being looked for.
    Waits,
    Found(Arc<Found>),
    /// It cannot be: why, and what to write.
    Refused(Arc<Trouble>),
}

/// How far simulated runs have come.
#[derive(Debug, Clone)]
pub(super) enum Ran {
    /// Not asked for.
    No,
    Runs,
    Done(Arc<Simulated>),
}

struct Kept {
    wish: Wish,
    made: Made,
    ran: Ran,
}

/// A shop as its files stand.
#[derive(Clone)]
pub(super) struct Standing {
    pub(super) path: PathBuf,
    pub(super) read: Result<Arc<Gathered>, Arc<Trouble>>,
    /// What was read of it.
    own: u64,
    /// What was read of each other file, by the name under which the shop file leads to it.
    seen: Arc<Vec<(String, u64)>>,
}

#[derive(Default)]
struct State {
    standing: Option<Standing>,
    /// When the timetable begins for whoever does not say.
    begins: Option<String>,
    kept: Vec<Kept>,
    /// Whether someone looked for a shop and there was none.
    missed: bool,
    /// How often files were found changed.
    revision: u64,
}

/// The timetables of the served folder's shop.
pub(super) struct Timetables {
    state: Mutex<State>,
    ready: Condvar,
    /// Only one is looked for at a time, so that the pages stay quick.
    looks: Mutex<()>,
    told: broadcast::Sender<()>,
}

impl Default for Timetables {
    fn default() -> Timetables {
        Timetables {
            state: Mutex::default(),
            ready: Condvar::new(),
            looks: Mutex::default(),
            told: broadcast::channel(16).0,
        }
    }
}

/// The files around the shop file, with what was read of them.
struct Seeing<'a> {
    around: Around<'a>,
    seen: RefCell<Vec<(String, u64)>>,
}

fn digest(read: &Result<Source, String>) -> u64 {
    let mut hasher = DefaultHasher::new();
    match read {
        Ok(source) => source.bytes().hash(&mut hasher),
        Err(why) => why.hash(&mut hasher),
    }
    hasher.finish()
}

impl Files for Seeing<'_> {
    fn read(&self, path: &str) -> Result<Source, String> {
        let read = self.around.read(path);
        self.seen.borrow_mut().push((path.to_owned(), digest(&read)));
        read
    }

    fn shipped(&self, path: &str) -> Result<Source, String> {
        self.around.shipped(path)
    }
}

fn around<'a>(shelf: &'a Shelf, path: &'a Path) -> Around<'a> {
    Around { shelf, job: path, texts: Vec::new() }
}

/// The shop file by its own name. It may lie elsewhere, where it was named.
fn shop_text(path: &Path) -> Result<Source, String> {
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned());
    Ok(Source::new(name.unwrap_or_default(), Disk::text(path)?.bytes()))
}

impl Standing {
    fn read(shelf: &Shelf, path: PathBuf) -> Standing {
        let seeing = Seeing { around: around(shelf, &path), seen: RefCell::default() };
        let text = shop_text(&path);
        let own = digest(&text);
        let read = text
            .map_err(|why| Trouble::outside(why, "check the file"))
            .and_then(|source| gather::shop(&source))
            .and_then(|shop| gather::gather(&seeing, shop));
        let seen = Arc::new(seeing.seen.into_inner());
        Standing { read: read.map(Arc::new).map_err(Arc::new), own, seen, path }
    }

    fn is_as_on_disk(&self, shelf: &Shelf) -> bool {
        let around = around(shelf, &self.path);
        digest(&shop_text(&self.path)) == self.own
            && self.seen.iter().all(|(name, seen)| digest(&around.read(name)) == *seen)
    }
}

impl Timetables {
    /// Whoever is told when something is there or was changed.
    pub(super) fn listen(&self) -> broadcast::Receiver<()> {
        self.told.subscribe()
    }

    fn tell(&self) {
        self.ready.notify_all();
        // Nobody listening is no trouble.
        let _ = self.told.send(());
    }

    /// The shop, read where it was not yet; `file` says where its file is.
    pub(super) fn standing(
        &self,
        shelf: &Shelf,
        file: impl FnOnce() -> Result<PathBuf, NoShop>,
    ) -> Result<Standing, NoShop> {
        if let Some(standing) = &locked(&self.state).standing {
            return Ok(standing.clone());
        }
        let standing = file().map(|path| Standing::read(shelf, path));
        let mut state = locked(&self.state);
        state.missed = standing.is_err();
        state.standing = standing.as_ref().ok().cloned();
        standing
    }

    /// Forgets what was reckoned from files that were changed on the disk since.
    pub(super) fn look(&self, shelf: &Shelf, file: impl FnOnce() -> Result<PathBuf, NoShop>) {
        let (standing, missed) = {
            let state = locked(&self.state);
            (state.standing.clone(), state.missed)
        };
        let same = match &standing {
            Some(standing) => standing.path.is_file() && standing.is_as_on_disk(shelf),
            None => !missed || file().is_err(),
        };
        if same {
            return;
        }
        let mut state = locked(&self.state);
        *state = State { revision: state.revision + 1, ..State::default() };
        drop(state);
        self.tell();
    }

    /// When the timetable begins for whoever does not say: when it was first asked for, until files change or it
    /// is at its end.
    pub(super) fn begins(&self, gathered: &Gathered) -> Result<String, Trouble> {
        if let Some(begins) = locked(&self.state).begins.clone() {
            let elapsed = attend::clock(&gathered.shop, Some(&begins))
                .ok()
                .and_then(|(_, clock)| now(gathered, &clock));
            if elapsed.is_none_or(|elapsed| elapsed < 86_400) {
                return Ok(begins);
            }
        }
        let (from, _) = attend::clock(&gathered.shop, None)?;
        locked(&self.state).begins = Some(from.clone());
        Ok(from)
    }

    /// How far a wish has come; it is looked for where it was not yet.
    pub(super) fn made(self: &Arc<Self>, shelf: &Shelf, standing: &Standing, wish: &Wish) -> Made {
        let Ok(gathered) = &standing.read else { return Made::Waits };
        let mut state = locked(&self.state);
        if let Some(kept) = state.kept.iter().find(|kept| kept.wish == *wish) {
            return kept.made.clone();
        }
        if state.kept.len() >= KEPT {
            state.kept.remove(0);
        }
        state.kept.push(Kept { wish: wish.clone(), made: Made::Waits, ran: Ran::No });
        let revision = state.revision;
        drop(state);
        let (this, shelf, path) = (Arc::clone(self), shelf.clone(), standing.path.clone());
        let (gathered, wish) = (Arc::clone(gathered), wish.clone());
        tokio::task::spawn_blocking(move || {
            let one = locked(&this.looks);
            if !this.is_wanted(&wish, revision) {
                return;
            }
            let found = find(&around(&shelf, &path), &gathered, &wish);
            drop(one);
            let made =
                found.map_or_else(|it| Made::Refused(Arc::new(it)), |it| Made::Found(Arc::new(it)));
            this.keep(&wish, revision, |kept| kept.made = made);
        });
        Made::Waits
    }

    /// As [`Timetables::made`], after waiting for it so long at most.
    pub(super) fn made_within(
        self: &Arc<Self>,
        shelf: &Shelf,
        standing: &Standing,
        wish: &Wish,
        patience: Duration,
    ) -> Made {
        let begin = Instant::now();
        let mut made = self.made(shelf, standing, wish);
        while let (Made::Waits, Some(left)) = (&made, patience.checked_sub(begin.elapsed())) {
            let state = locked(&self.state);
            let waits = |state: &State| {
                state.kept.iter().any(|kept| kept.wish == *wish && matches!(kept.made, Made::Waits))
            };
            if !waits(&state) {
                return state
                    .kept
                    .iter()
                    .find(|kept| kept.wish == *wish)
                    .map_or(Made::Waits, |kept| kept.made.clone());
            }
            drop(self.ready.wait_timeout(state, left).unwrap_or_else(PoisonError::into_inner));
            made = self.made(shelf, standing, wish);
        }
        made
    }

    /// Simulated runs of a timetable that was found; they are begun where they were not yet.
    pub(super) fn ran(self: &Arc<Self>, wish: &Wish) -> Ran {
        let mut state = locked(&self.state);
        let revision = state.revision;
        let Some(kept) = state.kept.iter_mut().find(|kept| kept.wish == *wish) else {
            return Ran::No;
        };
        let (Ran::No, Made::Found(found)) = (&kept.ran, &kept.made) else {
            return kept.ran.clone();
        };
        let (this, found, wish) = (Arc::clone(self), Arc::clone(found), wish.clone());
        kept.ran = Ran::Runs;
        drop(state);
        tokio::task::spawn_blocking(move || {
            let one = locked(&this.looks);
            let ran = attend::simulated(&found.attended.setting, TRIALS);
            drop(one);
            this.keep(&wish, revision, |kept| kept.ran = Ran::Done(Arc::new(ran)));
        });
        Ran::Runs
    }

    fn is_wanted(&self, wish: &Wish, revision: u64) -> bool {
        let state = locked(&self.state);
        state.revision == revision && state.kept.iter().any(|kept| kept.wish == *wish)
    }

    /// Puts in what was reckoned, where it is still of the files as they stand.
    fn keep(&self, wish: &Wish, revision: u64, put: impl FnOnce(&mut Kept)) {
        let mut state = locked(&self.state);
        if state.revision == revision
            && let Some(kept) = state.kept.iter_mut().find(|kept| kept.wish == *wish)
        {
            put(kept);
        }
        drop(state);
        self.tell();
    }
}

fn find(files: &dyn Files, gathered: &Gathered, wish: &Wish) -> Result<Found, Trouble> {
    let (from, clock) = attend::clock(&gathered.shop, Some(&wish.from))?;
    let changed = wish.what_if.change(files, gathered)?;
    let (otherwise, gathered) = match &changed {
        Some((words, changed)) => (Some(words.clone()), changed),
        None => (None, gathered),
    };
    let setting = attend::setting(&clock, gathered, wish.days)?;
    Ok(Found { from, otherwise, attended: attend::attend(setting, gathered, wish.days) })
}

/// Seconds from the start of a timetable until now; none where nobody knows what the shop's clock shows.
pub(super) fn now(gathered: &Gathered, clock: &Clock) -> Option<i64> {
    let (shown, _) = attend::clock(&gathered.shop, None).ok()?;
    Some(clock.seconds_until(shown.parse().ok()?))
}
