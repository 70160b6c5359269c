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
    /// As a thread, but with the spindle turned back first and forward again behind it, as a tap
    /// comes out.
    BackOut(FeedPerRev),
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
            Way::Straight(feed)
            | Way::Arc { feed, .. }
            | Way::Thread(feed)
            | Way::BackOut(feed) => Some(feed),
        }
    }
}

/// What an operation is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Work {
    /// Facing.
    Face,
    /// Spotting the face where a drill starts.
    Spot,
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

impl Work {
    /// A stable word for scripts.
    pub const fn word(self) -> &'static str {
        match self {
            Work::Face => "face",
            Work::Spot => "spot",
            Work::Drill => "drill",
            Work::Ream => "ream",
            Work::Rough => "rough",
            Work::Finish => "finish",
            Work::RoughBore => "rough-bore",
            Work::FinishBore => "finish-bore",
            Work::Groove => "groove",
            Work::GrooveBore => "groove-bore",
            Work::Thread => "thread",
            Work::ThreadBore => "thread-bore",
            Work::Tap => "tap",
            Work::Knurl => "knurl",
            Work::BackEdge => "back-edge",
            Work::PartOff => "part-off",
        }
    }
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
    /// The stretches of its moves that cycles of the control make, in their order.
    pub cycles: Vec<Cycle>,
}

/// Moves of an operation that one cycle of the control makes: it is written in their place.
#[derive(Debug, Clone, PartialEq)]
pub struct Cycle {
    /// The first of its moves, by its place in the operation's list; the move before it ends where the
    /// cycle starts.
    pub first: usize,
    /// How many moves it makes.
    pub count: usize,
    /// What it is written with.
    pub form: CycleForm,
}

/// The cycles of controls, each with the figures that are written.
#[derive(Debug, Clone, PartialEq)]
pub enum CycleForm {
    /// Drilling, from the place where the tool stands and back to it; in pecks where there are any.
    Drill {
        /// The bottom.
        bottom: Place,
        /// Each peck.
        peck: Option<Length>,
        /// The feed.
        feed: FeedPerRev,
    },
    /// Pecking along Z, the tool going back a little after each peck.
    FacePeck {
        /// The bottom.
        bottom: Place,
        /// Each peck.
        peck: Length,
        /// How far it goes back.
        back: Length,
        /// The feed.
        feed: FeedPerRev,
    },
    /// Tapping, from the place where the tool stands and back to it.
    Tap {
        /// The bottom.
        bottom: Place,
        /// The lead of the tap.
        lead: FeedPerRev,
    },
    /// Roughing in layers along a contour; from the place where the tool stands and back to it.
    RoughTurning {
        /// Depth of a layer.
        depth: Length,
        /// How far the tool lifts off after each.
        lift: Length,
        /// What is left for finishing: on the diameter and along Z.
        allowance: (Length, Length),
        /// The feed of the layers.
        feed: FeedPerRev,
        /// The contour, the first move at rapid along X.
        contour: Vec<Move>,
    },
    /// Finishing along the contour of the roughing cycle before; from the place where the tool stands and
    /// back to it.
    FinishTurning,
    /// A pass along the part's own contour with the control's offset of the nose on: the first move takes
    /// it in and the last one out.
    NoseOffset {
        /// Whether the tool goes on the right of its way.
        right: bool,
        /// The moves, in places of the part.
        moves: Vec<Move>,
    },
    /// The threading box, once for each pass.
    ThreadBox {
        /// Where each pass ends.
        ends: Vec<Place>,
        /// The lead.
        lead: FeedPerRev,
    },
    /// All passes of a thread.
    ThreadPasses(ThreadPasses),
}

/// The figures of the cycle that makes all passes of a thread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThreadPasses {
    /// Where the last pass ends.
    pub end: Place,
    /// The lead.
    pub lead: FeedPerRev,
    /// From the crest to the ground, on the radius.
    pub height: Length,
    /// Depth of the first pass.
    pub first: Length,
    /// Least depth of any other pass but the last ones.
    pub least: Length,
    /// What the last passes take.
    pub allowance: Length,
    /// Passes at the full depth.
    pub finishing: u32,
    /// Length of the pull-out in tenths of the lead.
    pub pull_out: u32,
    /// Angle of the edge, in whole degrees.
    pub angle: u32,
    /// Whether one block says it all; then there is no allowance and no least depth, one pass at the
    /// full depth, and the pull-out is the control's own.
    pub one_block: bool,
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

impl CycleForm {
    fn shift(&mut self, by: Length) {
        let ends = match self {
            CycleForm::FinishTurning => return,
            CycleForm::RoughTurning { contour: moves, .. }
            | CycleForm::NoseOffset { moves, .. } => {
                for one in moves {
                    *one = one.shifted(by);
                }
                return;
            }
            CycleForm::Drill { bottom, .. }
            | CycleForm::FacePeck { bottom, .. }
            | CycleForm::Tap { bottom, .. } => std::slice::from_mut(bottom),
            CycleForm::ThreadBox { ends, .. } => ends,
            CycleForm::ThreadPasses(passes) => std::slice::from_mut(&mut passes.end),
        };
        for end in ends {
            *end = end.shifted(by);
        }
    }
}

impl Operation {
    /// The same operation further toward the chuck.
    #[must_use]
    pub fn shifted(&self, by: Length) -> Operation {
        let mut operation = self.clone();
        for one in &mut operation.moves {
            *one = one.shifted(by);
        }
        for cycle in &mut operation.cycles {
            cycle.form.shift(by);
        }
        operation
    }
}
