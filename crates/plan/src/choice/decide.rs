//! What a choice is worth, and the best of a grid by it.

use super::unit::{Candidate, Measure, Taking, Unit};
use super::{Edge, Given, Picks};
use crate::walk_away::Pace;
use calc::station::Lack;
use model::files::job::{Choose, Job};
use model::files::tools::Station;

/// Seconds that the use of a whole edge is worth for what is wanted: the time of its change, and for the
/// cost its price in seconds of lathe and person.
///
/// # Errors
/// The key that is lacking for it.
pub(super) fn worth(job: &Job, station: &Station, choose: Choose) -> Result<f64, Lack> {
    let lack = |key: &'static str, why: &str| {
        Err(Lack::of(key, format!("{why} (station {}, `{key}`)", station.number)))
    };
    if matches!(choose, Choose::AsGiven | Choose::MostAlone) {
        return Ok(0.0);
    }
    let Some(change) = station.edge_change else {
        return lack("edge_change", "the tools file does not say how long a change takes");
    };
    if choose == Choose::MostOutput {
        return Ok(change.s());
    }
    let Some(price) = station.edge_price else {
        return lack("edge_price", "the tools file does not say what an edge costs");
    };
    let Some(rate) = job.file.cutting.hour_rate else {
        let why = "the job does not say what an hour costs (`hour_rate` under [cutting])";
        return Err(Lack::of("cutting.hour_rate", why));
    };
    Ok(change.s() + 3600.0 * price / rate)
}

/// The candidate of the least value that keeps every limit; where there is none, the one of least value that
/// is no worse than the given data. Of equals the slowest, finest and thinnest.
///
/// Candidates are tried in the order of their value, so that the first that holds is the best of the
/// grid, whatever the limits look like.
pub(super) fn best(unit: &Unit<'_, '_>, value: impl Fn(Taking) -> f64) -> Candidate {
    let takings = unit.takings().into_iter();
    let mut all: Vec<(f64, Candidate)> =
        takings.map(|taking| (value(taking), taking.candidate)).collect();
    all.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
    let first = |measure| {
        all.iter().map(|(_, candidate)| *candidate).find(|it| unit.broken(*it, measure).is_none())
    };
    let found = first(Measure::Kept).or_else(|| first(Measure::NoWorse));
    found.unwrap_or_else(|| unit.given_candidate())
}

/// Picks with the pace of the lathe that they come to.
pub(super) struct Decision<'d, 's, 'j> {
    pub(super) given: &'d Given<'j>,
    pub(super) edges: &'d [Edge<'s, 'j>],
    pub(super) pace: Pace,
    pub(super) picks: &'d Picks,
}

/// What a decision is worth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Worth {
    /// Money or seconds for a part; less is better.
    Least(f64),
    /// Parts, more are better, and the seconds until they are made.
    Most(u32, f64),
}

impl Decision<'_, '_, '_> {
    pub(super) fn worth(&self, choose: Choose) -> Worth {
        let each = f64::from(self.pace.parts_per_advance.max(1));
        let edges = self.edges.iter().zip(self.picks);
        if choose == Choose::MostAlone {
            return self.parts_alone();
        }
        let wear = edges.map(|(edge, picks)| edge.worth * edge.life.shorter * edge.taken(picks).1);
        let seconds = self.pace.cycle.s() / each + wear.sum::<f64>();
        let rate = self.given.job.file.cutting.hour_rate.unwrap_or(0.0) / 3600.0;
        Worth::Least(if choose == Choose::LeastCost { rate * seconds } else { seconds })
    }

    fn parts_alone(&self) -> Worth {
        let rest = self.given.rest(self.edges);
        let each = rest.each.max(1);
        let lasts = self.edges.iter().zip(self.picks).map(|(edge, picks)| {
            let parts = edge.share / (edge.life.shorter * edge.taken(picks).1);
            (parts * (1.0 + 1e-8)).floor() as u32
        });
        let parts = lasts.fold(rest.most, u32::min) / each * each;
        let in_time = if rest.until.is_finite() {
            self.pace.parts_in(model::quantity::Seconds::from_s(rest.until))
        } else {
            u32::MAX
        };
        let parts = parts.min(in_time);
        Worth::Most(parts, self.pace.until(parts).s())
    }
}

impl Worth {
    pub(super) fn is_better(&self, other: &Worth) -> bool {
        match (self, other) {
            (Worth::Least(one), Worth::Least(other)) => one < other,
            (Worth::Most(one, soon), Worth::Most(other, late)) => {
                one > other || (one == other && soon < late)
            }
            _ => false,
        }
    }

    /// Its first figure.
    pub(super) fn shown(&self) -> f64 {
        match self {
            Worth::Least(value) => *value,
            Worth::Most(parts, _) => f64::from(*parts),
        }
    }
}
