//! More parts to an advance, or fewer: the same job reckoned with each, without programs and proof.
//!
//! More parts share one advance, so that a part takes less time; they stand out farther, so that the bar
//! bends, tips and swings more. Which is better is a matter of both.

use crate::answer::{Answer, Reckoned, Times, reckon};
use crate::bar::{self, BarPlan};
use crate::checks::{self, CheckLine};
use crate::{choice, spindle};
use model::files::job::Job;
use model::finding::Verdict;
use model::quantity::Seconds;
use model::{Length, Level};

/// The most parts to an advance that are compared, beside the job's own number.
pub const MOST_PARTS: u32 = 4;

/// The checks that grow worse with the stick-out and whose use of the limit says how much. How far skin is
/// from staying is not among them: nearly all of that figure is the part itself.
const BY_STICK_OUT: [&str; 7] = [
    "bar-gives-no-part",
    "bar-swings-out",
    "bar-tips-out",
    "bar-turns-in-jaws",
    "last-grip-weak",
    "stick-out-long",
    "part-bends",
];

/// One number of parts to an advance.
#[derive(Debug, Clone, PartialEq)]
pub struct Alternative {
    /// Parts to an advance.
    pub parts: u32,
    /// Time for one part, its share of the advance with it.
    pub part: Seconds,
    /// Parts that one blank gives.
    pub parts_per_bar: u32,
    /// What is left of a blank.
    pub remnant: Length,
    /// How far the bar stands out.
    pub stick_out: Length,
    /// The one word over the checks by arithmetic; nothing is proven here.
    pub verdict: Verdict,
    /// Of what grows with the stick-out, the check that comes nearest to its limit or is farthest
    /// beyond it.
    pub worst: Option<Worst>,
    /// Checks with a stop or a caution that fewer parts, the fewest possible, do not have as badly.
    pub new: Vec<&'static str>,
}

/// A check and how much of its limit is used.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worst {
    /// The check.
    pub id: &'static str,
    /// The unfavorable end of its value against its limit; above 1 it is beyond.
    pub used: f64,
}

/// The job with 1 to [`MOST_PARTS`] parts to an advance, or up to as many as it allows, and with its own
/// number, as far as its files go together, in order; each with the speeds, feeds and depths that the
/// answer has.
pub fn compare(job: &Job, answer: &Answer) -> Vec<Alternative> {
    let advance = &job.file.advance;
    let own = (advance.parts, &answer.bar, &answer.times, answer.checks.as_slice());
    let most = advance.most_parts.unwrap_or(MOST_PARTS);
    compared(job, most, own, &answer.choice)
}

/// The job with the number of parts to an advance chosen where it leaves that open: the quickest of those
/// that bring no stop and no caution that one part has not. Nothing is proven here; the plan proves what
/// was chosen.
pub fn settled(job: Job) -> Job {
    let Some(most) = job.file.advance.most_parts else { return job };
    let bar = bar::divide(&job);
    let swing = spindle::curve(&job, &bar);
    let choice = choice::settle(&job, &bar, swing.as_ref().ok());
    let one = reckon(&job, &bar, swing.as_ref().map_err(|why| *why), &choice);
    let own = (job.file.advance.parts, &bar, &one.times, one.checks.as_slice());
    let all = compared(&job, most, own, &choice);
    quickest(&all).and_then(|best| job.with_parts(best.parts)).unwrap_or(job)
}

fn compared(
    job: &Job,
    most: u32,
    (own, bar, times, checks): (u32, &BarPlan, &Times, &[CheckLine]),
    choice: &choice::Choice,
) -> Vec<Alternative> {
    let mut numbers: Vec<u32> = (1..=most).chain([own]).collect();
    numbers.sort_unstable();
    numbers.dedup();
    let mut all: Vec<(Alternative, Vec<CheckLine>)> = Vec::new();
    for parts in numbers {
        if parts == own {
            all.push((alternative(parts, bar, times, checks), checks.to_vec()));
        } else if let Some(other) = job.with_parts(parts) {
            let (bar, reckoned) = reckoned(&other, choice);
            let it = alternative(parts, &bar, &reckoned.times, &reckoned.checks);
            all.push((it, reckoned.checks));
        }
    }
    let fewest: Vec<CheckLine> = all.first().map(|(_, checks)| checks.clone()).unwrap_or_default();
    let told = all.into_iter().map(|(it, checks)| Alternative { new: new(&checks, &fewest), ..it });
    told.collect()
}

/// The quickest for a part of those that bring no new stop and no new caution; of equally quick ones
/// that with fewest parts.
pub fn quickest(all: &[Alternative]) -> Option<&Alternative> {
    let fit = all.iter().filter(|it| it.new.is_empty() && it.parts_per_bar > 0);
    fit.min_by(|one, other| one.part.s().total_cmp(&other.part.s()))
}

fn reckoned(job: &Job, choice: &choice::Choice) -> (BarPlan, Reckoned) {
    let bar = bar::divide(job);
    let swing = spindle::curve(job, &bar);
    let reckoned = reckon(job, &bar, swing.as_ref().map_err(|why| *why), choice);
    (bar, reckoned)
}

fn alternative(parts: u32, bar: &BarPlan, times: &Times, checks: &[CheckLine]) -> Alternative {
    let level = checks.iter().filter_map(|check| check.level).max();
    Alternative {
        parts,
        part: Seconds::from_s(times.cycle.s() / f64::from(parts.max(1))),
        parts_per_bar: bar.parts_per_bar,
        remnant: bar.remnant,
        stick_out: bar.division.stick_out(),
        verdict: match level {
            Some(Level::Stop) => Verdict::Stop,
            Some(Level::Caution) => Verdict::Caution,
            Some(Level::Note) | None => Verdict::Clear,
        },
        worst: worst(checks),
        new: Vec::new(),
    }
}

/// By the level first, so that no check hides one that breaks its limit.
fn worst(checks: &[CheckLine]) -> Option<Worst> {
    let by_stick_out = checks.iter().filter(|check| BY_STICK_OUT.contains(&check.id));
    let judged = by_stick_out.map(|check| (check.level, used(check), check.id));
    let (_, used, id) =
        judged.max_by(|one, other| one.0.cmp(&other.0).then(one.1.total_cmp(&other.1)))?;
    Some(Worst { id, used })
}

/// The unfavorable end of a value against its limit.
fn used(check: &CheckLine) -> f64 {
    if check.at_least { check.limit / check.low } else { check.high / check.limit }
}

/// What is a stop or a caution here, and is not as bad there.
fn new(checks: &[CheckLine], fewest: &[CheckLine]) -> Vec<&'static str> {
    let level = |checks: &[CheckLine], id: &str| {
        checks.iter().filter(|check| check.id == id).filter_map(|check| check.level).max()
    };
    let mut new: Vec<&'static str> = Vec::new();
    for id in checks::ALL.iter().map(|check| check.id) {
        let here = level(checks, id);
        if here >= Some(Level::Caution) && here > level(fewest, id) {
            new.push(id);
        }
    }
    new
}
