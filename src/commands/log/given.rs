//! What every subcommand is given: the log, units, and how names, times and lengths are read.

use crate::commands::Trouble;
use crate::files::near;
use crate::term::log::{self as term_log, time};
use model::record::{Name, Stamp, State};
use model::{Length, Units};
use runlog::{Error, Live, Log};
use std::path::PathBuf;

/// The shop's log, and how it is shown.
pub(super) struct Shop {
    pub(super) path: PathBuf,
    pub(super) json: bool,
    pub(super) inch: bool,
}

impl Shop {
    pub(super) fn open(&self) -> Result<Log, Trouble> {
        Log::open(&self.path).map_err(told)
    }

    pub(super) fn open_to_read(&self) -> Result<Log, Trouble> {
        Log::open_to_read(&self.path).map_err(told)
    }

    /// A log to ask, with the state from it.
    pub(super) fn live(&self) -> Result<(Log, Live), Trouble> {
        let log = self.open_to_read()?;
        let mut live = Live::open(&log).map_err(told)?;
        live.save(&log).map_err(told)?;
        Ok((log, live))
    }

    pub(super) const fn units(&self) -> Units {
        if self.inch { Units::Inch } else { Units::Mm }
    }

    pub(super) fn length(&self, text: &str) -> Result<Length, Trouble> {
        Length::parse_with_unit(text, self.units()).map_err(|why| {
            Trouble::outside(format!("{text}: {why}"), "write a length such as 68, 68mm or 2.68in")
        })
    }

    pub(super) fn lengths(&self, text: Option<&String>) -> Result<Option<Length>, Trouble> {
        text.map(|text| self.length(text)).transpose()
    }
}

/// A trouble of the log in words.
pub(super) fn told(error: Error) -> Trouble {
    Trouble::outside(error.to_string(), error.mend)
}

/// A name that a person typed.
pub(super) fn name(text: &str) -> Result<Name, Trouble> {
    Name::parse(text).ok_or_else(|| {
        let message =
            format!("{text:?} is no name: it is empty, has several lines or over 100 characters");
        Trouble::outside(message, "write a short name")
    })
}

pub(super) fn names(text: Option<&String>) -> Result<Option<Name>, Trouble> {
    text.map(|text| name(text)).transpose()
}

/// A lathe that the log knows: a mistyped name must not begin a lathe of its own.
pub(super) fn lathe(state: &State, text: &str) -> Result<Name, Trouble> {
    known_as("lathe", text, state.lathes.keys(), "a lathe begins with `barwright log setup`")
}

/// A job that the log knows.
pub(super) fn job(state: &State, text: &str) -> Result<Name, Trouble> {
    known_as("job", text, state.orders.keys(), "an order begins with `barwright log order`")
}

pub(super) fn known_as<'n>(
    what: &str,
    text: &str,
    all: impl Iterator<Item = &'n Name> + Clone,
    begins: &str,
) -> Result<Name, Trouble> {
    let wanted = name(text)?;
    if all.clone().any(|one| *one == wanted) {
        return Ok(wanted);
    }
    let near = near(text, all.clone().map(Name::text));
    let message = match near.as_slice() {
        [] => format!("the log has no {what} {text}"),
        near => format!("the log has no {what} {text}, but there is {}", near.join(", ")),
    };
    let all: Vec<&str> = all.map(Name::text).take(8).collect();
    let mend = match all.as_slice() {
        [] => begins.to_owned(),
        all => format!("write one of {}; {begins}", all.join(", ")),
    };
    Err(Trouble::outside(message, mend))
}

/// A time that a person typed, in the time of this place.
pub(super) fn stamp(text: &str, now: Stamp) -> Result<Stamp, Trouble> {
    time::parse(text, now).ok_or_else(|| {
        Trouble::outside(
            format!("{text} is no time"),
            "write 14:30 for today, 2026-12-01 14:30, or 2026-12-01T14:30:00Z",
        )
    })
}

/// What stands behind an answer of the log where this computer's clock was found set back.
pub(super) fn clock_caution(log: &Log) -> Result<String, Trouble> {
    let times = log.clock_set_back().map_err(told)?;
    Ok(term_log::clock_caution(times))
}
