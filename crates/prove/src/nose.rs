//! Nose radius offset (G40, G41, G42) on a two-axis lathe: from the programmed path, which the
//! corner to be cut follows, to the path of the imaginary tip, which the axes follow.
//!
//! A round nose touches the work beside its imaginary tip. With the offset on, the *nose center*
//! goes beside the programmed path by the nose radius, to the left (G41) or right (G42), and the
//! imaginary tip moves along with the center. A convex arc gets larger by the radius, a concave
//! one smaller. Corners are joined as [`Outside`] says; see `nose/corner.rs`.
//!
//! The geometry is streaming, as in a control: a leg is decided when a few more are known.
//! [`HELD`] legs are held back, so that a leg which disappears between its neighbors, or a groove
//! that is narrower than the nose, is found before the nose gets there. Further ahead nothing is
//! seen, here as on a control.
//!
//! Where something is wrong, a [`Trouble`] is told and the path goes on in the most sensible way:
//! what the nose cannot follow is left out, and what is before and behind it is joined.
//!
//! What the trade does not agree on, and what is done here:
//! - The start-up move ends square to the next leg's start, the move with G40 begins square to
//!   the last leg's end (common practice; other controls enter in other ways).
//! - G40 without a move: the tip goes back onto the programmed point at once (from memory).
//! - From left to right while on: the last leg ends square, and the next move starts up anew.
//! - A leg that would run backward is an overcut even where the nose would fit if it were left
//!   out, as beside a step lower than the nose with round corners (from memory: controls stop).
//!
//! Not looked at: whether the start-up move, the move with G40, or a rapid cut into anything; what
//! is further apart than the legs held back; the sign of the radius.

mod corner;
mod curve;
mod few;
mod follow;

use crate::action::{Feed, Path};
use crate::event::{Point, Spot};
use corner::{Kind, Piece, Round};
use curve::{Beside, Curve, Vector, is_an_arc};
use few::Few;
use model::Length;

/// So many legs wait for what comes behind them.
pub const HELD: usize = 3;
/// Room for these, one more, and the links between them.
const ROOM: usize = 4 * HELD + 4;

/// On which side of the path the nose goes, seen in the direction of travel with X up and Z to
/// the right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// G41.
    Left,
    /// G42.
    Right,
}

/// How the legs at an outside corner are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outside {
    /// By straight extensions.
    Straight,
    /// By an arc about the corner.
    Round,
}

/// A tool nose.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Nose {
    /// Its radius.
    pub radius: Length,
    /// Where the imaginary tip lies, 1 to 8; anything else: in the nose center.
    pub tip: u8,
}

impl Nose {
    /// From the nose center to the imaginary tip: (dr, dz) in nose radii.
    ///
    /// Source: common practice, from memory; the same for every turret, being in coordinates.
    pub const fn tip_from_center(self) -> (i8, i8) {
        match self.tip {
            1 => (1, 1),
            2 => (1, -1),
            3 => (-1, -1),
            4 => (-1, 1),
            5 => (0, 1),
            6 => (1, 0),
            7 => (0, -1),
            8 => (-1, 0),
            _ => (0, 0),
        }
    }
}

/// One move.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    /// Its start.
    pub from: Point,
    /// Its end.
    pub to: Point,
    /// How it goes there.
    pub path: Path,
    /// The feed in force.
    pub feed: Feed,
    /// The word that makes it.
    pub spot: Spot,
    /// Counts the programmed moves, so that what stands between two of them can be told.
    pub serial: u32,
}

/// What a control would stop at, or cut wrongly.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
    /// A concave arc is smaller than the nose.
    ArcTooSmall {
        /// By this.
        by: Length,
    },
    /// The nose does not fit: the leg would run backward, or the nose would cut into another one
    /// by more than a micrometer. At most one is told of each move taken.
    Overcut,
    /// The start-up move is shorter than the nose radius.
    StartTooShort,
    /// The offset is switched on for an arc.
    StartOnArc,
    /// The offset is switched off for an arc.
    EndOnArc,
    /// A tool is called while the offset is on.
    LeftOn,
}

