//! Speed, feed and depth of cut for each work of each tool.

use crate::cuts::{Speed, Work};
use model::Length;
use model::files::tools::Station;
use model::quantity::FeedPerRev;
use std::collections::BTreeMap;

/// Speed, feed and depth of one work with one tool.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Data {
    /// How the spindle turns.
    pub speed: Speed,
    /// Feed per revolution.
    pub feed: FeedPerRev,
    /// Deepest cut on the radius.
    pub depth: Length,
}

impl Data {
    /// As the tools file says; none where it says no speed or feed. What is cut in step with the spindle
    /// has its lead for a feed, and none here.
    pub fn of(station: &Station, work: Work) -> Option<Data> {
        let fine = matches!(work, Work::Face | Work::Finish | Work::FinishBore);
        let feed = if fine { station.finish_feed.or(station.feed) } else { station.feed };
        let in_step = matches!(work, Work::Thread | Work::ThreadBore | Work::Tap);
        let feed = feed.or(in_step.then(FeedPerRev::default));
        Some(Data {
            speed: Speed::Surface(station.speed?),
            feed: feed?,
            depth: station.depth.unwrap_or(Length::from_mm(1)),
        })
    }
}

/// Data that were chosen; what is not in it is as the tools file says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DataTable(BTreeMap<(u32, Work), Data>);

impl DataTable {
    /// Speed, feed and depth of a work with a tool; none where the tools file lacks speed or feed.
    pub fn of(&self, station: &Station, work: Work) -> Option<Data> {
        let chosen = self.0.get(&(station.number, work)).copied();
        chosen.or_else(|| Data::of(station, work))
    }

    /// Takes other data for a work with the tool of a station.
    pub fn set(&mut self, station: u32, work: Work, data: Data) {
        self.0.insert((station, work), data);
    }
}
