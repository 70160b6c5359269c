//! `[learned]` of a job file: what the shop's own records say. A plan uses of it what has `use = true`.

use crate::Length;
use crate::files::keys::Keys;
use crate::quantity::Seconds;

/// Fewest cycles that a factor is learned from: from so many on, one with a stop in it is set apart.
pub const FEWEST_CYCLES: u32 = 8;
/// Fewest loads that a time is learned from.
pub const FEWEST_LOADS: u32 = 5;
/// Fewest pulls that a repeatability is learned from.
pub const FEWEST_PULLS: u32 = 8;
/// Fewest worn edges that a life is learned from.
pub const FEWEST_WORN: u32 = 3;

/// Everything that was learned for this job.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Learned {
    /// Measured over planned cycle times.
    pub cycle: Option<Cycle>,
    /// What loading a bar takes.
    pub load: Option<Load>,
    /// How the gripper's pulls scatter.
    pub gripper: Option<Pulls>,
    /// How long edges last.
    pub edges: Vec<WornEdges>,
}

/// What a figure rests on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Records {
    /// Whether plans use it.
    pub used: bool,
    /// How many records; of edges, those that wore out.
    pub count: u32,
    /// When it was learned, as `2026-12-18`; none where the file does not say.
    pub on: Option<String>,
}

/// The factor from planned to measured cycle times.
#[derive(Debug, Clone, PartialEq)]
pub struct Cycle {
    /// Mean of measured over planned.
    pub factor: f64,
    /// Standard deviation of single cycles, as the factor.
    pub deviation: f64,
    /// What it rests on.
    pub records: Records,
}

/// The time that loading a bar takes.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// Mean.
    pub time: Seconds,
    /// Standard deviation of single loads.
    pub deviation: Seconds,
    /// What it rests on.
    pub records: Records,
}

/// The gripper's repeatability.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pulls {
    /// Mean shortfall; positive is short.
    pub bias: Length,
    /// Standard deviation of single pulls.
    pub deviation: Length,
    /// What it rests on.
    pub records: Records,
}

/// The life of the edge on one station.
#[derive(Debug, Clone, PartialEq)]
pub struct WornEdges {
    /// Its station.
    pub station: u32,
    /// Cutting time that half of them outlast.
    pub life: Seconds,
    /// Cutting time that nineteen of twenty outlast, by the unfavorable end of what the records allow.
    pub low: Seconds,
    /// Cutting time that one of twenty outlasts.
    pub high: Seconds,
    /// Its cutting time for one part when it was learned: with other cuts it says nothing.
    pub cutting: Seconds,
    /// Edges of which it is only known that they lasted at least so long.
    pub early: u32,
    /// What it rests on.
    pub records: Records,
}

/// Every key of `[learned]`.
pub(super) fn keys(keys: &Keys<'_>) -> Learned {
    Learned {
        cycle: keys.optional_table("cycle", "factor from planned to measured cycle times", cycle),
        load: keys.optional_table("load", "what loading a bar takes", load),
        gripper: keys.optional_table("gripper", "how the gripper's pulls scatter", gripper),
        edges: edges(keys),
    }
}

fn records(keys: &Keys<'_>, count: (&'static str, &'static str, u32)) -> Records {
    let (key, meaning, fewest) = count;
    Records {
        used: keys.flag("use", "whether plans use it").or(false),
        count: keys.count(key, meaning, i64::from(fewest)..=1_000_000).required() as u32,
        on: keys.date("on", "when it was learned").optional(),
    }
}

fn cycle(keys: &Keys<'_>) -> Cycle {
    Cycle {
        factor: keys.number("factor", "mean of measured over planned", "", 0.2..=5.0).required(),
        deviation: keys
            .number(
                "deviation",
                "standard deviation of single cycles, as the factor",
                "",
                0.0..=5.0,
            )
            .required(),
        records: records(keys, ("count", "cycles that it rests on", FEWEST_CYCLES)),
    }
}

fn minutes(keys: &Keys<'_>, key: &'static str, meaning: &'static str, least: f64) -> Seconds {
    let minutes = keys.number(key, meaning, "min", least..=100_000.0).required();
    Seconds::from_s(60.0 * minutes)
}

fn load(keys: &Keys<'_>) -> Load {
    Load {
        time: minutes(
            keys,
            "time",
            "mean time from taking a bar's end out to starting the next",
            0.01,
        ),
        deviation: minutes(keys, "deviation", "standard deviation of single loads", 0.0),
        records: records(keys, ("count", "loads that it rests on", FEWEST_LOADS)),
    }
}

fn gripper(keys: &Keys<'_>) -> Pulls {
    let most = Length::from_mm(10);
    Pulls {
        bias: keys
            .length("bias", "mean shortfall of a pull; positive is short", -most..=most)
            .required(),
        deviation: keys
            .length("deviation", "standard deviation of single pulls", Length::ZERO..=most)
            .required(),
        records: records(keys, ("count", "pulls that it rests on", FEWEST_PULLS)),
    }
}

fn edges(keys: &Keys<'_>) -> Vec<WornEdges> {
    let edges = keys.list("edge", "how long the edge on a station lasts", edge);
    for (index, one) in edges.iter().enumerate() {
        if edges[..index].iter().any(|before| before.station == one.station) {
            let message = format!("station {} stands here twice", one.station);
            keys.trouble(&format!("edge[{index}].station"), message, "keep one of both");
        }
    }
    edges
}

fn edge(keys: &Keys<'_>) -> WornEdges {
    let edge = WornEdges {
        station: keys.count("station", "its station", 1..=99).required() as u32,
        life: minutes(keys, "life", "cutting time that half of them outlast", 0.01),
        low: minutes(
            keys,
            "low",
            "cutting time that nineteen of twenty outlast, as unfavorable as the records allow",
            0.001,
        ),
        high: minutes(keys, "high", "cutting time that one of twenty outlasts", 0.01),
        cutting: Seconds::from_s(
            keys.number(
                "cutting",
                "its cutting time for one part when it was learned; with other cuts it is not used",
                "s",
                0.001..=100_000.0,
            )
            .required(),
        ),
        early: keys
            .count("early", "edges that were changed before they were worn", 0..=1_000_000)
            .or(0) as u32,
        records: records(keys, ("worn", "worn edges that it rests on", FEWEST_WORN)),
    };
    if keys.sound("life") && keys.sound("low") && edge.low.s() > edge.life.s() {
        keys.trouble("low", "more than half of them last less", "write at most the `life`");
    }
    if keys.sound("life") && keys.sound("high") && edge.high.s() < edge.life.s() {
        keys.trouble("high", "more than half of them last longer", "write at least the `life`");
    }
    edge
}
