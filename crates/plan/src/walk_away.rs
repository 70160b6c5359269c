//! How long one may leave the lathe alone, and what ends that time first.

use crate::acts::Acts;
use crate::bar::BarPlan;
use crate::edges::EdgeUse;
use crate::process::Process;
use crate::{edges, mechanics};
use calc::spread::Spread;
use calc::weight;
use model::Unproven;
use model::files::job::{BarShape, Job};
use model::quantity::{Seconds, Volume};

/// One limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// What it is, in plain words.
    pub name: String,
    /// When it is reached, after the first cycle start of a new bar.
    pub at: Seconds,
    /// Parts made until then.
    pub parts: u32,
}

/// How long one may leave, and the ladder of what comes next.
#[derive(Debug, Clone, PartialEq)]
pub struct WalkAway {
    /// All limits, the first reached first; never empty.
    pub limits: Vec<Limit>,
}

impl WalkAway {
    /// The first limit that is reached.
    pub fn first(&self) -> Option<&Limit> {
        self.limits.first()
    }
}

/// Times of the parts of one bar: when the first falls due, and each further one.
#[derive(Debug, Clone, Copy)]
pub struct Pace {
    /// Until the first advance's parts are made.
    pub first: Seconds,
    /// From there for each further advance.
    pub cycle: Seconds,
    /// Parts cut in one advance.
    pub parts_per_advance: u32,
}

impl Pace {
    /// When so many parts are made.
    pub fn until(&self, parts: u32) -> Seconds {
        let advances = parts.div_ceil(self.parts_per_advance.max(1));
        self.first + self.cycle * f64::from(advances.saturating_sub(1))
    }

    /// Parts made after a time.
    pub fn parts_in(&self, time: Seconds) -> u32 {
        if time.s() < self.first.s() || self.cycle.s() <= 0.0 {
            return 0;
        }
        let more = ((time.s() - self.first.s()) / self.cycle.s()).floor();
        (more as u32).saturating_add(1).saturating_mul(self.parts_per_advance)
    }
}

/// The ladder of one bar by itself, from the plan's own times.
pub fn of_bar(job: &Job, bar: &BarPlan, process: &Process) -> WalkAway {
    let acts = Acts::new(job, bar);
    let (_, pace, one_advance) = crate::answer::times(job, bar, &acts, process);
    let mechanics = mechanics::reckon(job, bar, process);
    let edges = edges::reckon(job, bar, &mechanics, one_advance.cutting());
    ladder(job, bar, pace, &edges, &mut Vec::new())
}

/// Finds every limit that is known; what is not known is filed as unproven.
pub fn ladder(
    job: &Job,
    bar: &BarPlan,
    pace: Pace,
    edges: &[EdgeUse],
    unproven: &mut Vec<Unproven>,
) -> WalkAway {
    let mut parts_limits: Vec<(String, u32)> = Vec::new();
    if job.file.order.quantity <= bar.parts_per_bar {
        parts_limits.push(("the order is complete".to_owned(), job.file.order.quantity));
    }
    parts_limits.push(("the bar ends".to_owned(), bar.parts_per_bar));
    worn(edges, bar.division.parts_per_advance, &mut parts_limits, unproven);
    catcher(job, bar, &mut parts_limits, unproven);
    let mut limits: Vec<Limit> = parts_limits
        .into_iter()
        .map(|(name, parts)| Limit { name, at: pace.until(parts), parts })
        .collect();
    match job.file.walk_away.never_longer {
        Some(at) => limits.push(Limit {
            name: "the shop's own limit".to_owned(),
            at,
            parts: pace.parts_in(at).min(bar.parts_per_bar),
        }),
        None => not_known(unproven, "never_longer in the job's [walk_away]"),
    }
    limits.sort_by(|one, other| one.at.s().total_cmp(&other.at.s()));
    for what in ["size drift", "coolant", "staffed hours"] {
        not_known(unproven, what);
    }
    WalkAway { limits }
}

fn not_known(unproven: &mut Vec<Unproven>, what: &str) {
    unproven.push(Unproven {
        what: format!("walk-away time: {what}"),
        why: "nothing is given about it, so it is not among the limits".to_owned(),
    });
}

/// Each edge's life in parts, at the low end of its range and in whole advances.
fn worn(
    edges: &[EdgeUse],
    parts_per_advance: u32,
    limits: &mut Vec<(String, u32)>,
    unproven: &mut Vec<Unproven>,
) {
    let each = parts_per_advance.max(1);
    for edge in edges {
        let (station, name) = (edge.station, &edge.name);
        match &edge.parts {
            Ok(parts) => {
                let words = format!("edge of station {station}, {name}, is worn at the earliest");
                limits.push((words, parts.low / each * each));
            }
            Err(_) => not_known(unproven, &format!("edge life of station {station}, {name}")),
        }
    }
}

fn catcher(
    job: &Job,
    bar: &BarPlan,
    limits: &mut Vec<(String, u32)>,
    unproven: &mut Vec<Unproven>,
) {
    match job.lathe.catching.parts {
        Some(parts) => limits.push(("the parts catcher is full".to_owned(), parts)),
        None => not_known(unproven, "room of the parts catcher"),
    }
    match (job.lathe.catching.chips_liters, chips_of_part(job, bar)) {
        (Some(room), Some(each)) if each.high > 0.0 => {
            limits.push(("the chip room is full".to_owned(), (room / each.high).floor() as u32));
        }
        (Some(_), Some(_)) => {}
        _ => not_known(unproven, "room for chips, or how loose the chips of this material lie"),
    }
}

/// How far the looseness of chips scatters to both sides: ±30 %. Common practice.
const BULK_SCATTER: f64 = 0.3;

/// Room that the loose chips of one part take, in liters; none where the material file does not say
/// how loose they lie.
pub fn chips_of_part(job: &Job, bar: &BarPlan) -> Option<Spread<f64>> {
    let bulk = job.material.chip_bulk?;
    let liters = |bulk: f64| chips_liters(job, bar, bulk.max(1.0));
    let Spread { low, nominal, high } = Spread::either_side(bulk, BULK_SCATTER);
    Some(Spread { low: liters(low)?, nominal: liters(nominal)?, high: liters(high)? })
}

/// Room that the chips of one part take, in liters: its pitch of bar less its own cylinders.
fn chips_liters(job: &Job, bar: &BarPlan, bulk: f64) -> Option<f64> {
    let file = &job.file;
    let used = weight::solid(weight::section(file.bar.shape, file.bar.size), bar.division.pitch());
    let steps = file.part.steps();
    let cylinders = steps.iter().map(|step| {
        let section = weight::section(BarShape::Round, step.diameter);
        weight::solid(section, step.to - step.from).mm3()
    });
    let left = Volume::from_mm3(cylinders.sum());
    weight::loose_chips(used, left, bulk).ok().map(|loose| loose.mm3() / 1e6)
}
