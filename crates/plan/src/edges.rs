//! How long each edge lasts, when to change it, and the speeds at which parts are cheapest or
//! soonest made.

use crate::bar::BarPlan;
use crate::cuts::Speed;
use crate::drift::Drift;
use crate::learned;
use crate::mechanics::{CutLoads, Mechanics};
use calc::life::{self, Beyond, Change};
use calc::spread::Spread;
use calc::station::Lack;
use model::Length;
use model::files::job::Job;
use model::files::material::EdgeLife;
use model::files::tools::{EdgeMaterial, Station};
use model::quantity::{Seconds, SurfaceSpeed};
use std::collections::BTreeMap;

/// Nine edges of ten last between their life divided by this and times this, where the material
/// file says nothing. Common practice.
const USUAL_SPREAD: f64 = 2.0;

/// How far edges wear by the shop's own figures of life, over the material's: for each station, what the
/// wear by the material's figures is multiplied by, and those figures.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Lives(BTreeMap<u32, (f64, Life)>);

impl Lives {
    /// Takes down how far the edge of a station wears.
    pub(crate) fn set(&mut self, station: u32, scale: f64, life: Life) {
        self.0.insert(station, (scale, life));
    }
}

/// How long an edge lasts with the data of the tools file, and how far that is spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Life {
    /// The shop's own figure; none where the material's counts.
    own: Option<Seconds>,
    /// Likely life over that of the low end.
    pub(crate) shorter: f64,
    /// Life of the high end over the likely one.
    longer: f64,
    /// Whether it was learned from the log.
    learned: bool,
}

impl Life {
    /// What was learned comes before the tools file, and that before the material. `cutting` is its time for
    /// one part with the data of the tools file.
    pub(crate) fn of(
        job: &Job,
        station: &Station,
        known: Option<&EdgeLife>,
        cutting: Seconds,
    ) -> Life {
        if let Some(learned) = learned::edge(job, station.number, cutting) {
            let life = learned.life.s();
            let (shorter, longer) = (life / learned.low.s(), learned.high.s() / life);
            return Life { own: Some(learned.life), shorter, longer, learned: true };
        }
        let spread = known.map_or(USUAL_SPREAD, |known| known.spread.max(1.0));
        Life { own: station.edge_life, shorter: spread, longer: spread, learned: false }
    }
}

/// Share of an edge that a cut wears off, by the material's likely life.
///
/// # Errors
/// What the life of an edge lacks.
pub(crate) fn wear(cut: &CutLoads) -> Result<f64, Lack> {
    let life = cut.loads.as_ref().map_err(Clone::clone)?.life.clone()?;
    Ok(cut.time.s() / life.time.nominal.s())
}

/// What the wear by the material's figures is multiplied by, so that with the given data the edge lasts as
/// long as the shop's own figure says; 1 where it says nothing. `cutting` is its time for one part.
///
/// # Errors
/// What the life of an edge lacks.
pub(crate) fn scale<'c>(
    life: Life,
    cuts: impl Iterator<Item = &'c CutLoads>,
    cutting: Seconds,
) -> Result<f64, Lack> {
    let mut worn = 0.0;
    for cut in cuts {
        worn += wear(cut)?;
    }
    Ok(match life.own {
        Some(life) if worn > 0.0 => cutting.s() / life.s() / worn,
        _ => 1.0,
    })
}

/// One edge through the order.
#[derive(Debug, Clone)]
pub struct EdgeUse {
    /// Its station.
    pub station: u32,
    /// The tool, in the shop's words.
    pub name: String,
    /// Its cutting time for one part.
    pub cutting: Seconds,
    /// The highest surface speed at which it cuts.
    pub speed: SurfaceSpeed,
    /// Lowest and highest speed of the material's figures, where there are any.
    pub speeds: Option<(SurfaceSpeed, SurfaceSpeed)>,
    /// What of its worst cut lies beyond the material's figures.
    pub beyond: Option<Beyond>,
    /// Whole parts that it makes; nine edges of ten make as many as the range says.
    pub parts: Result<Spread<u32>, Lack>,
    /// Whether that life was learned from the log.
    pub learned: bool,
    /// How far the size that it leaves drifts while it wears; none where it leaves none, or where the chart of
    /// its sizes says how long it is kept (`gauge_within` of the job).
    pub drift: Option<Result<Drift, Lack>>,
    /// Whole parts until that size may be at its limit, by the low end of the range; none where the
    /// edge is worn first, where it is not known, or where the chart says it.
    pub keeps_size: Option<u32>,
    /// Edges for the order, each used up to the low end of the range.
    pub edges: Option<u32>,
    /// When it is changed, with a new bar where that can be; none where that is not known, or more
    /// often than [`life::MOST_CHANGES`].
    pub changes: Option<Vec<Change>>,
    /// The speed at which most parts are made, inside the range of the material's figures.
    pub fastest: Result<SurfaceSpeed, Lack>,
    /// The speed at which a part is cheapest, likewise.
    pub cheapest: Result<SurfaceSpeed, Lack>,
}

