//! `barwright log learned`.

use super::super::given::{Shop, clock_caution, known_as, told};
use super::taught::{Base, Taught, gather};
use super::written::{Keys, Refused, write};
use crate::commands::prove::job as job_of;
use crate::commands::{Ended, Trouble, print};
use crate::files::{Disk, NewFile, write_all};
use crate::json;
use crate::json::log as json_log;
use crate::term::log as term_log;
use clap::{Args, ValueEnum};
use model::files::Job;
use model::record::{Corrections, Name, Recorded, What};
use model::{Source, Units};
use runlog::Query;
use std::path::{Path, PathBuf};

/// What the log teaches of cycle times, loading, the gripper and edges, for plans to use.
///
/// Each figure comes with its count, its spread and the range in which it lies, or with the reason why there is
/// none. A plan uses what is switched on under `[learned]` of its job file; --write puts it there.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  barwright log learned\n  barwright log learned detent-pin\n  \
        barwright log learned \"Lathe 1\" --write detent-pin.job.toml --use cycle,edges"
)]
pub(in super::super) struct Learned {
    /// A job, or a lathe with the job on it; left out, every lathe with the job on it.
    #[arg(value_name = "LATHE|JOB")]
    of: Option<String>,
    /// The feature under which it was gauged how far the gripper draws the bar.
    #[arg(long, value_name = "FEATURE", default_value = "pull")]
    pull: String,
    /// Write figures into this job file, switched on; what else stands in it stays as it is.
    #[arg(long, value_name = "JOB FILE", requires = "figures")]
    write: Option<PathBuf>,
    /// The figures to be written.
    #[arg(
        id = "figures",
        long = "use",
        value_name = "FIGURES",
        value_delimiter = ',',
        requires = "write"
    )]
    figures: Vec<Figure>,
    /// Write over figures that stand there already.
    #[arg(long, requires = "write")]
    force: bool,
}

/// A figure that a plan may use.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Figure {
    /// The factor from planned to measured cycle times.
    Cycle,
    /// The time to load a bar.
    Load,
    /// The gripper's repeatability.
    Gripper,
    /// The life of every edge of which enough is known.
    Edges,
}

/// A job at a lathe, with what its records teach.
pub(crate) struct Lesson {
    pub(crate) lathe: Name,
    pub(crate) job: Name,
    /// The job file, with what of it is switched on.
    pub(crate) file: Option<(PathBuf, Box<Job>)>,
    pub(crate) taught: Taught,
}

impl Learned {
    pub(in super::super) fn run(self, shop: &Shop) -> Ended {
        let (log, live) = shop.live()?;
        let events = log.events(&Query::default()).map_err(told)?;
        let pairs = self.pairs(&events, live.corrections(), live.state())?;
        if let (Some(path), several) = (&self.write, pairs.len())
            && several != 1
        {
            let message = format!(
                "{several} pairs of a lathe and a job teach something for {}",
                path.display()
            );
            return Err(Trouble::outside(message, "name the lathe, with the job on it"));
        }
        let lessons = pairs
            .iter()
            .map(|pair| self.lesson(pair, &events, live.corrections()))
            .collect::<Result<Vec<Lesson>, Trouble>>()?;
        let mut text = if shop.json {
            json::text(&json_log::lessons(&lessons))
        } else {
            term_log::lessons(&lessons, shop.units()) + &clock_caution(&log)?
        };
        if let (Some(path), [lesson]) = (&self.write, lessons.as_slice()) {
            let day = term_log::time::day(log.now());
            let keys = self.keys(lesson, &day)?;
            let names: Vec<String> = keys.iter().map(Keys::name).collect();
            put(path, &keys, self.force)?;
            if !shop.json {
                text += &format!(
                    "\nwrote {} into {}: plans of this job count with it from now on, and say so (`use = false` ends it)\n",
                    names.join(", "),
                    path.display()
                );
            }
        }
        print(text.as_bytes())
    }

    /// The lathes and jobs that are asked for.
    fn pairs(
        &self,
        events: &[Recorded],
        corrections: &Corrections,
        state: &model::record::State,
    ) -> Result<Vec<(Name, Name)>, Trouble> {
        let on_it = |(lathe, now): (&Name, &model::record::LatheNow)| {
            Some((lathe.clone(), now.job.clone()?))
        };
        let all = state.lathes.iter().filter_map(on_it);
        let Some(text) = &self.of else { return Ok(all.collect()) };
        let names = state.lathes.keys().chain(state.orders.keys());
        let wanted =
            known_as("lathe or job", text, names, "a lathe begins with `barwright log setup`")?;
        if state.lathes.contains_key(&wanted) {
            return Ok(all.filter(|(lathe, _)| *lathe == wanted).collect());
        }
        let mut pairs: Vec<(Name, Name)> = Vec::new();
        for recorded in events {
            let Some(counts) = corrections.effective(recorded) else { continue };
            let (lathe, job) = (&counts.event.lathe, &counts.event.job);
            if let (What::SetUpDone(_), Some(lathe), Some(job)) = (&counts.event.what, lathe, job)
                && *job == wanted
                && !pairs.iter().any(|(known, _)| known == lathe)
            {
                pairs.push((lathe.clone(), job.clone()));
            }
        }
        Ok(pairs)
    }