/// Where the follower tells what it found.
struct Told<'a> {
    out: &'a mut Vec<Leg>,
    troubles: &'a mut Vec<(Spot, Trouble)>,
    /// Whether an overcut was told of the move just taken: one is enough.
    overcut: bool,
}

impl<'a> Told<'a> {
    fn new(out: &'a mut Vec<Leg>, troubles: &'a mut Vec<(Spot, Trouble)>) -> Told<'a> {
        Told { out, troubles, overcut: false }
    }

    fn trouble(&mut self, leg: &Leg, trouble: Trouble) {
        self.troubles.push((leg.spot, trouble));
    }

    fn overcut(&mut self, leg: &Leg) {
        if !self.overcut {
            self.trouble(leg, Trouble::Overcut);
        }
        self.overcut = true;
    }
}

/// Follows a programmed path with the nose beside it, from G41 or G42 to G40.
#[derive(Debug, Clone, PartialEq)]
pub struct Follower {
    nose: Nose,
    round: Round,
    /// From the nose center to the imaginary tip in millimeters.
    tip: Vector,
    /// Whether the start-up move is behind.
    started: bool,
    /// What is not yet decided, in order; the first has its begin fixed.
    waiting: Few<Piece, ROOM>,
    /// The last leg, ended square to its end, where nothing waits.
    last: Option<Piece>,
    /// The last move that was taken.
    taken: Option<Leg>,
    /// Where the imaginary tip ends with what was decided.
    at: Option<Point>,
}

impl Follower {
    /// A nose that has still to start up.
    pub fn new(nose: Nose, side: Side, outside: Outside) -> Follower {
        let radius = nose.radius.abs().mm();
        let (dr, dz) = nose.tip_from_center();
        let side = match side {
            Side::Left => 1.0,
            Side::Right => -1.0,
        };
        Follower {
            nose,
            round: Round { radius, side, outside },
            tip: Vector { z: f64::from(dz), r: f64::from(dr) } * radius,
            started: false,
            waiting: Few::new(),
            last: None,
            taken: None,
            at: None,
        }
    }

    /// Where the imaginary tip is when all legs told so far are done; none before the first.
    pub const fn at(&self) -> Option<Point> {
        self.at
    }

    /// Takes the next programmed move. The legs that are now decided go to `out` as moves of the
    /// imaginary tip, one behind the other, each with the spot and feed of the leg it belongs to;
    /// what is wrong goes to `troubles`.
    ///
    /// The first move starts up and must be straight. A move without length changes nothing. A
    /// move that does not begin at the end of the one before is taken as if nothing had been
    /// known ahead there.
    pub fn push(&mut self, leg: Leg, out: &mut Vec<Leg>, troubles: &mut Vec<(Spot, Trouble)>) {
        let told = &mut Told::new(out, troubles);
        let leg = Leg { path: sound(leg.path), ..leg };
        if is_idle(&leg) {
            return;
        }
        if self.taken.is_some_and(|taken| taken.to != leg.from) {
            self.end_square(told);
            self.last = None;
        }
        self.taken = Some(leg);
        let at = *self.at.get_or_insert(leg.from);
        if !self.started {
            return self.start(leg, at, told);
        }
        match Curve::beside(&leg, self.round.side * self.round.radius) {
            Beside::Curve(curve) => {
                self.follow(Piece::new(Kind::Leg, leg, curve), told);
                self.inspect(false, told);
            }
            Beside::Nothing => {}
            Beside::TooSmall(by) => {
                told.trouble(&leg, Trouble::ArcTooSmall { by: Length::nearest_mm(by) });
            }
        }
        self.release(told);
    }

    /// Nothing more is known ahead: what waits is decided, and the last leg ends square to its
    /// own end. The offset stays on.
    ///
    /// At an inside corner the nose then stands in the next leg's way, which is an overcut, told
    /// at that next leg.
    pub fn settle(&mut self, out: &mut Vec<Leg>, troubles: &mut Vec<(Spot, Trouble)>) {
        self.end_square(&mut Told::new(out, troubles));
    }

