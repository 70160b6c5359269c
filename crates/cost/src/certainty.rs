//! How far a cost may be off: what it rests on scatters, and so does it.
//!
//! Each figure is its nominal one times a factor of a log-normal distribution with middle 1; nine of ten
//! factors lie within the figure's own scatter. The cost is reckoned with [`RUNS`] drawings of all factors
//! from a fixed seed, and the range is that in which nine of ten of them lie. The price stays as quoted.

use crate::account::{self, Item, Line, Wear};
use crate::chance::Chance;
use crate::course::{Course, Work};
use model::Money;
use model::files::shop::Rates;

/// Drawings: by them a twentieth is known to ± 0.4 percentage points (one standard error 0.22).
pub const RUNS: usize = 10_000;
const SEED: u64 = 20_261_126;

/// A figure that scatters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Varies {
    /// The lathe's time beside the plan's.
    Time,
    /// The time for setting up.
    SetUp,
    /// The parts at which edges are changed.
    EdgeLife,
    /// The share of parts that are lost.
    Scrap,
    /// The price of material.
    Material,
}

impl Varies {
    /// All of them.
    pub const ALL: [Varies; 5] =
        [Varies::Time, Varies::SetUp, Varies::EdgeLife, Varies::Scrap, Varies::Material];

    /// A stable word for scripts.
    pub const fn word(self) -> &'static str {
        match self {
            Varies::Time => "time",
            Varies::SetUp => "set-up",
            Varies::EdgeLife => "edge-life",
            Varies::Scrap => "scrap",
            Varies::Material => "material",
        }
    }

    /// What it is, for a person.
    pub const fn name(self) -> &'static str {
        match self {
            Varies::Time => "cycle time",
            Varies::SetUp => "set-up time",
            Varies::EdgeLife => "edge life",
            Varies::Scrap => "parts lost",
            Varies::Material => "price of material",
        }
    }
}

/// What the cost does when one figure alone is at an end of its scatter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Alone {
    /// The figure.
    pub varies: Varies,
    /// Nine of ten lie between the figure divided by this and times this.
    pub scatter: f64,
    /// The lower of both costs.
    pub low: Money,
    /// The higher.
    pub high: Money,
}

/// How far a cost may be off.
#[derive(Debug, Clone, PartialEq)]
pub struct Certainty {
    /// One of twenty is lower.
    pub low: Money,
    /// As many are lower as higher.
    pub middle: Money,
    /// One of twenty is higher.
    pub high: Money,
    /// Share of the drawings in which the order costs more than its price.
    pub loss: f64,
    /// Each figure by itself, that which moves the cost most first.
    pub alone: Vec<Alone>,
}

/// What a certainty is reckoned from.
pub(crate) struct Given<'a> {
    pub(crate) quantity: u32,
    pub(crate) rates: &'a Rates,
    pub(crate) course: &'a Course,
    pub(crate) work: &'a Work,
    pub(crate) wear: &'a Wear,
    pub(crate) lines: &'a [Line],
    pub(crate) price: Money,
}

/// One drawing: a factor for each figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Factors {
    /// Of the lathe's time.
    pub time: f64,
    /// Of the time for setting up.
    pub set_up: f64,
    /// Of edge life.
    pub edge_life: f64,
    /// Of the share of parts that are lost.
    pub scrap: f64,
    /// Of the price of material.
    pub material: f64,
}

impl Factors {
    /// All figures as they are.
    pub const NOMINAL: Factors =
        Factors { time: 1.0, set_up: 1.0, edge_life: 1.0, scrap: 1.0, material: 1.0 };

    const fn at(&mut self, varies: Varies) -> &mut f64 {
        match varies {
            Varies::Time => &mut self.time,
            Varies::SetUp => &mut self.set_up,
            Varies::EdgeLife => &mut self.edge_life,
            Varies::Scrap => &mut self.scrap,
            Varies::Material => &mut self.material,
        }
    }
}

/// The cost by what moves it, in cents, overhead with it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moved {
    /// What nothing moves.
    pub fixed: f64,
    /// Goes with the time for setting up.
    pub set_up: f64,
    /// Goes with the lathe's time and with the parts that are made.
    pub timed: f64,
    /// Goes with the parts that are made.
    pub steady: f64,
    /// Goes with the parts that are made, and against edge life.
    pub edges: f64,
    /// Goes with the parts that are made and the price of material.
    pub material: f64,
    /// Good parts.
    pub good: f64,
    /// Parts lost in setting up.
    pub lost_at_start: f64,
    /// Share of the parts made that are lost.
    pub scrap: f64,
}

