//! What an outline covers while it moves.

use crate::convex::Convex;
use crate::outline::{Arc, Chord, Outline, Side, Turn};
use crate::point::{Bounds, Flaw, Point};

/// A move of an outline's reference point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Move {
    /// Straight; standing still if both ends are one point.
    Line {
        /// Its start.
        from: Point,
        /// Its end.
        to: Point,
    },
    /// Along an arc; a full circle if both ends are one point.
    Arc {
        /// Its start.
        from: Point,
        /// Its end.
        to: Point,
        /// Its center.
        center: Point,
        /// The way round.
        turn: Turn,
    },
}

impl Move {
    /// A straight move.
    ///
    /// # Errors
    /// [`Flaw::TooFar`].
    pub fn line(from: Point, to: Point) -> Result<Move, Flaw> {
        Ok(Move::Line { from: from.checked()?, to: to.checked()? })
    }

    /// The move shifted along the axis.
    #[must_use]
    pub fn shifted(self, dz: i64) -> Move {
        let s = |p: Point| p.plus(Point::new(dz, 0));
        match self {
            Move::Line { from, to } => Move::Line { from: s(from), to: s(to) },
            Move::Arc { from, to, center, turn } => {
                Move::Arc { from: s(from), to: s(to), center: s(center), turn }
            }
        }
    }
}

/// The region an outline covers during one move, as convex pieces that overlap.
///
/// For a straight move it is the exact Minkowski sum of the outline's parts and the way. For an arc
/// it is the sum over chords of the arc (within [`Chord::tolerance`]); with [`Side::Outside`] each
/// piece also holds the point where the tangents at the chord's ends meet, so that the pieces never
/// cover less than the true sweep (but for 1 nm of rounding). With [`Side::Inside`] the way is the
/// chords: within the tolerance of the arc, so that on the arc's hollow side they cover up to the
/// tolerance more than the true sweep, and less on the other.
///
/// A piece that reaches beyond the axis is there a second time on this side of it: what turns past
/// a tool below the center is cut as well.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sweep {
    pieces: Vec<Convex>,
    bounds: Bounds,
}

impl Sweep {
    /// What `outline` covers during `way`; `chord` says how closely an arc is followed.
    ///
    /// # Errors
    /// [`Flaw::TooFar`], and [`Flaw::NoArc`] for an arc that is none.
    pub fn of(outline: &Outline, way: &Move, chord: Chord) -> Result<Sweep, Flaw> {
        let mut pieces = Vec::with_capacity(outline.parts().len());
        match *way {
            Move::Line { from, to } => {
                for part in outline.parts() {
                    pieces.push(part.swept(from.checked()?, to.checked()?)?);
                }
            }
            Move::Arc { from, to, center, turn } => {
                // Around the start, so that a shifted move gives the same sweep, shifted.
                let origin = from.checked()?;
                let arc = Arc::new(
                    Point::default(),
                    to.checked()?.minus(origin),
                    center.checked()?.minus(origin),
                    turn,
                    chord.tolerance,
                )?;
                for i in 0..arc.chords {
                    let (a, b) = (arc.at(i).plus(origin), arc.at(i + 1).plus(origin));
                    for part in outline.parts() {
                        pieces.push(match chord.side {
                            Side::Inside => part.swept(a, b)?,
                            Side::Outside => part.fanned([a, arc.apex(i).plus(origin), b])?,
                        });
                    }
                }
            }
        }
        Sweep::folded(pieces)
    }

    /// Adds the mirror image of what lies beyond the axis.
    fn folded(mut pieces: Vec<Convex>) -> Result<Sweep, Flaw> {
        for i in 0..pieces.len() {
            if pieces[i].bounds().min.r < 0 {
                pieces.push(pieces[i].mirrored()?);
            }
        }
        let corners = pieces.iter().flat_map(|p| [p.bounds().min, p.bounds().max]);
        let bounds = Bounds::around(corners).ok_or(Flaw::NoArea)?;
        Ok(Sweep { pieces, bounds })
    }

    /// The convex pieces, in the order of the move.
    pub fn pieces(&self) -> &[Convex] {
        &self.pieces
    }

    /// The smallest box around it.
    pub fn bounds(&self) -> &Bounds {
        &self.bounds
    }
}

impl Convex {
    /// The hull of the polygon at three places.
    fn fanned(&self, places: [Point; 3]) -> Result<Convex, Flaw> {
        let corners = places.iter().flat_map(|&by| self.points().iter().map(move |p| p.plus(by)));
        Convex::hull(&corners.collect::<Vec<_>>())
    }
}