/// The edges of a job with the data of its tools file; `cutting` is the cutting time of each station for
/// one advance.
pub fn reckon(
    job: &Job,
    bar: &BarPlan,
    mechanics: &Mechanics,
    cutting: &BTreeMap<u32, f64>,
) -> Vec<EdgeUse> {
    reckon_with(job, bar, mechanics, cutting, &Lives::default())
}

/// The same with data that were chosen.
pub fn reckon_with(
    job: &Job,
    bar: &BarPlan,
    mechanics: &Mechanics,
    cutting: &BTreeMap<u32, f64>,
    lives: &Lives,
) -> Vec<EdgeUse> {
    let each = f64::from(bar.division.parts_per_advance.max(1));
    let used = cutting.iter().filter(|(_, time)| **time > 0.0);
    used.filter_map(|(number, time)| {
        let station = job.tools.station(*number)?;
        let own = mechanics.each_part().iter().filter(|it| it.station == *number);
        let cuts: Vec<&CutLoads> = own.clone().flat_map(|it| &it.cuts).collect();
        let chosen = lives.0.get(number).copied();
        let edge = one(job, bar, station, &cuts, (Seconds::from_s(time / each), chosen));
        let speeds = own.filter_map(|it| match it.speed {
            Speed::Surface(speed) => Some(speed),
            Speed::Spindle(_) => None,
        });
        let fastest = speeds.max_by(|a, b| a.m_per_min().total_cmp(&b.m_per_min()));
        Some(EdgeUse { speed: fastest.unwrap_or(edge.speed), ..edge })
    })
    .collect()
}

fn one(
    job: &Job,
    bar: &BarPlan,
    station: &Station,
    cuts: &[&CutLoads],
    (cutting, chosen): (Seconds, Option<(f64, Life)>),
) -> EdgeUse {
    let known = figures(job, station);
    let as_given = || Life::of(job, station, known.as_ref().ok().copied(), cutting);
    let life = chosen.map_or_else(as_given, |(_, life)| life);
    let chosen = chosen.map(|(scale, _)| scale);
    let scaled = chosen.map_or_else(|| scale(life, cuts.iter().copied(), cutting), Ok);
    let worst = most_worn(cuts);
    let worn = worn(life, cuts, cutting, chosen);
    let parts = worn.clone().and_then(|worn| parts(worn, life));
    let drift = drift(job, station, cuts.iter().copied());
    let share = drift.as_ref().and_then(|drift| drift.as_ref().ok()).map_or(1.0, Drift::share);
    let drifts = worn.ok().filter(|_| share < 1.0);
    let keeps_size = drifts.and_then(|worn| until_worn(worn, share / life.shorter));
    let least = parts.as_ref().ok().map(|parts| parts.low).filter(|least| *least > 0);
    let quantity = job.file.order.quantity;
    let law = || -> Result<(life::Taylor, &EdgeLife, life::Edge), Lack> {
        let known = known.clone()?;
        let (feed, depth) = worst
            .and_then(|(cut, _)| Some((cut.feed, depth_of(cut, station)?)))
            .ok_or_else(|| lack("speed", station, "the loads of its cuts are not known"))?;
        let change = station.edge_change.ok_or_else(|| {
            lack("edge_change", station, "the tools file does not say how long a change takes")
        })?;
        let edge = life::Edge { change, price: station.edge_price.unwrap_or(0.0) };
        // By the life at which it is changed: the low end of the range, as the shop knows it.
        let shorter = life.shorter * scaled.clone()?;
        let law = life::taylor_at(known, feed, depth)?;
        let one_minute = law.one_minute.m_per_min() / libm::pow(shorter, law.n);
        let law = life::Taylor::new(law.n, SurfaceSpeed::from_m_per_min(one_minute))?;
        Ok((law, known, edge))
    };
    let within = |known: &EdgeLife, speed: SurfaceSpeed| {
        let speed = speed.m_per_min().max(known.lowest.m_per_min());
        SurfaceSpeed::from_m_per_min(speed.min(known.highest.m_per_min()))
    };
    let fastest = || {
        let (law, known, edge) = law()?;
        Ok(within(known, law.speed(life::fastest_life(&law, &edge)?)?))
    };
    let cheapest = || {
        let (law, known, edge) = law()?;
        if station.edge_price.is_none() {
            let why = "the tools file does not say what an edge costs";
            return Err(lack("edge_price", station, why));
        }
        let rate = job.file.cutting.hour_rate.ok_or_else(|| {
            let why = "the job does not say what an hour costs (`hour_rate` under [cutting])";
            Lack::of("cutting.hour_rate", why)
        })?;
        Ok(within(known, law.speed(life::cheapest_life(&law, &edge, rate / 60.0)?)?))
    };
    EdgeUse {
        station: station.number,
        name: station.name.clone(),
        cutting,
        speed: station.speed.unwrap_or_default(),
        speeds: known.as_ref().ok().map(|known| (known.lowest, known.highest)),
        beyond: worst.and_then(|(_, beyond)| beyond),
        edges: least.and_then(|least| life::edges_for(quantity, least).ok()),
        changes: least.and_then(|least| life::change_plan(&bars(bar, quantity), least).ok()),
        parts,
        learned: life.learned,
        drift,
        keeps_size,
        fastest: fastest(),
        cheapest: cheapest(),
    }
}