impl Moved {
    /// The cost with these factors, in cents.
    pub fn cost(&self, at: &Factors) -> f64 {
        let made = |share: f64| self.good / (1.0 - share.min(0.9)) + self.lost_at_start;
        let more = made(self.scrap * at.scrap) / made(self.scrap);
        let of_parts = self.timed * at.time
            + self.steady
            + self.edges / at.edge_life
            + self.material * at.material;
        self.fixed + self.set_up * at.set_up + more * of_parts
    }
}

/// Sorts an account by what moves it.
pub(crate) fn moved(given: &Given<'_>) -> Moved {
    let Given { rates, course, work, wear, lines, .. } = given;
    let of = |item: Item| {
        let of = lines.iter().filter(|line| line.item == item);
        of.map(|line| line.money).sum::<Money>().cents() as f64
    };
    let (on_work, on_material) = (1.0 + rates.overhead, 1.0 + rates.material_overhead);
    let lathe = rates.lathe_hour.cents() as f64 / 3600.0;
    let person = rates.person_hour.cents() as f64 / 3600.0;
    let running = account::running(work, rates).s();
    let changes = wear.change.s() * f64::from(work.parts);
    let timed = running * (lathe + course.attention * person);
    let edges = of(Item::Edges) + changes * (lathe + person);
    // What of lathe, attention and gauging does neither go with the running time nor with edges.
    let steady = of(Item::Run) + of(Item::Attention) + of(Item::Gauging)
        - timed
        - changes * (lathe + person);
    Moved {
        fixed: of(Item::Programming) * on_work,
        set_up: of(Item::SetUp) * on_work,
        timed: timed * on_work,
        steady: steady * on_work,
        edges: edges * on_work,
        material: (of(Item::Material) + of(Item::Scrap)) * on_material,
        good: f64::from(given.quantity),
        lost_at_start: f64::from(rates.set_up_parts),
        scrap: rates.scrap.ratio(),
    }
}

pub(crate) fn reckon(given: &Given<'_>) -> Certainty {
    let moved = moved(given);
    let scatter = |varies: Varies| match varies {
        Varies::Time => given.rates.scatter.time,
        Varies::SetUp => given.rates.scatter.set_up,
        Varies::EdgeLife => given.rates.scatter.edge_life,
        Varies::Scrap => given.rates.scatter.scrap,
        Varies::Material => given.rates.scatter.material,
    };
    let costs = drawings(&moved, Varies::ALL.map(scatter));
    let over = costs.iter().filter(|cost| **cost > given.price.cents() as f64).count();
    Certainty {
        low: quantile(&costs, 0.05),
        middle: quantile(&costs, 0.5),
        high: quantile(&costs, 0.95),
        loss: over as f64 / RUNS as f64,
        alone: alone(&moved, scatter),
    }
}

/// The costs of all drawings in cents, the lowest first; scatters in the order of [`Varies::ALL`].
pub fn drawings(moved: &Moved, scatter: [f64; 5]) -> Vec<f64> {
    let mut chance = Chance::new(SEED);
    let mut costs: Vec<f64> = (0..RUNS)
        .map(|_| {
            let mut factors = Factors::NOMINAL;
            for (varies, scatter) in Varies::ALL.into_iter().zip(scatter) {
                *factors.at(varies) = chance.next_factor(scatter);
            }
            moved.cost(&factors)
        })
        .collect();
    costs.sort_by(f64::total_cmp);
    costs
}

/// The value below which this share of ordered figures lies, between neighbors by their distance.
fn quantile(ordered: &[f64], share: f64) -> Money {
    let at = share * ordered.len().saturating_sub(1) as f64;
    let (below, rest) = (at.floor() as usize, at - at.floor());
    let low = ordered.get(below).copied().unwrap_or_default();
    let high = ordered.get(below + 1).copied().unwrap_or(low);
    Money::from_cents((low + rest * (high - low)).round() as i64)
}

fn alone(moved: &Moved, scatter: impl Fn(Varies) -> f64) -> Vec<Alone> {
    let cost = |varies: Varies, factor: f64| {
        let mut factors = Factors::NOMINAL;
        *factors.at(varies) = factor;
        Money::from_cents(moved.cost(&factors).round() as i64)
    };
    let mut alone: Vec<Alone> = Varies::ALL
        .into_iter()
        .map(|varies| {
            let scatter = scatter(varies);
            let (one, other) = (cost(varies, 1.0 / scatter), cost(varies, scatter));
            Alone { varies, scatter, low: one.min(other), high: one.max(other) }
        })
        .collect();
    alone.sort_by_key(|it| std::cmp::Reverse(it.high - it.low));
    alone
}
