//! A shop file with what each of its lathes does.

use crate::commands::Trouble;
use crate::files::near;
use crate::json;
use ::visits::course::{Course, Limit, Work};
use ::visits::setting::{Learned, NotKnown};
use model::files::Shop;
use model::files::job::Job;
use model::files::shop::{FloorLathe, Runs};
use model::quantity::Seconds;
use model::{Diagnostic, Files, Length, Source};
use serde_json::Value;
use std::path::Path;

/// A shop and the course of each of its lathes.
#[derive(Debug, Clone)]
pub(crate) struct Gathered {
    pub(crate) shop: Shop,
    pub(crate) courses: Vec<Course>,
    pub(crate) not_known: Vec<NotKnown>,
    /// What the log taught, and counts here.
    pub(crate) learned: Vec<Learned>,
    /// What is on each lathe, where a job says it.
    pub(crate) jobs: Vec<Option<OnLathe>>,
}

/// The job that a shop file names for a lathe.
#[derive(Debug, Clone)]
pub(crate) struct OnLathe {
    /// What the part is called.
    pub(crate) part: String,
    /// The length of its bar.
    pub(crate) bar: String,
}

/// Reads a shop file that has lathes and people.
pub(crate) fn shop(source: &Source) -> Result<Shop, Trouble> {
    let read = Shop::read(source);
    let shop = read.value.ok_or(Trouble::Files(read.diagnostics))?;
    for (empty, what, help) in [
        (shop.lathes.is_empty(), "lathe", "add a `[[lathe]]` with its `name` and `job`"),
        (
            shop.people.is_empty(),
            "person",
            "add a `[[person]]` with `name` and `hours`, and the `[[hours]]`",
        ),
    ] {
        if empty {
            let trouble = shop.origin.trouble(what, format!("this shop has no {what}")).help(help);
            return Err(Trouble::Files(vec![trouble]));
        }
    }
    dates(&shop)?;
    Ok(shop)
}

/// Days that are written as text are days.
fn dates(shop: &Shop) -> Result<(), Trouble> {
    for (index, person) in shop.people.iter().enumerate() {
        if let Some(text) = person.away.iter().find(|text| !::visits::staffed::is_date(text)) {
            let trouble = shop
                .origin
                .trouble(&format!("person[{index}].away"), format!("\"{text}\" is no date"))
                .help("write a date as \"2026-12-18\"");
            return Err(Trouble::Files(vec![trouble]));
        }
    }
    Ok(())
}

/// Plans what is to be planned; `files` are those around the shop file.
pub(crate) fn gather(files: &dyn Files, shop: Shop) -> Result<Gathered, Trouble> {
    let jobs = vec![None; shop.lathes.len()];
    let (not_known, learned) = (Vec::new(), Vec::new());
    let mut gathered = Gathered { courses: Vec::new(), not_known, learned, jobs, shop };
    for index in 0..gathered.shop.lathes.len() {
        let course = gathered.course(files, index, None)?;
        gathered.courses.push(course);
    }
    Ok(gathered)
}

/// The files around one that the shop file names.
struct Beside<'f> {
    files: &'f dyn Files,
    named: &'f str,
}

impl Files for Beside<'_> {
    fn read(&self, path: &str) -> Result<Source, String> {
        let folder = Path::new(self.named).parent().unwrap_or(Path::new(""));
        self.files.read(&folder.join(path).to_string_lossy())
    }

    fn shipped(&self, path: &str) -> Result<Source, String> {
        self.files.shipped(path)
    }
}

impl Gathered {
    /// What a lathe does; with `bar`, with a blank of that length.
    pub(super) fn course(
        &mut self,
        files: &dyn Files,
        index: usize,
        bar: Option<Length>,
    ) -> Result<Course, Trouble> {
        let lathe = self.shop.lathes[index].clone();
        let load = lathe.load.unwrap_or(self.shop.attend.load);
        match &lathe.runs {
            Runs::Each(run) => {
                self.not_known.push(NotKnown {
                    lathe: lathe.name.clone(),
                    what: "how long it runs by itself".to_owned(),
                    why: "the shop file says it, and no plan has checked it".to_owned(),
                });
                Ok(Course::of_bars(*run, lathe.bars, load))
            }
            Runs::Job(name) => {
                let key = format!("lathe[{index}].job");
                let source = files.read(name).map_err(|why| self.named(&key, why))?;
                let read = Job::read(&source, &Beside { files, named: name });
                let read = read.value.map(plan::alternatives::settled).ok_or(read.diagnostics);
                let mut job = read.map_err(Trouble::Files)?;
                if let Some(bar) = bar {
                    job.file.bar.length = bar;
                }
                self.jobs[index] = Some(OnLathe {
                    part: job.file.name.clone(),
                    bar: job.file.bar.length.shown(job.file.units),
                });
                let value = json::answer(&job, &plan::plan(&job), &[], None, (None, None));
                self.course_from(&key, &lathe, &value, load)
            }
            Runs::Answer(name) => {
                let key = format!("lathe[{index}].answer");
                let source = files.read(name).map_err(|why| self.named(&key, why))?;
                let value = serde_json::from_slice(source.bytes()).map_err(|why| {
                    let message = format!("{} is no JSON: {why}", source.name());
                    self.trouble(&key, message, "name the answer.json that `barwright plan` wrote")
                })?;
                self.course_from(&key, &lathe, &value, load)
            }
        }
    }

    fn named(&self, key: &str, why: String) -> Trouble {
        self.trouble(key, why, "write the path from the folder of this file")
    }

    fn trouble(&self, key: &str, message: impl Into<String>, help: &str) -> Trouble {
        Trouble::Files(vec![self.diagnostic(key, message.into(), help)])
    }

