//! Whether a piece that falls has the form of the drawing.
//!
//! The drawing's limits are two regions: the least metal that must be there, and the most that may
//! be. A piece is right where it holds the one and lies in the other, outside, bore, faces and
//! edges alike. A piece like one before is one look-up.

pub(crate) mod gap;
pub(crate) mod groove;
mod hollows;
mod limits;
pub(crate) mod profile;
mod relief;
mod rounds;
pub mod tell;
pub(crate) mod thread;

pub use groove::GrooveOff;
pub use limits::{Limits, drawn_part};
pub use thread::ThreadOff;

use crate::event::{Point, Spot, What};
use model::Length;

/// Where a piece leaves the limits by most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Deviation {
    /// How far it goes beyond the limit, square to it.
    pub by: Length,
    /// The place on the piece, counted from its front face: z is zero or negative.
    pub at: Point,
    /// The feature of the drawing there, by its place in the list.
    pub feature: Option<usize>,
    /// The word that took the metal, or whose cut came nearest to what is left.
    pub cut: Option<Spot>,
}

/// A slanting or round stretch on which a nose left what its radius leaves without an offset.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoseLeft {
    /// Where, and by how much beyond the limit.
    pub left: Deviation,
    /// The nose radius of the tool that cut there.
    pub nose: Length,
    /// What this nose leaves or takes on such a slope, square to it.
    pub known: Length,
    /// Whether it took too much.
    pub missing: bool,
}

/// What a comparison came to.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Verdict {
    /// Where most is missing.
    pub gouged: Option<Deviation>,
    /// Where most is too much.
    pub left_over: Option<Deviation>,
    /// Where a nose radius was not followed.
    pub nose: Option<NoseLeft>,
    /// A thread that is not as deep as the drawing has it.
    pub thread: Option<ThreadOff>,
    /// A groove that is not as wide as the drawing has it.
    pub groove: Option<GrooveOff>,
}

impl Verdict {
    /// What is told of it.
    pub(crate) fn told(&self) -> impl Iterator<Item = What> {
        let all = [
            self.gouged.map(What::Gouged),
            self.left_over.map(What::LeftOver),
            self.nose.map(What::NoseNotFollowed),
            self.thread.map(What::ThreadShallow),
            self.groove.map(What::GrooveOff),
        ];
        all.into_iter().flatten()
    }

    /// Whether the piece lies within every limit.
    pub const fn is_right(&self) -> bool {
        let no_gap = self.gouged.is_none() && self.left_over.is_none();
        no_gap && self.nose.is_none() && self.thread.is_none() && self.groove.is_none()
    }
}

impl Deviation {
    /// The word to point at: its cut, or another one where no cut reached it.
    pub fn spot(&self, else_at: Spot) -> Spot {
        self.cut.unwrap_or(else_at)
    }
}
