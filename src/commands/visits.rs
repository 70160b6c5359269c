//! `barwright visits SHOP`.

mod changed;
mod gather;

use super::{Ended, Outcome, Trouble, print};
use crate::files::{NewFile, write_all};
use crate::json;
use crate::term::{self, with_progress};
use ::visits::calendar;
use ::visits::clock::{Clock, ClockError};
use ::visits::floor::Rule;
use ::visits::search::Effort;
use ::visits::setting::Setting;
use ::visits::simulate::{self, Figure, Run, Tally};
use ::visits::timetable::Timetable;
use clap::Args;
use gather::{Gathered, Learned, NotKnown};
use model::files::Shop;
use model::quantity::Seconds;
use std::path::PathBuf;
use std::time::{SystemTime, UNIX_EPOCH};

/// Who goes to which lathe when, so that spindles stand least: a timetable of visits, with what is proven of it.
///
/// The shop file names lathes, people, staffed hours, holidays and walks. How long a lathe runs by itself comes from
/// its job, which is planned, from the answer of a plan, or from the file. With --runs the shop is also run many
/// times with times that scatter.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  barwright visits demo/five-lathes/shop.toml --from 2026-12-01T06:00 --ics visits.ics"
)]
pub(super) struct Visits {
    /// The shop file.
    #[arg(value_name = "SHOP")]
    shop: PathBuf,
    /// What the shop's clock shows when the timetable begins, as 2026-12-01T06:00; left out, now.
    #[arg(long, value_name = "TIME")]
    from: Option<String>,
    /// How many days the timetable reaches.
    #[arg(long, value_name = "DAYS", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=7))]
    days: u32,
    /// Write the visits as a calendar (iCalendar, RFC 5545).
    #[arg(long, value_name = "FILE")]
    ics: Option<PathBuf>,
    /// Of the calendar, only the visits of this person.
    #[arg(long, value_name = "NAME", requires = "ics")]
    person: Option<String>,
    /// Draw the lanes of all lathes along one clock, as SVG.
    #[arg(long, value_name = "FILE")]
    picture: Option<PathBuf>,
    /// Overwrite these files.
    #[arg(long)]
    force: bool,
    /// Print the answer as JSON.
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    what_if: changed::WhatIf,
    /// Run the shop so many times with times that scatter.
    #[arg(long, value_name = "RUNS", default_value_t = 0, value_parser = clap::value_parser!(u32).range(0..=100_000))]
    runs: u32,
    /// Days of each of these runs.
    #[arg(long, value_name = "DAYS", default_value_t = 28, value_parser = clap::value_parser!(u32).range(1..=3660))]
    over: u32,
    /// The number that chance begins with; the same number, the same chance.
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    seed: u64,
}

/// A shop with its timetable and, where it was run, what that came to.
pub(crate) struct Attended {
    pub(crate) setting: Setting,
    pub(crate) timetable: Timetable,
    pub(crate) simulated: Option<Simulated>,
    /// What is not known about how long lathes may be left, and was left out.
    pub(crate) not_known: Vec<NotKnown>,
    /// What the lathes' logs taught, and counts here.
    pub(crate) learned: Vec<Learned>,
}

/// Runs of a shop.
pub(crate) struct Simulated {
    pub(crate) runs: Vec<Run>,
    pub(crate) days: u32,
    pub(crate) seed: u64,
    /// Seconds of each run in which each person is there.
    pub(crate) there: Vec<f64>,
}

/// What the runs of a shop come to, as shares of all time.
pub(crate) struct Figures {
    /// All spindles.
    pub(crate) running: Figure,
    /// Each lathe.
    pub(crate) lathes: Vec<OfLathe>,
    /// Walking and attending, as a share of the time that each person is there; none for one who never is.
    pub(crate) people: Vec<Option<Figure>>,
}

/// A lathe over many runs, as shares of all time.
pub(crate) struct OfLathe {
    pub(crate) running: Figure,
    pub(crate) waiting: Figure,
    pub(crate) attended: Figure,
    /// Visits a day.
    pub(crate) visits: Figure,
}

