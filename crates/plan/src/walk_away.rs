//! How long one may leave the lathe alone, and what ends that time first.

use crate::acts::Acts;
use crate::bar::BarPlan;
use crate::choice::{self, Choice};
use crate::edges::EdgeUse;
use crate::process::Process;
use crate::{edges, mechanics, spindle};
use calc::spread::Spread;
use calc::weight;
use model::Unproven;
use model::files::job::{BarShape, Choose, Job};
use model::quantity::{Seconds, Volume};

mod back;

pub use back::{Back, Reach};

/// What kind of limit it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// The order is complete.
    Order,
    /// The bar ends.
    Bar,
    /// The edge of this station is worn.
    Edge(u32),
    /// A size that the edge of this station turns may have drifted to its limit, as the edge wears.
    Size(u32),
    /// A size may drift out of its limits, as its chart says.
    Gauge,
    /// The parts catcher is full.
    Catcher,
    /// The chip room is full.
    Chips,
    /// The shop leaves it no longer.
    NeverLonger,
    /// Someone is at the lathe again.
    Back,
}

impl Kind {
    /// A stable word for scripts.
    pub const fn word(self) -> &'static str {
        match self {
            Kind::Order => "order",
            Kind::Bar => "bar",
            Kind::Edge(_) => "edge",
            Kind::Size(_) => "size",
            Kind::Gauge => "gauge",
            Kind::Catcher => "catcher",
            Kind::Chips => "chips",
            Kind::NeverLonger => "never-longer",
            Kind::Back => "back",
        }
    }
}

/// One limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// What kind of limit it is.
    pub kind: Kind,
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
    /// Whether the lathe makes parts until someone is back; none where the job does not say when.
    pub back: Option<Back>,
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

/// The ladder of one bar by itself, from the plan's own times and with the data that the job chooses.
pub fn of_bar(job: &Job, bar: &BarPlan) -> WalkAway {
    let choice = match job.file.cutting.choose {
        Choose::AsGiven => Choice::as_given(),
        _ => choice::settle(job, bar, spindle::curve(job, bar).ok().as_ref()),
    };
    let process = Process::with(job, &bar.division, &choice.data);
    let acts = Acts::new(job, bar);
    let (_, pace, one_advance) = crate::answer::times(job, bar, &acts, &process);
    let mechanics = mechanics::reckon(job, bar, &process);
    let cutting = one_advance.cutting();
    let edges = edges::reckon_with(job, bar, &mechanics, cutting, &choice.lives);
    ladder(job, bar, pace, &edges, &mut Vec::new())
}

/// Most parts that one may leave the lathe to make, whatever its edges last and whatever the hour.
pub(crate) fn most_parts(job: &Job, bar: &BarPlan) -> u32 {
    let mut limits = Vec::new();
    of_order(job, bar, &mut limits);
    gauge(job, &mut limits, &mut Vec::new());
    catcher(job, bar, &mut limits, &mut Vec::new());
    limits.into_iter().map(|(_, _, parts)| parts).min().unwrap_or_default()
}

/// A limit in parts: its kind, its words, and how many.
type InParts = (Kind, String, u32);

fn of_order(job: &Job, bar: &BarPlan, limits: &mut Vec<InParts>) {
    let quantity = job.file.order.quantity;
    if quantity <= bar.parts_per_bar {
        limits.push((Kind::Order, "the order is complete".to_owned(), quantity));
    }
    limits.push((Kind::Bar, "the bar ends".to_owned(), bar.parts_per_bar));
}

