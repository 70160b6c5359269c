//! The shop's timetables while the pages are served. A timetable takes seconds: it is looked for in the background,
//! one at a time, and kept until a file changes.

use super::book::Book;
use super::shelf::Shelf;
use super::standing::{Standing, around};
use super::{NoShop, locked};
use crate::attend::{self, Attended, Gathered, Trials, WhatIf};
use crate::commands::Trouble;
use model::Files;
use model::record::{self, Stamp};
use std::hash::{DefaultHasher, Hash as _, Hasher as _};
use std::path::PathBuf;
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::time::{Duration, Instant};
use tokio::sync::broadcast;
use visits::clock::Clock;
use visits::figures::Simulated;

/// A timetable that goes by the log begins anew after this: parts come faster or slower than planned.
const OLD: Duration = Duration::from_mins(10);
/// One that goes by the shop file alone.
const A_DAY: Duration = Duration::from_hours(24);
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
    /// Whether it goes on from what the log says.
    pub(super) by_log: bool,
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
    /// No other one had it, so that what was reckoned before a change does not come in after it.
    number: u64,
    wish: Wish,
    made: Made,
    ran: Ran,
}

/// When a timetable begins, and the shop as the log told it then.
#[derive(Clone)]
struct Begins {
    from: String,
    at: Instant,
    gathered: Arc<Gathered>,
    /// What people did and what was recorded of stops until then; none without a log.
    told: Option<u64>,
}

