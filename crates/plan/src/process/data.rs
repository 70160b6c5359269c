//! Speed, feed and depth of cut for each work of each tool.

use crate::cuts::{Speed, Work};
use model::Length;
use model::files::tools::Station;
use model::quantity::FeedPerRev;

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
