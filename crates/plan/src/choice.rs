//! Speed, feed and depth chosen for what the person wants: the cheapest part, the most output, or the most
//! parts before someone must come.
//!
//! For each work of each tool a grid of round figures ([`grid`]) is looked through ([`unit`]): how long
//! each takes, how far it wears the edge, and which limit ([`limit`]) it breaks. What is found is the best
//! of the whole grid, not of a neighborhood: candidates are tried in the order of their worth, and the first
//! that keeps every limit is taken. Works that share an edge are joined by what can be had at best of time and
//! wear ([`front`], [`alone`]). Where something is not known that a choice must know, the given data stay,
//! and the key that is lacking is told.
//!
//! Source: edge cost and change time as in [`calc::life::part_cost`]; the extended Taylor law of
//! [`calc::life::edge_life`]; limits of [`calc::station`].

mod alone;
mod decide;
mod front;
mod grid;
mod limit;
mod told;
mod unit;

pub use grid::{Axes, Fineness, axes};
pub use limit::{Limit, Used};
pub use told::{Told, told};

use crate::acts::Acts;
use crate::bar::BarPlan;
use crate::cuts::Work;
use crate::edges::{self, Life, Lives};
use crate::learned;
use crate::mechanics::{self, Bench, Mechanics, OperationLoads};
use crate::process::{Data, DataTable, Process};
use crate::walk_away::{self, Pace};
use alone::{EdgeFront, Rest};
use calc::station::Lack;
use calc::whirl::Curve;
use decide::{Decision, Worth};
use front::Point;
use model::files::job::{Choose, Job};
use model::files::tools::Station;
use model::quantity::Seconds;
use std::collections::BTreeMap;
use unit::{Candidate, Shop, Taking, Unit};

/// What keeps a figure from being larger.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Held {
    /// More would be no better: the edge would wear too fast for it.
    Goal,
    /// More would break this limit.
    Limit(Limit),
    /// Here the grid ends, by this limit.
    End(Limit),
    /// There is nothing more to take off.
    Whole,
    /// What more would do is not known; what is lacking is told.
    NotKnown,
}

/// How one work was chosen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chosen {
    /// As the tools file says.
    pub given: Data,
    /// What keeps the speed.
    pub speed: Held,
    /// What keeps the feed.
    pub feed: Held,
    /// What keeps the depth; none for a work without layers.
    pub depth: Option<Held>,
    /// Whether every limit is kept even by the unfavorable end; else no limit is broken further than
    /// by the given data.
    pub keeps_all: bool,
    /// Candidates on the grid.
    pub candidates: usize,
}

/// What a choice brings, by what was wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gain {
    /// With the given data.
    pub given: f64,
    /// With the chosen.
    pub chosen: f64,
}

/// The data of a job's cuts, and how they were chosen.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// What was wanted.
    pub choose: Choose,
    /// The data that were chosen.
    pub data: DataTable,
    /// How each work was chosen; else what is lacking, so that it stays as given.
    pub works: BTreeMap<(u32, Work), Result<Chosen, Lack>>,
    /// What else is lacking, so that less could be chosen.
    pub lacks: Vec<Lack>,
    /// Cost of lathe, person and edges for a part in the shop's money; seconds for a part, its share
    /// of edge changes with them; or parts before someone must come. None where nothing was chosen.
    pub gain: Option<Gain>,
    /// How the shop's own figures of edge life were carried over to the chosen data.
    pub lives: Lives,
}

fn table(edges: &[Edge<'_, '_>], picks: &Picks) -> DataTable {
    let mut data = DataTable::default();
    for (edge, picks) in edges.iter().zip(picks) {
        for (unit, pick) in edge.units.iter().zip(picks) {
            data.set(edge.station, unit.work, unit.data(*pick));
        }
    }
    data
}

