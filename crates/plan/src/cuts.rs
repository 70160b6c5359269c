//! The nouns of cutting: places, moves, operations. Places are in the part's own frame: diameters, and
//! distances from the finished front face, positive away from the chuck.

use model::Length;
use model::quantity::{FeedPerRev, SpindleSpeed, SurfaceSpeed};

/// A place of a tool's tip.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// Diameter.
    pub x: Length,
    /// Distance from the finished front face.
    pub z: Length,
}

/// Which way round an arc goes, seen with +X up and +Z to the right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// As the hands of a clock.
    Clockwise,
    /// Against them.
    Counterclockwise,
}

/// How a move goes to its end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Way {
    /// At rapid, cutting nothing.
    Rapid,
    /// Straight, at a feed.
    Straight(FeedPerRev),
    /// Round a center, at a feed.
    Arc {
        /// The center of the arc.
        center: Place,
        /// Which way round.
        turn: Turn,
        /// The feed.
        feed: FeedPerRev,
    },
    /// Straight, in step with the spindle, so far along Z for each turn.
    Thread(FeedPerRev),
}

/// One move of a cut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Move {
    /// Where it ends.
    pub to: Place,
    /// How it goes there.
    pub way: Way,
}

impl Move {
    /// Feed per revolution; none at rapid.
    pub const fn feed(&self) -> Option<FeedPerRev> {
        match self.way {
            Way::Rapid => None,
            Way::Straight(feed) | Way::Arc { feed, .. } | Way::Thread(feed) => Some(feed),
        }
    }
}

/// What an operation is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Work {
    /// Facing.
    Face,
    /// Drilling on the axis.
    Drill,
    /// Reaming or sizing a hole with a tool of its diameter.
    Ream,
    /// Roughing the outside.
    Rough,
    /// Finishing the outside.
    Finish,
    /// Roughing a bore.
    RoughBore,
    /// Finishing a bore.
    FinishBore,
    /// Grooving the outside.
    Groove,
    /// Grooving a bore.
    GrooveBore,
    /// An outside thread.
    Thread,
    /// An inside thread.
    ThreadBore,
    /// Tapping with a tap.
    Tap,
    /// Knurling.
    Knurl,
    /// Breaking the back edge before the part is off.
    BackEdge,
    /// Parting off.
    PartOff,
}

/// How the spindle turns for an operation; the clamp of the job holds beside it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Speed {
    /// At a surface speed.
    Surface(SurfaceSpeed),
    /// At a spindle speed.
    Spindle(SpindleSpeed),
}

/// One operation with one tool.
#[derive(Debug, Clone, PartialEq)]
pub struct Operation {
    /// What it is for.
    pub work: Work,
    /// What it is, in plain words.
    pub name: &'static str,
    /// The station of its tool.
    pub station: u32,
    /// How the spindle turns.
    pub speed: Speed,
    /// Its moves, from a place in front of or beside the bar.
    pub moves: Vec<Move>,
}

impl Place {
    /// The same place further toward the chuck.
    #[must_use]
    pub fn shifted(self, by: Length) -> Place {
        Place { z: self.z - by, ..self }
    }
}

impl Move {
    /// The same move further toward the chuck.
    #[must_use]
    pub fn shifted(self, by: Length) -> Move {
        let way = match self.way {
            Way::Arc { center, turn, feed } => Way::Arc { center: center.shifted(by), turn, feed },
            other => other,
        };
        Move { to: self.to.shifted(by), way }
    }
}

impl Operation {
    /// The same operation further toward the chuck.
    #[must_use]
    pub fn shifted(&self, by: Length) -> Operation {
        Operation { moves: self.moves.iter().map(|one| one.shifted(by)).collect(), ..self.clone() }
    }
}