#[derive(Default)]
struct State {
    standing: Option<Standing>,
    /// The timetable of whoever does not say when it begins.
    begins: Option<Begins>,
    kept: Vec<Kept>,
    /// How many events the log had; none without one.
    events: Option<u64>,
    /// Whether someone looked for a shop and there was none.
    missed: bool,
    /// The number of the next one that is kept.
    next: u64,
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
        folder: &Shelf,
        file: impl FnOnce() -> Result<PathBuf, NoShop>,
    ) -> Result<Standing, NoShop> {
        if let Some(standing) = &locked(&self.state).standing {
            return Ok(standing.clone());
        }
        let standing = file().map(|path| Standing::read(folder, path));
        let mut state = locked(&self.state);
        state.missed = standing.is_err();
        state.standing = standing.as_ref().ok().cloned();
        standing
    }

    /// Forgets what was reckoned from files that were changed on the disk since.
    pub(super) fn look(
        &self,
        folder: &Shelf,
        book: &Book,
        file: impl FnOnce() -> Result<PathBuf, NoShop>,
    ) {
        self.look_at_log(book);
        let (standing, missed) = {
            let state = locked(&self.state);
            (state.standing.clone(), state.missed)
        };
        let same = match &standing {
            Some(standing) => standing.path.is_file() && standing.is_as_on_disk(folder),
            None => !missed || file().is_err(),
        };
        if same {
            return;
        }
        let mut state = locked(&self.state);
        *state = State { next: state.next, ..State::default() };
        drop(state);
        self.tell();
    }

    /// When the timetable begins for whoever does not say: when it was first asked for, until files change, people
    /// do something at a lathe, or it is too old.
    pub(super) fn begins(&self, book: &Book, gathered: &Arc<Gathered>) -> Result<String, Trouble> {
        if let Some(begins) = &locked(&self.state).begins {
            return Ok(begins.from.clone());
        }
        let (from, _) = attend::clock(&gathered.shop, None)?;
        let by_log = book.ask(|asked| {
            let now = asked.now().ms();
            // The clock shows whole minutes.
            let begin = Stamp::from_ms(now - now.rem_euclid(60_000));
            (Arc::new(attend::by_log(gathered, asked.state(), begin)), done(asked.state()))
        });
        let (gathered, told) = match by_log {
            Ok((gathered, told)) => (gathered, Some(told)),
            // Without a log the shop file's word is all there is.
            Err(_) => (Arc::clone(gathered), None),
        };
        let begins = Begins { from: from.clone(), at: Instant::now(), gathered, told };
        locked(&self.state).begins = Some(begins);
        Ok(from)
    }

    /// Tells of what the log has more, and lets the timetable begin anew where people did something at a lathe since,
    /// or it is too old.
    fn look_at_log(&self, book: &Book) {
        if locked(&self.state).standing.is_none() {
            return;
        }
        let log = book.ask(|asked| (done(asked.state()), asked.revision())).ok();
        let (told, events) = log.unzip();
        let mut state = locked(&self.state);
        let mut news = std::mem::replace(&mut state.events, events) != events;
        let old = if told.is_some() { OLD } else { A_DAY };
        let is_over = |begins: &Begins| begins.told != told || begins.at.elapsed() >= old;
        if let Some(begins) = state.begins.take_if(|begins| is_over(begins)) {
            state.kept.retain(|kept| kept.wish.from != begins.from);
            news = true;
        }
        drop(state);
        if news {
            self.tell();
        }
    }

    /// How far a wish has come; it is looked for where it was not yet.
    pub(super) fn made(self: &Arc<Self>, folder: &Shelf, standing: &Standing, wish: &Wish) -> Made {
        let Ok(gathered) = &standing.read else { return Made::Waits };
        let mut state = locked(&self.state);
        if let Some(kept) = state.kept.iter().find(|kept| kept.wish == *wish) {
            return kept.made.clone();
        }
        let live = state.begins.as_ref().filter(|begins| begins.from == wish.from);
        let by_log = live.is_some_and(|begins| begins.told.is_some());
        let gathered = Arc::clone(live.map_or(gathered, |begins| &begins.gathered));
        if state.kept.len() >= KEPT {
            state.kept.remove(0);
        }
        let number = state.next;
        state.next += 1;
        state.kept.push(Kept { number, wish: wish.clone(), made: Made::Waits, ran: Ran::No });
        drop(state);
        let (this, folder, path) = (Arc::clone(self), folder.clone(), standing.path.clone());
        let wish = wish.clone();
        tokio::task::spawn_blocking(move || {
            let one = locked(&this.looks);
            if !this.is_wanted(number) {
                return;
            }
            let found = find(&around(&folder, &path), &gathered, &wish)
                .map(|found| Found { by_log, ..found });
            drop(one);
            let made =
                found.map_or_else(|it| Made::Refused(Arc::new(it)), |it| Made::Found(Arc::new(it)));
            this.keep(number, |kept| kept.made = made);
        });
        Made::Waits
    }

    /// As [`Timetables::made`], after waiting for it so long at most.
    pub(super) fn made_within(
        self: &Arc<Self>,
        folder: &Shelf,
        standing: &Standing,
        wish: &Wish,
        patience: Duration,
    ) -> Made {
        let begin = Instant::now();
        let mut made = self.made(folder, standing, wish);
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
            made = self.made(folder, standing, wish);
        }
        made
    }

    /// Simulated runs of a timetable that was found; they are begun where they were not yet.
    pub(super) fn ran(self: &Arc<Self>, wish: &Wish) -> Ran {
        let mut state = locked(&self.state);
        let Some(kept) = state.kept.iter_mut().find(|kept| kept.wish == *wish) else {
            return Ran::No;
        };
        let (Ran::No, Made::Found(found)) = (&kept.ran, &kept.made) else {
            return kept.ran.clone();
        };
        let (this, found, number) = (Arc::clone(self), Arc::clone(found), kept.number);
        kept.ran = Ran::Runs;
        drop(state);
        tokio::task::spawn_blocking(move || {
            let one = locked(&this.looks);
            let ran = attend::simulated(&found.attended.setting, TRIALS);
            drop(one);
            this.keep(number, |kept| kept.ran = Ran::Done(Arc::new(ran)));
        });
        Ran::Runs
    }

    fn is_wanted(&self, number: u64) -> bool {
        locked(&self.state).kept.iter().any(|kept| kept.number == number)
    }

    /// Puts in what was reckoned, where it is still wanted.
    fn keep(&self, number: u64, put: impl FnOnce(&mut Kept)) {
        if let Some(kept) = locked(&self.state).kept.iter_mut().find(|kept| kept.number == number) {
            put(kept);
        }
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
    let attended = attend::attend(setting, gathered, wish.days);
    Ok(Found { from, otherwise, by_log: false, attended })
}

/// What people did at lathes and what was recorded of their stops; parts alone change nothing of it.
fn done(state: &record::State) -> u64 {
    let mut hasher = DefaultHasher::new();
    for (name, lathe) in &state.lathes {
        let runs = format!("{:?}", lathe.runs);
        let bar = lathe.bar.as_ref().map(|bar| bar.since.ms());
        let attended = lathe.attended.map(Stamp::ms);
        (name.text(), runs, bar, attended, lathe.since.map(Stamp::ms)).hash(&mut hasher);
    }
    hasher.finish()
}

/// Seconds from the start of a timetable until now; none where nobody knows what the shop's clock shows.
pub(super) fn now(gathered: &Gathered, clock: &Clock) -> Option<i64> {
    let (shown, _) = attend::clock(&gathered.shop, None).ok()?;
    Some(clock.seconds_until(shown.parse().ok()?))
}
