//! What the simulated runs of a shop come to.

use crate::floor::Floor;
use crate::simulate::{Figure, Run, Tally};

/// Runs of a shop.
#[derive(Debug, Clone, PartialEq)]
pub struct Simulated {
    /// Every run.
    pub runs: Vec<Run>,
    /// Days of each.
    pub days: u32,
    /// What chance began with.
    pub seed: u64,
    /// Seconds of each run in which each person is there.
    pub there: Vec<f64>,
}

/// What the runs of a shop come to, as shares of all time.
#[derive(Debug, Clone, PartialEq)]
pub struct Figures {
    /// All spindles.
    pub running: Figure,
    /// Each lathe.
    pub lathes: Vec<OfLathe>,
    /// Walking and attending, as a share of the time that each person is there; none for one who never is.
    pub people: Vec<Option<Figure>>,
}

/// A lathe over many runs, as shares of all time.
#[derive(Debug, Clone, PartialEq)]
pub struct OfLathe {
    /// It runs.
    pub running: Figure,
    /// It stands and nobody is at it.
    pub waiting: Figure,
    /// Someone is at it.
    pub attended: Figure,
    /// Visits a day.
    pub visits: Figure,
}

impl Simulated {
    /// These runs of this floor.
    pub fn of(floor: &Floor, runs: Vec<Run>, days: u32, seed: u64) -> Simulated {
        let there = floor.people.iter().map(|it| it.spans.iter().map(|(from, to)| to - from).sum());
        Simulated { runs, days, seed, there: there.collect() }
    }

    /// What they come to.
    pub fn figures(&self) -> Figures {
        let all = f64::from(self.days) * 86_400.0;
        let lathes = self.runs.first().map_or(0, |run| run.lathes.len());
        let of = |lathe: usize, what: fn(&Tally) -> f64, over: f64| {
            Figure::of(self.runs.iter().map(|run| what(&run.lathes[lathe]) / over))
        };
        let running = |run: &Run| run.lathes.iter().map(|it| it.running).sum::<f64>();
        let busy = |(person, there): (usize, &f64)| {
            (*there > 0.0).then(|| Figure::of(self.runs.iter().map(|run| run.busy[person] / there)))
        };
        Figures {
            running: Figure::of(self.runs.iter().map(|run| running(run) / (all * lathes as f64))),
            lathes: (0..lathes)
                .map(|lathe| OfLathe {
                    running: of(lathe, |it| it.running, all),
                    waiting: of(lathe, |it| it.waiting, all),
                    attended: of(lathe, |it| it.attended, all),
                    visits: of(lathe, |it| f64::from(it.visits), f64::from(self.days)),
                })
                .collect(),
            people: self.there.iter().enumerate().map(busy).collect(),
        }
    }
}