fn lack(key: &'static str, station: &Station, why: &str) -> Lack {
    Lack::of(key, format!("{why} (station {}, `{key}`)", station.number))
}

/// Parts of each bar of the order.
fn bars(bar: &BarPlan, quantity: u32) -> Vec<u32> {
    let Some(blanks) = bar.blanks.filter(|blanks| *blanks > 0) else { return Vec::new() };
    let mut bars = vec![bar.parts_per_bar.min(quantity); blanks as usize];
    if let Some(last) = bars.last_mut() {
        *last = bar.parts_in_last;
    }
    bars
}

/// The material's figures for what this edge is made of.
pub(crate) fn figures<'j>(job: &'j Job, station: &Station) -> Result<&'j EdgeLife, Lack> {
    let material = &job.material;
    let (known, key, table) = match station.edge_material {
        Some(EdgeMaterial::Carbide) => (&material.carbide, "carbide", "[carbide]"),
        Some(EdgeMaterial::HighSpeedSteel) => (&material.hss, "hss", "[hss]"),
        None => {
            let why = "the tools file does not say what the edge is made of";
            return Err(lack("edge_material", station, why));
        }
    };
    let name = &material.name;
    known
        .as_ref()
        .ok_or_else(|| Lack::of(key, format!("the material file of {name} has no table `{table}`")))
}

/// The cut that wears the edge most, and what of it lies beyond the material's figures.
fn most_worn<'c>(cuts: &[&'c CutLoads]) -> Option<(&'c CutLoads, Option<Beyond>)> {
    let worn = cuts.iter().filter_map(|cut| {
        let life = cut.loads.as_ref().ok()?.life.as_ref().ok()?;
        Some((*cut, life.beyond, cut.time.s() / life.time.nominal.s()))
    });
    worn.max_by(|one, other| one.2.total_cmp(&other.2)).map(|(cut, beyond, _)| (cut, beyond))
}

/// Depth of a cut as the figures of life count it: a blade's is its width.
fn depth_of(cut: &CutLoads, station: &Station) -> Option<Length> {
    station.width.or_else(|| Some(cut.loads.as_ref().ok()?.outcome.depth))
}

/// What one part wears off an edge. Each cut takes its time over its life of the edge, added up as wear that
/// grows evenly; the shop's own figure of life comes before the material's.
fn worn(
    life: Life,
    cuts: &[&CutLoads],
    cutting: Seconds,
    chosen: Option<f64>,
) -> Result<f64, Lack> {
    let by_material = || cuts.iter().map(|cut| wear(cut)).sum::<Result<f64, Lack>>();
    Ok(match (chosen, life.own) {
        (Some(scale), _) => scale * by_material()?,
        (None, Some(life)) => cutting.s() / life.s(),
        (None, None) => by_material()?,
    })
}

/// How far the size that an edge leaves drifts; none where it leaves none, or where what was measured, the
/// `gauge_within` of the job, comes before what is reckoned.
pub(crate) fn drift<'c>(
    job: &Job,
    station: &Station,
    cuts: impl Iterator<Item = &'c CutLoads>,
) -> Option<Result<Drift, Lack>> {
    if job.file.walk_away.gauge_within.is_some() {
        return None;
    }
    Drift::of(station, cuts)
}

/// Parts until the edge is worn out.
fn parts(worn: f64, life: Life) -> Result<Spread<u32>, Lack> {
    let of = |lives: f64| life::parts_per_edge(Seconds::from_s(lives), Seconds::from_s(worn));
    Ok(Spread { low: of(1.0 / life.shorter)?, nominal: of(1.0)?, high: of(life.longer)? })
}

/// Parts until this share of the likely life is worn.
fn until_worn(worn: f64, share: f64) -> Option<u32> {
    life::parts_per_edge(Seconds::from_s(share), Seconds::from_s(worn)).ok()
}

impl EdgeUse {
    /// The changes that stop the lathe inside a bar.
    pub fn inside(&self) -> usize {
        self.changes.iter().flatten().filter(|change| !change.with_bar).count()
    }
}