    fn diagnostic(&self, key: &str, message: String, help: &str) -> Diagnostic {
        self.shop.origin.trouble(key, message).help(help)
    }

    fn course_from(
        &mut self,
        key: &str,
        lathe: &FloorLathe,
        answer: &Value,
        load: Seconds,
    ) -> Result<Course, Trouble> {
        if answer["verdict"] == "stop" {
            let name = answer["job"].as_str().unwrap_or("the job");
            let message = format!(
                "the plan of {name} has a finding of level stop: it is not to be run, nor left"
            );
            return Err(self.trouble(
                key,
                message,
                "plan it first: `barwright plan` says what stops it",
            ));
        }
        let load = learned_load(answer).unwrap_or(load);
        for item in answer["learned"].as_array().into_iter().flatten() {
            if let Some(words) = item["words"].as_str().filter(|_| item["used"] == true) {
                let (lathe, words) = (lathe.name.clone(), words.to_owned());
                self.learned.push(Learned { lathe, words });
            }
        }
        let course = course(answer, lathe, load).map_err(|lack| {
            let help = "plan it anew with `barwright plan`, or write the time under `runs`";
            self.trouble(key, format!("this plan does not say {lack}"), help)
        })?;
        for item in answer["unproven"].as_array().into_iter().flatten() {
            let text = |key: &str| item[key].as_str().unwrap_or_default();
            let about = text("what").strip_prefix("walk-away time: ");
            // Staffed hours are what this command knows.
            if let Some(what) = about.filter(|what| !what.contains("staffed hours")) {
                let (lathe, what, why) =
                    (lathe.name.clone(), what.to_owned(), text("why").to_owned());
                self.not_known.push(NotKnown { lathe, what, why });
            }
        }
        Ok(course)
    }

    /// The place of the lathe of this name.
    pub(crate) fn lathe(&self, name: &str) -> Result<usize, Trouble> {
        let names = || self.shop.lathes.iter().map(|lathe| lathe.name.as_str());
        let found = names().position(|it| it == name);
        found.ok_or_else(|| nobody("lathe", name, &names().collect::<Vec<_>>()))
    }
}

/// What loading a bar takes by the lathe's own log, where the job of the plan has it switched on.
fn learned_load(answer: &Value) -> Option<Seconds> {
    let learned = answer["learned"].as_array()?;
    let load = learned.iter().find(|it| it["figure"] == "load" && it["used"] == true)?;
    load["value"].as_f64().filter(|minutes| *minutes > 0.0).map(|it| Seconds::from_s(60.0 * it))
}

/// What a lathe does by the answer of a plan; else what the answer lacks.
fn course(answer: &Value, lathe: &FloorLathe, load: Seconds) -> Result<Course, &'static str> {
    let count = |value: &Value| value.as_u64().and_then(|count| u32::try_from(count).ok());
    let bar = &answer["bar"];
    let parts_per_bar = count(&bar["parts_per_bar"])
        .filter(|parts| *parts > 0)
        .ok_or("how many parts a bar gives")?;
    let parts_per_advance = count(&bar["parts_per_advance"]).unwrap_or(1).max(1);
    let cycle = answer["time"]["cycle_s"].as_f64().ok_or("how long a cycle takes")?;
    let ladder = answer["walk_away"]["limits"].as_array().ok_or("how long one may leave")?;
    let at_end = ladder.iter().find(|limit| limit["kind"] == "bar");
    let at_end = at_end.and_then(|limit| limit["s"].as_f64()).ok_or("when the bar ends")?;
    let more = parts_per_bar.div_ceil(parts_per_advance).saturating_sub(1);
    let mut limits = Vec::new();
    for limit in ladder {
        let work = match limit["kind"].as_str() {
            Some("edge") => Work::Edge(count(&limit["station"]).unwrap_or(0)),
            Some("size") => Work::Size(count(&limit["station"]).unwrap_or(0)),
            Some("gauge") => Work::Gauge,
            Some("catcher") => Work::Catcher,
            Some("chips") => Work::Chips,
            Some("never-longer") => Work::Look,
            Some("order" | "bar" | "back") => continue,
            // A limit that is left out would let a lathe run beyond it.
            _ => return Err("what is to be done at one of its limits, in words of this version"),
        };
        let parts = count(&limit["parts"]).ok_or("at which part a limit is reached")?;
        // Whoever loads a bar looks, and gauges its first part.
        if matches!(work, Work::Look | Work::Gauge) && parts >= parts_per_bar {
            continue;
        }
        if parts < parts_per_advance {
            return Err("of one of its limits that it leaves time for even one advance");
        }
        limits.push(Limit { work, parts });
    }
    let ordered = match (count(&bar["blanks"]), count(&bar["parts_in_last"])) {
        (Some(blanks), Some(last)) if blanks > 0 => {
            Some((blanks - 1).saturating_mul(parts_per_bar).saturating_add(last))
        }
        _ => None,
    };
    Ok(Course {
        parts_per_bar,
        parts_per_advance,
        first: Seconds::from_s(at_end - cycle * f64::from(more)),
        cycle: Seconds::from_s(cycle),
        limits,
        parts_left: lathe.bars.map(|bars| bars.saturating_mul(parts_per_bar)).or(ordered),
        load,
        begun: None,
    })
}

pub(crate) fn nobody(what: &str, name: &str, names: &[&str]) -> Trouble {
    let close = near(name, names.iter().copied());
    let help = match close.first() {
        Some(close) => format!("did you mean \"{close}\"?"),
        None => format!("the shop file has {}", names.join(", ")),
    };
    Trouble::outside(format!("there is no {what} called \"{name}\""), help)
}