impl Choice {
    fn take(&mut self, job: &Job, edges: &[Edge<'_, '_>], best: &Best) {
        self.data = table(edges, &best.picks);
        for (edge, picks) in edges.iter().zip(&best.picks) {
            for (unit, pick) in edge.units.iter().zip(picks) {
                self.works.insert((edge.station, unit.work), Ok(unit.chosen(*pick)));
            }
            self.lives.set(edge.station, edge.scale, edge.life);
        }
        self.gain = Some(Gain { given: best.given.shown(), chosen: best.worth.shown() });
        // Times and money are of the lathe's own clock; parts are parts.
        let factor = learned::cycle_factor(job);
        if let Some(gain) = self.gain.as_mut().filter(|_| self.choose != Choose::MostAlone) {
            *gain = Gain { given: gain.given * factor, chosen: gain.chosen * factor };
        }
    }

    /// Everything as the tools file says.
    pub fn as_given() -> Choice {
        Choice {
            choose: Choose::AsGiven,
            data: DataTable::default(),
            works: BTreeMap::new(),
            lacks: Vec::new(),
            gain: None,
            lives: Lives::default(),
        }
    }
}

/// Chooses the data of a job; `swing` is how fast the bar may turn, where that is known.
pub fn settle(job: &Job, bar: &BarPlan, swing: Option<&Curve>) -> Choice {
    settle_on(job, bar, swing, Fineness::default())
}

/// The same on a grid as fine as this.
pub fn settle_on(job: &Job, bar: &BarPlan, swing: Option<&Curve>, fineness: Fineness) -> Choice {
    let choose = job.file.cutting.choose;
    if choose == Choose::AsGiven {
        return Choice::as_given();
    }
    let bench = Bench::of(job, bar);
    let clamp = bench.clamp();
    let slowest = swing.and_then(|curve| curve.worst()).map(|worst| worst.allowed.low);
    let swings_free = slowest.is_some_and(|slowest| slowest >= clamp);
    let shop = Shop { job, bar, bench, swings_free, fineness };
    let given = Given::of(job, bar);
    let mut choice = Choice { choose, ..Choice::as_given() };
    if !swings_free {
        let why = if slowest.is_some() {
            "the bar may swing out below the highest speed of this job, so nothing is chosen faster than given"
        } else {
            "how fast the bar may turn in the spindle is not known, so nothing is chosen faster than given"
        };
        choice.lacks.push(Lack::of("bar_way", why));
    }
    let mut edges = given.edges(&shop, &mut choice);
    if edges.iter().all(|edge| edge.units.is_empty()) {
        return choice;
    }
    match best(&given, &mut edges, choose, fineness.rounds) {
        Some(best) => choice.take(job, &edges, &best),
        None => choice.lacks.push(Lack::of(
            "",
            "no choice lets every edge last for one advance, so all stays as given",
        )),
    }
    choice
}

/// What was picked, with what it is worth by the lathe's own clock.
struct Best {
    picks: Picks,
    given: Worth,
    worth: Worth,
}

/// The best of the grid, the spindle coming from the speeds of the operations before: first as given,
/// then as chosen, as long as that is better.
fn best(
    given: &Given<'_>,
    edges: &mut [Edge<'_, '_>],
    choose: Choose,
    rounds: u32,
) -> Option<Best> {
    let mut process = given.process.clone();
    let mut found: Option<Best> = None;
    for _ in 0..rounds {
        for unit in edges.iter_mut().flat_map(|edge| &mut edge.units) {
            unit.follow(&process.operations);
        }
        let as_given: Picks = edges.iter().map(Edge::given).collect();
        let picks = match choose {
            Choose::MostAlone => most_alone(given, edges),
            _ => Some(linear(edges)),
        };
        let Some(picks) = picks else { break };
        let (next, pace) = given.with(edges, &picks);
        let before = Decision { given, edges, pace: given.pace, picks: &as_given }.worth(choose);
        let worth = Decision { given, edges, pace, picks: &picks }.worth(choose);
        let mends = edges.iter().flat_map(|edge| &edge.units).any(Unit::mends);
        let better = match &found {
            Some(found) => worth.is_better(&found.worth),
            None => mends || worth.is_better(&before),
        };
        if better {
            found = Some(Best { picks, given: before, worth });
        } else {
            found = found.or(Some(Best { picks: as_given, given: before, worth: before }));
        }
        if next.operations == process.operations {
            break;
        }
        process = next;
    }
    found
}