/// Finds every limit that is known; what is not known is filed as unproven.
pub fn ladder(
    job: &Job,
    bar: &BarPlan,
    pace: Pace,
    edges: &[EdgeUse],
    unproven: &mut Vec<Unproven>,
) -> WalkAway {
    let mut in_parts: Vec<InParts> = Vec::new();
    of_order(job, bar, &mut in_parts);
    worn(job, edges, bar.division.parts_per_advance, &mut in_parts, unproven);
    gauge(job, &mut in_parts, unproven);
    catcher(job, bar, &mut in_parts, unproven);
    let mut limits: Vec<Limit> = in_parts
        .into_iter()
        .map(|(kind, name, parts)| Limit { kind, name, at: pace.until(parts), parts })
        .collect();
    let mut at = |kind, name: &str, at: Seconds| {
        let parts = pace.parts_in(at).min(bar.parts_per_bar);
        limits.push(Limit { kind, name: name.to_owned(), at, parts });
    };
    match job.file.walk_away.never_longer {
        Some(longest) => at(Kind::NeverLonger, "the shop's own limit", longest),
        None => not_known(unproven, "never_longer in the job's [walk_away]"),
    }
    match job.file.walk_away.back_in {
        Some(back) => at(Kind::Back, "someone is back", back),
        None => not_known(unproven, "staffed hours (back_in in the job's [walk_away])"),
    }
    limits.sort_by(|one, other| one.at.s().total_cmp(&other.at.s()));
    not_known(unproven, "coolant");
    let back = job.file.walk_away.back_in.map(|at| Back::of(job, bar, pace, at, &limits));
    WalkAway { limits, back }
}

fn not_known(unproven: &mut Vec<Unproven>, what: &str) {
    unproven.push(Unproven {
        what: format!("walk-away time: {what}"),
        why: "nothing is given about it, so it is not among the limits".to_owned(),
    });
}

/// Each edge's life in parts, and how long it keeps its size, at the low end of the range and in whole
/// advances.
fn worn(
    job: &Job,
    edges: &[EdgeUse],
    parts_per_advance: u32,
    limits: &mut Vec<InParts>,
    unproven: &mut Vec<Unproven>,
) {
    let each = parts_per_advance.max(1);
    for edge in edges {
        let (station, name) = (edge.station, &edge.name);
        match &edge.parts {
            Ok(parts) => {
                let by = if edge.learned { ", by the life learned from the log" } else { "" };
                let words =
                    format!("edge of station {station}, {name}, is worn at the earliest{by}");
                limits.push((Kind::Edge(station), words, parts.low / each * each));
            }
            Err(_) => not_known(unproven, &format!("edge life of station {station}, {name}")),
        }
        match (&edge.drift, edge.keeps_size) {
            (Some(Ok(drift)), Some(parts)) => {
                let words = format!(
                    "the size that station {station}, {name}, turns may have drifted by {}: gauge it",
                    drift.allowed.shown(job.file.units)
                );
                limits.push((Kind::Size(station), words, parts / each * each));
            }
            (Some(Err(lack)), _) => unproven.push(Unproven {
                what: format!("walk-away time: size drift at station {station}, {name}"),
                why: lack.why.clone(),
            }),
            _ => {}
        }
    }
}

/// Until a size must be gauged; it is counted from the start of the bar, when someone gauges.
fn gauge(job: &Job, limits: &mut Vec<InParts>, unproven: &mut Vec<Unproven>) {
    match job.file.walk_away.gauge_within {
        Some(parts) => limits.push((Kind::Gauge, "a size is to be gauged again".to_owned(), parts)),
        None => not_known(unproven, "size drift by heat (gauge_within in the job's [walk_away])"),
    }
}

fn catcher(job: &Job, bar: &BarPlan, limits: &mut Vec<InParts>, unproven: &mut Vec<Unproven>) {
    match job.lathe.catching.parts {
        Some(parts) => limits.push((Kind::Catcher, "the parts catcher is full".to_owned(), parts)),
        None => not_known(unproven, "room of the parts catcher"),
    }
    match (job.lathe.catching.chips_liters, chips_of_part(job, bar)) {
        (Some(room), Some(each)) if each.high > 0.0 => {
            let parts = (room / each.high).floor() as u32;
            limits.push((Kind::Chips, "the chip room is full".to_owned(), parts));
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