impl Simulated {
    pub(crate) fn figures(&self) -> Figures {
        let all = f64::from(self.days) * 86_400.0;
        let lathes = self.runs.first().map_or(0, |run| run.lathes.len());
        let of = |lathe: usize, what: fn(&Tally) -> f64, over: f64| {
            Figure::of(self.runs.iter().map(|run| what(&run.lathes[lathe]) / over))
        };
        let running = |run: &Run| run.lathes.iter().map(|it| it.running).sum::<f64>();
        let busy = |(person, there): (usize, &f64)| {
            (*there > 0.0).then(|| Figure::of(self.runs.iter().map(|run| run.busy[person] / there)))
        };
        Figures {
            running: Figure::of(self.runs.iter().map(|run| running(run) / (all * lathes as f64))),
            lathes: (0..lathes)
                .map(|lathe| OfLathe {
                    running: of(lathe, |it| it.running, all),
                    waiting: of(lathe, |it| it.waiting, all),
                    attended: of(lathe, |it| it.attended, all),
                    visits: of(lathe, |it| f64::from(it.visits), f64::from(self.days)),
                })
                .collect(),
            people: self.there.iter().enumerate().map(busy).collect(),
        }
    }
}

/// What `visits` answers: the shop as it is, and as it would be.
pub(crate) struct Answer {
    pub(crate) shop: String,
    pub(crate) from: String,
    pub(crate) days: u32,
    pub(crate) as_is: Attended,
    /// In words, what would be otherwise, and what then.
    pub(crate) what_if: Option<(String, Attended)>,
}

impl Answer {
    /// The shop that pictures and calendars show.
    fn shown(&self) -> &Attended {
        self.what_if.as_ref().map_or(&self.as_is, |(_, changed)| changed)
    }
}

impl Visits {
    pub(super) fn run(self) -> Ended {
        let shop = gather::shop(&self.shop)?;
        let from = match &self.from {
            Some(from) => from.clone(),
            None => now(&shop)?,
        };
        let clock =
            Clock::new(&from, shop.time_zone.as_deref()).map_err(|why| no_clock(&shop, &why))?;
        let gathered = gather::gather(&self.shop, shop)?;
        let answer = self.answer(from, &clock, &gathered)?;
        let shown = answer.shown();
        let mut files = Vec::new();
        if let Some(path) = &self.ics {
            let person =
                self.person.as_ref().map(|name| gather::person(shown, name)).transpose()?;
            let text = calendar::write(&shown.setting, &shown.timetable, &answer.shop, person);
            files.push(NewFile { path: path.clone(), bytes: text.into_bytes() });
        }
        if let Some(path) = &self.picture {
            let scene = view::pictures::lanes::scene(&shown.setting, &shown.timetable);
            files
                .push(NewFile { path: path.clone(), bytes: view::svg::write(&scene).into_bytes() });
        }
        write_all(&files, self.force)?;
        if self.json {
            return print(json::text(&json::visits(&answer)).as_bytes());
        }
        let mut text = term::visits(&answer);
        for file in &files {
            text += &format!("wrote {}\n", file.path.display());
        }
        print(text.as_bytes())?;
        Ok(Outcome::Fine)
    }

    fn answer(&self, from: String, clock: &Clock, gathered: &Gathered) -> Result<Answer, Trouble> {
        let changed = self.what_if.change(gathered)?;
        let as_is = self.attend(clock, gathered)?;
        let what_if = match changed {
            Some((words, changed)) => Some((words, self.attend(clock, &changed)?)),
            None => None,
        };
        Ok(Answer { shop: gathered.shop.name.clone(), from, days: self.days, as_is, what_if })
    }

    fn attend(&self, clock: &Clock, gathered: &Gathered) -> Result<Attended, Trouble> {
        let setting = Setting::new(&gathered.shop, clock.clone(), gathered.courses.clone());
        let days = |days: u32| Seconds::from_s(f64::from(days) * 86_400.0);
        if let Some(lathe) = setting.too_often(days(self.days)) {
            let message =
                format!("{} stops too often for a timetable of {} days", lathe.name, self.days);
            return Err(Trouble::outside(
                message,
                "ask for fewer days, or check how long it runs by itself",
            ));
        }
        let timetable = with_progress("looking for the timetable", || {
            Timetable::of(&setting, days(self.days), Effort::USUAL)
        });
        let simulated = (self.runs > 0).then(|| {
            let horizon = days(self.over);
            let floor = setting.floor(horizon, Rule::MostRunning);
            let runs =
                with_progress("running the shop", || simulate::runs(&floor, self.seed, self.runs));
            let there =
                floor.people.iter().map(|it| it.spans.iter().map(|(from, to)| to - from).sum());
            Simulated { runs, days: self.over, seed: self.seed, there: there.collect() }
        });
        let (not_known, learned) = (gathered.not_known.clone(), gathered.learned.clone());
        Ok(Attended { setting, timetable, simulated, not_known, learned })
    }
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
