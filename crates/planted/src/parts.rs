//! Invented parts of every kind, each from one number, planned for each control, each way of counting
//! and both unit systems: what the planner writes must be proven clear.

mod drawn;
mod shop;

use crate::good::{Folder, repository};
use crate::seed::Seed;
use model::files::Job;
use model::{Files, Finding, Level, Source};
use std::collections::BTreeMap;

/// One way in which a part is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Way {
    /// The control, by its place in [`CONTROLS`].
    pub control: usize,
    /// What counts the parts.
    pub count: &'static str,
    /// Whether all is in inches.
    pub inch: bool,
}

/// The controls, with what is added to their `[writing]`.
pub const CONTROLS: [(&str, &str); 3] = [
    ("system-a-least-increment", ""),
    ("system-a-packed-repeats", "turning = \"cycle\"\ndrilling = \"cycle\"\nthreads = \"cycle\"\n"),
    ("system-b-whole-units-counter", "threads = \"box\"\n"),
];

/// Every way.
pub fn ways() -> impl Iterator<Item = Way> {
    (0..CONTROLS.len()).flat_map(|control| {
        ["variable", "counter", "repeat"].into_iter().flat_map(move |count| {
            [false, true].into_iter().map(move |inch| Way { control, count, inch })
        })
    })
}

/// What became of one job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// The reader refuses the drawing or the shop.
    Refused(String),
    /// The plan stops by arithmetic: nothing is written.
    Stopped(Vec<&'static str>),
    /// Written, and proven without a stop; the cautions of the proof.
    Proven(Vec<&'static str>),
    /// Written, but the proof stops it: a flaw of planner or prover.
    Wrong(Vec<String>),
}

/// The job with this number, made in this way.
///
/// # Errors
/// What the reader says of it.
pub fn job(number: u64, way: Way) -> Result<Job, String> {
    let part = drawn::Part::invent(&mut Seed::new(number));
    let (name, _) = CONTROLS[way.control];
    let folder = Folder { files: Vec::new(), folder: repository() };
    let control = folder.shipped(&format!("controls/{name}.toml"))?;
    let files = shop::files(&part, way, control.text().into_owned());
    let text = shop::job(&part, way);
    let folder = Folder { files, folder: repository() };
    let read = Job::read(&Source::new("job.toml", text), &folder);
    read.value.ok_or_else(|| {
        read.diagnostics.first().map_or(String::new(), |first| first.message.clone())
    })
}

/// Plans it and looks at what is proven.
pub fn outcome(number: u64, way: Way) -> Outcome {
    let job = match job(number, way) {
        Ok(job) => job,
        Err(why) => return Outcome::Refused(why),
    };
    let answer = plan::plan(&job);
    let Some(proof) = &answer.proof else {
        let stops = answer.findings.iter().filter(|it| it.level == Level::Stop);
        return Outcome::Stopped(stops.map(|it| it.id).collect());
    };
    let told = |finding: &Finding| format!("{}: {}", finding.id, finding.message);
    let stops = proof.findings.iter().filter(|it| it.level == Level::Stop);
    let stops: Vec<String> = stops.map(told).collect();
    if !stops.is_empty() {
        return Outcome::Wrong(stops);
    }
    if proof.parts != answer.bar.parts_per_bar {
        return Outcome::Wrong(vec![format!("{} parts proven", proof.parts)]);
    }
    let cautions = proof.findings.iter().filter(|it| it.level == Level::Caution);
    Outcome::Proven(cautions.map(|it| it.id).collect())
}

/// What became of many jobs.
#[derive(Debug, Clone, Default)]
pub struct Score {
    /// Jobs by what became of them.
    pub refused: BTreeMap<String, u32>,
    /// Plans that stop by arithmetic, by the first finding.
    pub stopped: BTreeMap<&'static str, u32>,
    /// Proven ones.
    pub proven: u32,
    /// Cautions of those.
    pub cautions: BTreeMap<&'static str, u32>,
    /// Wrong ones, with number, way and findings.
    pub wrong: Vec<(u64, Way, Vec<String>)>,
}

impl Score {
    /// Counts one more.
    pub fn count(&mut self, number: u64, way: Way, outcome: Outcome) {
        match outcome {
            Outcome::Refused(why) => *self.refused.entry(why).or_default() += 1,
            Outcome::Stopped(ids) => {
                *self.stopped.entry(ids.first().copied().unwrap_or_default()).or_default() += 1;
            }
            Outcome::Proven(mut cautions) => {
                self.proven += 1;
                cautions.sort_unstable();
                cautions.dedup();
                for id in cautions {
                    *self.cautions.entry(id).or_default() += 1;
                }
            }
            Outcome::Wrong(why) => self.wrong.push((number, way, why)),
        }
    }
}
