//! `barwright visits SHOP`.

use super::{Ended, Outcome, Trouble, print};
use crate::attend::gather::{self, Gathered, nobody};
use crate::attend::{self, Attended, Trials, WhatIf};
use crate::files::{Disk, NewFile, write_all};
use crate::json;
use crate::term::{self, with_progress};
use ::visits::calendar;
use ::visits::clock::Clock;
use ::visits::figures::Simulated;
use clap::Args;
use std::path::PathBuf;

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
    otherwise: Otherwise,
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

/// What would be otherwise.
#[derive(Debug, Args)]
struct Otherwise {
    /// What if there were one more person, with the hours of this name?
    #[arg(long, value_name = "HOURS")]
    one_more: Option<String>,
    /// What if this person were away?
    #[arg(long, value_name = "NAME")]
    without: Option<String>,
    /// What if this lathe had bars of another length, as "Lathe 1=1200mm"? Its job is planned anew.
    #[arg(long, value_name = "LATHE=LENGTH")]
    bar: Option<String>,
    /// What if these hours were others, as "early=05:00-12:00, 12:30-14:00"?
    #[arg(long, value_name = "HOURS=SPANS")]
    hours: Option<String>,
}

impl Otherwise {
    fn what_if(&self) -> Result<WhatIf, Trouble> {
        let pair = |text: Option<&String>, what: &str, help: &str| {
            let Some(text) = text else { return Ok(None) };
            let wrong = || Trouble::outside(format!("\"{text}\" is no {what}"), help);
            let (name, value) = text.rsplit_once('=').ok_or_else(wrong)?;
            Ok(Some((name.to_owned(), value.to_owned())))
        };
        let bar = "write a lathe and a length, as --bar \"Lathe 1=1200mm\"";
        let hours = "write hours and spans, as --hours \"early=06:00-12:00, 12:30-14:30\"";
        Ok(WhatIf {
            one_more: self.one_more.clone(),
            without: self.without.clone(),
            bar: pair(self.bar.as_ref(), "lathe with a length", bar)?,
            hours: pair(self.hours.as_ref(), "name of hours with their spans", hours)?,
        })
    }
}

/// A shop with its timetable and, where it was run, what that came to.
pub(crate) struct Told {
    pub(crate) attended: Attended,
    pub(crate) simulated: Option<Simulated>,
}

/// What `visits` answers: the shop as it is, and as it would be.
pub(crate) struct Answer {
    pub(crate) shop: String,
    pub(crate) from: String,
    pub(crate) days: u32,
    pub(crate) as_is: Told,
    /// In words, what would be otherwise, and what then.
    pub(crate) what_if: Option<(String, Told)>,
}

impl Answer {
    /// The shop that pictures and calendars show.
    fn shown(&self) -> &Attended {
        &self.what_if.as_ref().map_or(&self.as_is, |(_, changed)| changed).attended
    }
}

impl Visits {
    pub(super) fn run(self) -> Ended {
        let source =
            Disk::text(&self.shop).map_err(|why| Trouble::outside(why, "check the path"))?;
        let shop = gather::shop(&source)?;
        let (from, clock) = attend::clock(&shop, self.from.as_deref())?;
        let files = Disk::beside(&self.shop);
        let gathered = with_progress("planning the jobs", || gather::gather(&files, shop))?;
        let answer = self.answer(from, &clock, &files, &gathered)?;
        let shown = answer.shown();
        let mut files = Vec::new();
        if let Some(path) = &self.ics {
            let person = self.person.as_ref().map(|name| person(shown, name)).transpose()?;
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

    fn answer(
        &self,
        from: String,
        clock: &Clock,
        files: &Disk,
        gathered: &Gathered,
    ) -> Result<Answer, Trouble> {
        let what_if = self.otherwise.what_if()?;
        let changed = with_progress("planning the jobs", || what_if.change(files, gathered))?;
        let as_is = self.told(clock, gathered)?;
        let what_if = match changed {
            Some((words, changed)) => Some((words, self.told(clock, &changed)?)),
            None => None,
        };
        Ok(Answer { shop: gathered.shop.name.clone(), from, days: self.days, as_is, what_if })
    }

    fn told(&self, clock: &Clock, gathered: &Gathered) -> Result<Told, Trouble> {
        let setting = attend::setting(clock, gathered, self.days)?;
        let attended = with_progress("looking for the timetable", || {
            attend::attend(setting, gathered, self.days)
        });
        let trials = Trials { runs: self.runs, over: self.over, seed: self.seed };
        let simulated = (self.runs > 0).then(|| {
            with_progress("running the shop", || attend::simulated(&attended.setting, trials))
        });
        Ok(Told { attended, simulated })
    }
}

/// The place of the person of this name.
fn person(attended: &Attended, name: &str) -> Result<usize, Trouble> {
    let names = || attended.setting.people.iter().map(|crew| crew.person.name.as_str());
    names()
        .position(|it| it == name)
        .ok_or_else(|| nobody("person", name, &names().collect::<Vec<_>>()))
}