/// The job with the given data.
struct Given<'j> {
    job: &'j Job,
    bar: &'j BarPlan,
    process: Process,
    mechanics: Mechanics,
    cutting: BTreeMap<u32, f64>,
    pace: Pace,
}

/// One edge and the works that wear it.
struct Edge<'s, 'j> {
    station: u32,
    units: Vec<Unit<'s, 'j>>,
    /// What its works that stay as given take.
    fixed: (f64, f64),
    /// By how much the shop's own figure of life makes its wear more than the material's.
    scale: f64,
    life: Life,
    /// Share of its life that it may be left alone for, so that its size stays in the tolerance.
    share: f64,
    /// Seconds that the use of a whole edge is worth.
    worth: f64,
}

/// What each unit of each edge takes.
type Picks = Vec<Vec<Candidate>>;

impl<'j> Given<'j> {
    fn of(job: &'j Job, bar: &'j BarPlan) -> Given<'j> {
        let process = Process::of(job, &bar.division);
        let acts = Acts::new(job, bar);
        let (_, pace, clock) = crate::answer::clocked(job, bar, &acts, &process);
        Given {
            job,
            bar,
            mechanics: mechanics::reckon(job, bar, &process),
            process,
            cutting: clock.cutting().clone(),
            pace,
        }
    }

    /// The edges of which something can be chosen; what is lacking for others is told.
    fn edges<'s>(&self, shop: &'s Shop<'j>, choice: &mut Choice) -> Vec<Edge<'s, 'j>> {
        let mut edges = Vec::new();
        let mut stations: Vec<u32> =
            self.mechanics.each_part().iter().map(|it| it.station).collect();
        stations.sort_unstable();
        stations.dedup();
        for number in stations {
            let Some(station) = self.job.tools.station(number) else { continue };
            let operations = self.mechanics.each_part().iter();
            let operations: Vec<_> = operations.filter(|it| it.station == number).collect();
            match self.edge(shop, station, &operations, choice) {
                Ok(edge) => edges.push(edge),
                Err(lack) => {
                    for operation in operations {
                        choice.works.insert((number, operation.work), Err(lack.clone()));
                    }
                }
            }
        }
        edges
    }

    fn edge<'s>(
        &self,
        shop: &'s Shop<'j>,
        station: &'j Station,
        operations: &[&OperationLoads],
        choice: &mut Choice,
    ) -> Result<Edge<'s, 'j>, Lack> {
        let job = self.job;
        let known = edges::figures(job, station)?;
        let each = f64::from(self.bar.division.parts_per_advance.max(1));
        let cutting = self.cutting.get(&station.number).copied().unwrap_or(0.0) / each;
        let cutting = Seconds::from_s(cutting);
        let life = Life::of(job, station, Some(known), cutting);
        let cuts = || operations.iter().flat_map(|it| &it.cuts);
        let scale = edges::scale(life, cuts(), cutting)?;
        // Seconds of the plan's clock, of which each takes the learned factor of the lathe's.
        let worth = decide::worth(job, station, choice.choose)? / learned::cycle_factor(job);
        let mut edge = Edge {
            station: station.number,
            units: Vec::new(),
            fixed: (0.0, 0.0),
            scale,
            life,
            share: edges::drift(job, station, cuts())
                .and_then(Result::ok)
                .map_or(1.0, |drift| drift.share()),
            worth,
        };
        for operation in operations {
            let (work, key) = (operation.work, (station.number, operation.work));
            if edge.units.iter().any(|unit| unit.work == work) {
                continue;
            }
            // A work's cuts on a new bar's end count, too.
            let all = self.mechanics.operations.iter();
            let same = all.filter(|it| it.station == station.number && it.work == work);
            let lack = same.flat_map(|it| &it.cuts).find_map(|cut| {
                limit::lacking(
                    &cut.loads,
                    cut.last.as_ref(),
                    cut.finishes.as_ref(),
                    station.nose_radius,
                )
            });
            let unit = match lack {
                Some(lack) => Err(lack),
                None => Unit::of(shop, station, work, known)
                    .ok_or_else(|| Lack::of("speed", "it has no surface speed to choose")),
            };
            match unit {
                Ok(unit) => {
                    choice.lacks.extend(unit.lacks());
                    edge.units.push(unit);
                }
                Err(lack) => {
                    for cut in &operation.cuts {
                        edge.fixed.0 += cut.time.s();
                        edge.fixed.1 += edges::wear(cut).unwrap_or(0.0);
                    }
                    choice.works.insert(key, Err(lack));
                }
            }
        }
        Ok(edge)
    }
}

