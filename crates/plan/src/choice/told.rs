//! The data of every work as they are cut with, and the limit that each comes nearest to.

use super::limit::{self, Used};
use super::{Choice, Chosen, grid};
use crate::cuts::{Speed, Work};
use crate::mechanics::Mechanics;
use calc::station::Lack;
use model::Length;
use model::files::job::Job;
use model::quantity::FeedPerRev;

/// One work of one tool with its data.
#[derive(Debug, Clone)]
pub struct Told {
    /// The station of its tool.
    pub station: u32,
    /// What it is for.
    pub work: Work,
    /// What it is, in plain words.
    pub name: &'static str,
    /// How the spindle turns.
    pub speed: Speed,
    /// Feed per revolution; none for what goes in step with the spindle.
    pub feed: Option<FeedPerRev>,
    /// Deepest layer on the radius, where it goes in layers.
    pub depth: Option<Length>,
    /// The limit that it comes nearest to, of those that are known.
    pub nearest: Option<Used>,
    /// How it was chosen; else what is lacking. None where all is as given.
    pub chosen: Option<Result<Chosen, Lack>>,
}

/// The works of a plan, in their order.
pub fn told(job: &Job, choice: &Choice, mechanics: &Mechanics) -> Vec<Told> {
    let mut all: Vec<Told> = Vec::new();
    for operation in mechanics.each_part() {
        let (station, work) = (operation.station, operation.work);
        if all.iter().any(|it| it.station == station && it.work == work) {
            continue;
        }
        let Some(tool) = job.tools.station(station) else { continue };
        let same = mechanics.operations.iter();
        let same = same.filter(|it| it.station == station && it.work == work);
        let mut nearest = limit::nearest(same.flat_map(|it| &it.cuts), tool.nose_radius);
        let data = choice.data.of(tool, work);
        if let (Some(most), Some(data)) = (tool.takes.most_feed, data) {
            let used = Used { limit: limit::Limit::MostFeed, used: share(data.feed, most) };
            nearest = Some(nearest.filter(|it| it.used >= used.used).unwrap_or(used));
        }
        let feed = data.map(|data| data.feed).filter(|feed| feed.mm() > 0.0);
        let depth = data.map(|data| data.depth).filter(|_| grid::layered(work));
        let chosen = choice.works.get(&(station, work)).cloned();
        let (name, speed) = (operation.name, operation.speed);
        all.push(Told { station, work, name, speed, feed, depth, nearest, chosen });
    }
    all
}

fn share(feed: FeedPerRev, most: FeedPerRev) -> f64 {
    feed.mm() / most.mm()
}