    fn lesson(
        &self,
        (lathe, job): &(Name, Name),
        events: &[Recorded],
        corrections: &Corrections,
    ) -> Result<Lesson, Trouble> {
        let own: Vec<Recorded> =
            events.iter().filter(|it| it.event.lathe.as_ref() == Some(lathe)).cloned().collect();
        let path = self.write.clone().or_else(|| named(&own, corrections, job));
        // A job file that is gone teaches nothing; one that is to be written must be there.
        let file = match path {
            Some(path) if self.write.is_some() || path.exists() => {
                let read = job_of(&path)?;
                Some((path, Box::new(read)))
            }
            _ => None,
        };
        let base = file.as_ref().map(|(_, job)| {
            crate::term::with_progress("planning with nothing learned", || Base::of(job))
        });
        let records = gather(&own, corrections, job, base.as_ref(), &self.pull);
        let taught = records.taught(base.as_ref());
        Ok(Lesson { lathe: lathe.clone(), job: job.clone(), file, taught })
    }

    /// The figures that are to be written; one of which too little is known is refused.
    fn keys(&self, lesson: &Lesson, day: &str) -> Result<Vec<Keys>, Trouble> {
        let units = lesson.file.as_ref().map_or(Units::Mm, |(_, job)| job.file.units);
        let mut keys = Vec::new();
        for figure in &self.figures {
            let found = of_figure(*figure, &lesson.taught, units, day);
            keys.extend(found.map_err(|(what, why)| {
                let mend = "nothing was written; leave it out of --use, or record more";
                Trouble::outside(format!("the log does not teach {what}: {why}"), mend)
            })?);
        }
        Ok(keys)
    }
}

type Untaught = (&'static str, String);

fn of_figure(
    figure: Figure,
    taught: &Taught,
    units: Units,
    day: &str,
) -> Result<Vec<Keys>, Untaught> {
    Ok(match figure {
        Figure::Cycle => {
            let it = taught.cycle.as_ref().map_err(|why| ("a cycle-time factor", why.clone()))?;
            let keys = Keys::of("cycle", None).number("factor", it.value.nominal);
            vec![keys.number("deviation", it.deviation).count("count", it.count).day("on", day)]
        }
        Figure::Load => {
            let it = taught.load.as_ref().map_err(|why| ("a time to load", why.clone()))?;
            let keys = Keys::of("load", None).minutes("time", it.value.nominal);
            vec![keys.minutes("deviation", it.deviation).count("count", it.count).day("on", day)]
        }
        Figure::Gripper => {
            let it =
                taught.gripper.as_ref().map_err(|why| ("how the gripper repeats", why.clone()))?;
            let keys = Keys::of("gripper", None).length("bias", it.bias.nominal, units);
            let keys = keys.length("deviation", it.deviation.nominal, units);
            vec![keys.count("count", it.count).day("on", day)]
        }
        Figure::Edges => {
            let mut all = Vec::new();
            let mut whys = Vec::new();
            for (station, edge) in &taught.edges {
                let low =
                    edge.life.as_ref().map_err(Clone::clone).map(|life| (life, life.unfavorable()));
                match low {
                    Ok((life, Some(low))) => all.push(
                        Keys::of("edge", Some(*station))
                            .minutes("life", life.half.nominal)
                            .minutes("low", low)
                            .minutes("high", life.life.high)
                            .number("cutting", edge.cutting.s())
                            .count("worn", life.worn)
                            .count("early", life.early)
                            .day("on", day),
                    ),
                    Ok((_, None)) => {}
                    Err(why) => whys.push(format!("station {station}, {why}")),
                }
            }
            if all.is_empty() {
                if whys.is_empty() {
                    whys.push("no edge was told to be worn, from its change on".to_owned());
                }
                return Err(("how long an edge lasts", whys.join("; ")));
            }
            all
        }
    })
}

/// The job file that the last set-up of a job names.
fn named(own: &[Recorded], corrections: &Corrections, job: &Name) -> Option<PathBuf> {
    own.iter().rev().find_map(|recorded| {
        let counts = corrections.effective(recorded)?;
        let What::SetUpDone(set_up) = &counts.event.what else { return None };
        let file = set_up.job_file.as_ref().filter(|_| counts.event.job.as_ref() == Some(job))?;
        Some(PathBuf::from(file.text()))
    })
}

/// Writes figures into a job file, whole or not at all, and only so that it can still be read.
fn put(path: &Path, keys: &[Keys], force: bool) -> Result<(), Trouble> {
    let source = Disk::text(path).map_err(|why| Trouble::outside(why, "check the path"))?;
    let text = write(&source.text(), keys, force).map_err(|refused| match refused {
        Refused::ByHand(why) => {
            Trouble::outside(why, "write the keys by hand; docs/log.md has them")
        }
        Refused::Stands(what) => Trouble::outside(
            format!("{} has another {what} already", path.display()),
            "nothing was written; --force writes over it",
        ),
    })?;
    let read = Job::read(&Source::new(source.name(), text.as_bytes()), &Disk::beside(path));
    if read.value.is_none() {
        return Err(Trouble::Files(read.diagnostics));
    }
    write_all(&[NewFile { path: path.to_owned(), bytes: text.into_bytes() }], true)
}