/// The best of each work by itself: time and wear of different works add up.
fn linear(edges: &[Edge<'_, '_>]) -> Picks {
    let of = |edge: &Edge<'_, '_>| edge.units.iter().map(|unit| edge.best(unit)).collect();
    edges.iter().map(of).collect()
}

fn most_alone(given: &Given<'_>, edges: &[Edge<'_, '_>]) -> Option<Picks> {
    let fronts: Vec<EdgeFront> = edges.iter().map(Edge::front).collect();
    let rest = given.rest(edges);
    let points = alone::most_alone(&fronts, &rest)?;
    Some(points.into_iter().map(|point| point.picks.clone()).collect())
}

impl Edge<'_, '_> {
    /// Seconds, and seconds' worth of edge.
    fn value(&self, taking: Taking) -> f64 {
        taking.time + self.worth * self.life.shorter * self.scale * taking.wear
    }

    fn best(&self, unit: &Unit<'_, '_>) -> Candidate {
        decide::best(unit, |taking| self.value(taking))
    }

    /// Time and wear of what was picked, with the works that stay as given.
    fn taken(&self, picks: &[Candidate]) -> (f64, f64) {
        let takings = self.units.iter().zip(picks).map(|(unit, pick)| unit.taking(*pick));
        let (time, wear) = takings.fold(self.fixed, |sum, it| (sum.0 + it.time, sum.1 + it.wear));
        (time, self.scale * wear)
    }

    fn given(&self) -> Vec<Candidate> {
        self.units.iter().map(Unit::given_candidate).collect()
    }

    fn front(&self) -> EdgeFront {
        let fixed = Point { time: self.fixed.0, wear: self.fixed.1, picks: Vec::new() };
        let fronts = self.units.iter().map(front::of_unit);
        let mut front = fronts.fold(vec![fixed], |sum, next| front::both(&sum, &next));
        for point in &mut front {
            point.wear *= self.scale;
        }
        EdgeFront { front, spread: self.life.shorter / self.share.max(1e-9) }
    }
}

impl Given<'_> {
    /// The process with what was picked, and its pace.
    fn with(&self, edges: &[Edge<'_, '_>], picks: &Picks) -> (Process, Pace) {
        let data = table(edges, picks);
        let process = Process::with(self.job, &self.bar.division, &data);
        let acts = Acts::new(self.job, self.bar);
        let (_, pace, _) = crate::answer::clocked(self.job, self.bar, &acts, &process);
        (process, pace)
    }

    /// What hangs on no choice: the time without the works of these edges, and all other limits.
    fn rest(&self, edges: &[Edge<'_, '_>]) -> Rest {
        let each = self.bar.division.parts_per_advance.max(1);
        let chosen = edges.iter().map(|edge| edge.taken(&edge.given()).0).sum::<f64>();
        let chosen = f64::from(each) * chosen;
        let uses = edges::reckon(self.job, self.bar, &self.mechanics, &self.cutting);
        let others = uses.iter().filter(|it| !edges.iter().any(|edge| edge.station == it.station));
        let others = others.flat_map(|it| {
            let worn = it.parts.as_ref().ok().map(|parts| parts.low);
            worn.into_iter().chain(it.keeps_size)
        });
        let most = walk_away::most_parts(self.job, self.bar);
        let walk_away = &self.job.file.walk_away;
        let times = [walk_away.never_longer, walk_away.back_in].into_iter().flatten();
        Rest {
            most: others.fold(most, u32::min),
            each,
            first: self.pace.first.s() - chosen,
            cycle: self.pace.cycle.s() - chosen,
            until: times.map(Seconds::s).fold(f64::INFINITY, f64::min)
                / learned::cycle_factor(self.job),
        }
    }
}
