//! Figures that the shop's own records taught, where the job file switched them on (`[learned]`).
//!
//! **Invariant:** the proof sees none of them, and a learned repeatability only ever widens what a pull may fall
//! short by: nothing that would be stopped becomes clear by what was learned.

use crate::edges::EdgeUse;
use calc::learned::{Estimate, Repeatability};
use calc::pull::Scatter;
use calc::spread::Spread;
use model::Length;
use model::files::job::Job;
use model::files::job::learned::{Records, WornEdges};
use model::quantity::{Probability, Seconds};

/// Confidence of every range.
const CONFIDENCE: Probability = Probability::from_ratio(0.95);

/// How far the time of an edge's cuts may be from that with which its life was learned.
const SAME_CUTS: f64 = 0.005;

/// What was learned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Figure {
    /// The factor from planned to measured cycle times.
    Cycle,
    /// The time to load a bar, in minutes.
    Load,
    /// The gripper's shortfall, in millimeters.
    Gripper,
    /// The life of the edge on a station, in minutes of cutting.
    Edge(u32),
}

impl Figure {
    /// A stable word for scripts.
    pub const fn word(self) -> &'static str {
        match self {
            Figure::Cycle => "cycle",
            Figure::Load => "load",
            Figure::Gripper => "gripper",
            Figure::Edge(_) => "edge",
        }
    }

    /// Unit of its value and deviation.
    pub const fn unit(self) -> &'static str {
        match self {
            Figure::Cycle => "",
            Figure::Load | Figure::Edge(_) => "min",
            Figure::Gripper => "mm",
        }
    }
}

/// A learned figure that a plan was told to use.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// Which.
    pub figure: Figure,
    /// The figure with its range; of an edge what half of them outlast, and what nineteen of twenty and one of
    /// twenty do.
    pub value: Spread<f64>,
    /// Standard deviation of single records; of an edge none.
    pub deviation: Option<Spread<f64>>,
    /// Records that it rests on; of edges those that wore out.
    pub count: u32,
    /// Edges of which it is only known that they lasted at least so long.
    pub early: u32,
    /// When it was learned.
    pub on: Option<String>,
    /// All of that in words.
    pub words: String,
    /// Why it is not used, though it is switched on.
    pub not_used: Option<String>,
}

/// What planned times are multiplied by.
pub(crate) fn cycle_factor(job: &Job) -> f64 {
    let cycle = job.file.learned.cycle.as_ref().filter(|it| it.records.used);
    cycle.map_or(1.0, |it| it.factor)
}

/// What loading a bar takes, where that was learned and switched on.
pub fn load(job: &Job) -> Option<Seconds> {
    let load = job.file.learned.load.as_ref().filter(|it| it.records.used);
    load.map(|it| it.time)
}

/// How pulls scatter as unfavorably as the records allow.
pub(crate) fn scatter(job: &Job) -> Option<Scatter> {
    pulls(job).map(|it| it.unfavorable())
}

fn pulls(job: &Job) -> Option<Repeatability> {
    let pulls = job.file.learned.gripper.as_ref().filter(|it| it.records.used)?;
    Repeatability::recorded(pulls.bias, pulls.deviation, pulls.records.count, CONFIDENCE).ok()
}

/// The learned life of the edge on a station that cuts for so many seconds a part with the given data.
pub(crate) fn edge(job: &Job, station: u32, cutting: Seconds) -> Option<&WornEdges> {
    let edge = job.file.learned.edges.iter().find(|it| it.station == station)?;
    let same = (cutting.s() / edge.cutting.s() - 1.0).abs() <= SAME_CUTS;
    (edge.records.used && same).then_some(edge)
}

