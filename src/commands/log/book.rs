//! Recording: what all events share on the command line, and what is said when they are in the log.

use super::given::{Shop, lathe, name, names, stamp, told};
use crate::commands::{Ended, Outcome, Trouble, print};
use crate::{json, term};
use clap::Args;
use model::record::{Event, Name, Recorded, Stamp, State, What};
use runlog::{Live, Log, Told};
use std::hash::{BuildHasher as _, Hasher as _};

/// Who tells it, when it was, and what else there is to say.
#[derive(Debug, Args)]
pub(super) struct Teller {
    /// Who tells it.
    #[arg(long, value_name = "NAME", env = "BARWRIGHT_PERSON", hide_env_values = true)]
    person: Option<String>,
    /// When it was: 14:30, 2026-12-01 14:30, or with a zone; left out, now.
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// An id of the script's own: told again with the same id, the event counts once.
    #[arg(long, value_name = "ID")]
    id: Option<String>,
    /// A remark.
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
}

/// Events being told, and the state before them.
pub(super) struct Book<'s> {
    shop: &'s Shop,
    log: Log,
    live: Live,
    at: Stamp,
    /// The present time; none where a person said when it was, which then holds to the millisecond.
    sent: Option<Stamp>,
    /// Of the first event, where a script gave one.
    id: Option<Name>,
    person: Option<Name>,
    note: Option<Name>,
    told: Vec<Told>,
}

impl Teller {
    pub(super) fn book<'s>(&self, shop: &'s Shop) -> Result<Book<'s>, Trouble> {
        let log = shop.open()?;
        let mut live = Live::open(&log).map_err(told)?;
        live.save(&log).map_err(told)?;
        let now = log.now();
        let at = self.at.as_ref().map(|text| stamp(text, now)).transpose()?.unwrap_or(now);
        if let Some(text) = self.at.as_ref().filter(|_| at > now) {
            let mend =
                "look at the day and at this computer's clock; only what happened can be recorded";
            return Err(Trouble::outside(format!("{text} is still to come"), mend));
        }
        let id = self.id.as_ref().map(|id| name(id)).transpose()?;
        let (person, note) = (names(self.person.as_ref())?, names(self.note.as_ref())?);
        let sent = self.at.is_none().then_some(now);
        Ok(Book { shop, log, live, at, sent, id, person, note, told: Vec::new() })
    }
}

/// An id that no other event has.
pub(crate) fn new_id() -> Name {
    // Each of the standard library's hashers starts from a random key of the operating system.
    let random = || std::collections::hash_map::RandomState::new().build_hasher().finish();
    Name::from(format!("{:016x}{:016x}", random(), random()).as_str())
}

impl Book<'_> {
    pub(super) const fn state(&self) -> &State {
        self.live.state()
    }

    pub(super) const fn log(&self) -> &Log {
        &self.log
    }

    /// What an event says, its corrections worked in; of one that was taken back, what it said.
    pub(super) fn says(&self, recorded: &Recorded) -> What {
        let counts = self.live.corrections().effective(recorded);
        counts.map_or_else(|| recorded.event.what.clone(), |counts| counts.event.what.clone())
    }

    /// A lathe that the log knows.
    pub(super) fn lathe(&self, text: &str) -> Result<Name, Trouble> {
        lathe(self.state(), text)
    }

    /// The job that an event at a lathe is for: that on it, as far as the event is not from before.
    fn job_on(&self, lathe: Option<&Name>) -> Option<Name> {
        let now = self.state().lathes.get(lathe?)?;
        now.job.clone().filter(|_| now.since.is_none_or(|since| since <= self.at))
    }

    /// Adds an event; several of one telling are recorded together or not at all.
    pub(super) fn tell(&mut self, lathe: Option<&Name>, job: Option<&Name>, what: What) {
        let id = match (&self.id, self.told.len()) {
            (None, _) => new_id(),
            (Some(id), 0) => id.clone(),
            (Some(id), more) => Name::from(format!("{id}.{more}").as_str()),
        };
        let event = Event {
            id,
            at: self.at,
            lathe: lathe.cloned(),
            job: job.cloned().or_else(|| self.job_on(lathe)),
            person: self.person.clone(),
            what,
            note: self.note.clone(),
        };
        self.told.push(Told { event, sent: self.sent });
    }

    /// Records what was told, and says so with what stands then.
    pub(super) fn close(mut self) -> Ended {
        // A script that tells again what it told does so with the time of the first telling.
        let log = &self.log;
        for one in &mut self.told {
            if let Some(known) = log.event(&one.event.id).map_err(told)? {
                one.event.at = known.event.at;
                one.event.job.clone_from(&known.event.job);
            }
        }
        let kept = self.log.record(&self.told).map_err(told)?;
        self.live.refresh(&self.log).map_err(told)?;
        let state = self.live.state();
        let text = if self.shop.json {
            json::text(&json::log::kept(&kept))
        } else {
            term::log::kept(&kept, state, self.shop.units())
        };
        print(text.as_bytes())?;
        Ok(Outcome::Fine)
    }
}
