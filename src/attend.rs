//! A shop's lathes and who attends them: from the shop file to its timetable, for the command and for the pages.
//!
//! Read in this order: [`gather`] (what each lathe does, by its plan), [`otherwise`] (what if), [`logged`] (what the
//! log says), [`example`] (a shop file to begin with).

mod example;
pub(crate) mod gather;
mod logged;
mod otherwise;

pub(crate) use example::example;
pub(crate) use gather::Gathered;
pub(crate) use logged::by_log;
pub(crate) use otherwise::WhatIf;

use crate::commands::Trouble;
use ::visits::clock::{Clock, ClockError};
use ::visits::figures::Simulated;
use ::visits::floor::Rule;
use ::visits::search::Effort;
use ::visits::setting::{Learned, NotKnown, Setting};
use ::visits::simulate;
use ::visits::timetable::Timetable;
use model::files::Shop;
use model::quantity::Seconds;
use std::time::{SystemTime, UNIX_EPOCH};

/// A shop with its timetable.
#[derive(Debug)]
pub(crate) struct Attended {
    pub(crate) setting: Setting,
    pub(crate) timetable: Timetable,
    pub(crate) not_known: Vec<NotKnown>,
    pub(crate) learned: Vec<Learned>,
}

/// How a shop is run many times.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Trials {
    pub(crate) runs: u32,
    /// Days of each run.
    pub(crate) over: u32,
    pub(crate) seed: u64,
}

fn days(days: u32) -> Seconds {
    Seconds::from_s(f64::from(days) * 86_400.0)
}

/// The shop as timetable and simulation see it.
///
/// # Errors
/// Where a lathe stops too often for a timetable that long.
pub(crate) fn setting(
    clock: &Clock,
    gathered: &Gathered,
    reaches: u32,
) -> Result<Setting, Trouble> {
    let setting = Setting::new(&gathered.shop, clock.clone(), gathered.courses.clone());
    if let Some(lathe) = setting.too_often(days(reaches)) {
        let message = format!("{} stops too often for a timetable of {reaches} days", lathe.name);
        let help = "ask for fewer days, or check how long it runs by itself";
        return Err(Trouble::outside(message, help));
    }
    Ok(setting)
}

/// The timetable of a shop for so many days; takes some seconds.
pub(crate) fn attend(setting: Setting, gathered: &Gathered, reaches: u32) -> Attended {
    let timetable = Timetable::of(&setting, days(reaches), Effort::USUAL);
    let (not_known, learned) = (gathered.not_known.clone(), gathered.learned.clone());
    Attended { setting, timetable, not_known, learned }
}

/// The shop run many times.
pub(crate) fn simulated(setting: &Setting, trials: Trials) -> Simulated {
    let floor = setting.floor(days(trials.over), Rule::MostRunning);
    let runs = simulate::runs(&floor, trials.seed, trials.runs);
    Simulated::of(&floor, runs, trials.over, trials.seed)
}

/// The clock of a shop that shows `from`, or what it shows now.
///
/// # Errors
/// Where the text is no time, the zone is none, or the shop has no zone and no time is given.
pub(crate) fn clock(shop: &Shop, from: Option<&str>) -> Result<(String, Clock), Trouble> {
    let from = from.map_or_else(|| now(shop), |from| Ok(from.to_owned()))?;
    let clock = Clock::new(&from, shop.time_zone.as_deref());
    Ok((from, clock.map_err(|why| no_clock(shop, &why))?))
}

/// What the shop's clock shows now.
fn now(shop: &Shop) -> Result<String, Trouble> {
    let Some(zone) = &shop.time_zone else {
        return Err(Trouble::outside(
            "the shop file names no time zone, so that nobody knows what its clock shows now",
            "say when the timetable begins, as --from 2026-12-01T06:00, or add `time_zone` to the shop file",
        ));
    };
    let unix = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs());
    Clock::shown_at(unix as i64, zone).map_err(|why| no_clock(shop, &why))
}

fn no_clock(shop: &Shop, why: &ClockError) -> Trouble {
    match why {
        ClockError::NoZone(_) => {
            let help =
                "write a name of the tz database, such as \"Europe/Berlin\" or \"America/Chicago\"";
            let trouble = shop.origin.trouble("time_zone", why.to_string()).help(help);
            Trouble::Files(vec![trouble])
        }
        ClockError::NoTime(_) => {
            Trouble::outside(why.to_string(), "write date and time, as --from 2026-12-01T06:00")
        }
    }
}