    /// Another nose or side while on: what waits is settled, and the next move starts up anew.
    pub fn change(
        &mut self,
        nose: Nose,
        side: Side,
        out: &mut Vec<Leg>,
        troubles: &mut Vec<(Spot, Trouble)>,
    ) {
        self.settle(out, troubles);
        let (at, taken) = (self.at, self.taken);
        *self = Follower { taken, at, ..Follower::new(nose, side, self.round.outside) };
    }

    /// G40: what waits is settled, and the move, which must be straight, ends without offset.
    /// Without a move the tip goes straight back onto the programmed point, in the block and with
    /// the feed of the last leg. Afterward the next move would start up anew.
    pub fn cancel(
        &mut self,
        leg: Option<Leg>,
        out: &mut Vec<Leg>,
        troubles: &mut Vec<(Spot, Trouble)>,
    ) {
        let told = &mut Told::new(out, troubles);
        self.end_square(told);
        if let Some(leg) = leg {
            let leg = Leg { path: sound(leg.path), ..leg };
            let at = *self.at.get_or_insert(leg.from);
            if at != leg.from && matches!(leg.path, Path::Arc(_)) {
                told.trouble(&leg, Trouble::EndOnArc);
                told.out.push(Leg { from: at, to: leg.from, path: Path::Line, ..leg });
                told.out.push(leg);
            } else if at != leg.to || !is_idle(&leg) {
                told.out.push(Leg { from: at, ..leg });
            }
        } else if let (Some(at), Some(taken)) = (self.at, self.taken)
            && at != taken.to
        {
            let path = if taken.path == Path::Rapid { Path::Rapid } else { Path::Line };
            told.out.push(Leg { from: at, path, ..taken });
        }
        self.begin_anew();
    }

    /// A move without offset comes between (G28, G53): what waits is settled, and the next move
    /// starts up anew, from where it then begins. Gives the point where the imaginary tip is left
    /// standing; none where it never moved.
    pub fn suspend(
        &mut self,
        out: &mut Vec<Leg>,
        troubles: &mut Vec<(Spot, Trouble)>,
    ) -> Option<Point> {
        self.settle(out, troubles);
        let at = self.at;
        self.begin_anew();
        at
    }

    fn begin_anew(&mut self) {
        let side = if self.round.side > 0.0 { Side::Left } else { Side::Right };
        *self = Follower::new(self.nose, side, self.round.outside);
    }

    /// The start-up move.
    fn start(&mut self, leg: Leg, at: Point, told: &mut Told<'_>) {
        let curve = Curve::beside(&leg, self.round.side * self.round.radius);
        let (Beside::Curve(curve), Path::Rapid | Path::Line) = (curve, leg.path) else {
            told.trouble(&leg, Trouble::StartOnArc);
            told.out.push(Leg { from: at, ..leg });
            self.at = Some(leg.to);
            return;
        };
        if is_shorter(&leg, self.nose.radius) {
            told.trouble(&leg, Trouble::StartTooShort);
        }
        self.started = true;
        self.waiting.push(Piece::new(Kind::Approach, leg, curve));
    }
}

/// The path, straight where its arc has no radius or length.
fn sound(path: Path) -> Path {
    match path {
        Path::Arc(arc) if !is_an_arc(&arc) => Path::Line,
        path => path,
    }
}

/// Whether a move goes nowhere.
fn is_idle(leg: &Leg) -> bool {
    leg.from == leg.to && !matches!(leg.path, Path::Arc(_))
}

/// Whether the ends of a move are nearer than this.
fn is_shorter(leg: &Leg, than: Length) -> bool {
    let square = |length: Length| i128::from(length.nm()).pow(2);
    square(leg.to.r - leg.from.r).saturating_add(square(leg.to.z - leg.from.z)) < square(than)
}