/// Every learned figure that is switched on, with what became of it.
pub(crate) fn told(job: &Job, edges: &[EdgeUse]) -> Vec<Told> {
    let learned = &job.file.learned;
    let mut told = Vec::new();
    if let Some(cycle) = learned.cycle.as_ref().filter(|it| it.records.used) {
        told.extend(mean(Figure::Cycle, (cycle.factor, cycle.deviation), &cycle.records));
    }
    if let Some(load) = learned.load.as_ref().filter(|it| it.records.used) {
        let minutes = (load.time.s() / 60.0, load.deviation.s() / 60.0);
        told.extend(mean(Figure::Load, minutes, &load.records));
    }
    told.extend(gripper(job));
    let edges = learned.edges.iter().filter(|it| it.records.used).map(|it| worn(it, edges));
    told.extend(edges);
    told
}

fn when(records: &Records) -> String {
    records.on.as_ref().map_or(String::new(), |on| format!(", {on}"))
}

fn mean(figure: Figure, (value, deviation): (f64, f64), records: &Records) -> Option<Told> {
    let estimate = Estimate::recorded((value, deviation), records.count, CONFIDENCE).ok()?;
    let Spread { low, high, .. } = estimate.value;
    let (count, when) = (records.count, when(records));
    let words = match figure {
        Figure::Cycle => format!(
            "cycle times are planned ones times {value:.4} ({low:.4} to {high:.4}; single cycles ±{deviation:.4}), learned from {count} cycles{when}"
        ),
        _ => format!(
            "a bar is loaded in {value:.2} min ({low:.2} to {high:.2}; single loads ±{deviation:.2}), learned from {count} loads{when}; cost and visits count with it"
        ),
    };
    Some(Told {
        figure,
        value: estimate.value,
        deviation: Some(Spread { low: deviation, nominal: deviation, high: deviation }),
        count,
        early: 0,
        on: records.on.clone(),
        words,
        not_used: None,
    })
}

fn gripper(job: &Job) -> Option<Told> {
    let (pulls, known) = (pulls(job)?, job.file.learned.gripper.as_ref()?);
    let shown = |length: Length| length.shown(job.file.units);
    let (bias, deviation) = (pulls.bias, pulls.deviation);
    let words = format!(
        "pulls fall short by {} ({} to {}), deviation {} ({} to {}), learned from {} pulls{}; the unfavorable ends count, and only where they are worse than the gripper file",
        shown(bias.nominal),
        shown(bias.low),
        shown(bias.high),
        shown(deviation.nominal),
        shown(deviation.low),
        shown(deviation.high),
        pulls.count,
        when(&known.records)
    );
    Some(Told {
        figure: Figure::Gripper,
        value: bias.map(Length::mm),
        deviation: Some(deviation.map(Length::mm)),
        count: pulls.count,
        early: 0,
        on: known.records.on.clone(),
        words,
        not_used: None,
    })
}

fn worn(edge: &WornEdges, edges: &[EdgeUse]) -> Told {
    let minutes = |time: Seconds| time.s() / 60.0;
    let value = Spread { low: edge.low, nominal: edge.life, high: edge.high }.map(minutes);
    let (station, records) = (edge.station, &edge.records);
    let not_used = match edges.iter().find(|it| it.station == station) {
        None => Some(format!("station {station} does not cut in this plan")),
        Some(it) if !it.learned => Some(format!(
            "station {station} cut {:.2} s a part when it was learned, and does not so with the data of the tools file now",
            edge.cutting.s()
        )),
        Some(_) => None,
    };
    let early = match edge.early {
        0 => String::new(),
        early => format!(" and {early} that were changed before"),
    };
    let words = format!(
        "half of the edges of station {station} cut for {:.1} min (nineteen of twenty for {:.1}, one of twenty for {:.1}), learned from {} worn ones{early}{}",
        value.nominal,
        value.low,
        value.high,
        records.count,
        when(records)
    );
    Told {
        figure: Figure::Edge(station),
        value,
        deviation: None,
        count: records.count,
        early: edge.early,
        on: records.on.clone(),
        words,
        not_used,
    }
}
