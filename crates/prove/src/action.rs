//! What one block asks of the lathe.

use crate::event::{Point, Spot};
use model::Length;
use model::files::control::{Code, Does};
use model::quantity::{Seconds, SpindleSpeed, SurfaceSpeed};

/// One thing that a block asks of the lathe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Action {
    /// The word that asks.
    pub spot: Spot,
    /// What it asks.
    pub ask: Ask,
}

/// The feed that is in force.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Feed {
    /// None was ever given.
    None,
    /// Millimeters a minute.
    PerMinute(f64),
    /// Millimeters a revolution.
    PerRevolution(f64),
    /// In step with the spindle, as threads are cut.
    Lead {
        /// Millimeters a revolution along the axis that goes further.
        lead: f64,
        /// How much the lead grows with each revolution, in millimeters.
        change: f64,
    },
}

/// The path of a move.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Path {
    /// At rapid.
    Rapid,
    /// Straight at feed.
    Line,
    /// On an arc at feed.
    Arc(Arc),
}

/// An arc from where the tool stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arc {
    /// Its center, radius and distance from the finished face in millimeters.
    pub center: (f64, f64),
    /// Its radius in millimeters.
    pub radius: f64,
    /// The angle it turns in radians, counter-clockwise positive with r up and z to the right.
    pub turn: f64,
}

impl Arc {
    /// Its length in millimeters.
    pub fn length(&self) -> f64 {
        self.radius * self.turn.abs()
    }

    /// Points on it from `start` on, both ends left out, a hundredth of a radian or less apart: the
    /// chords between are shorter than the arc by less than 5 millionths of its length.
    pub(crate) fn inner_points(self, start: Point) -> impl Iterator<Item = Point> {
        let pieces = (self.turn.abs() * 100.0).ceil().clamp(1.0, 1000.0) as u32;
        let (r, z) = self.center;
        let first = libm::atan2(start.r.mm() - r, start.z.mm() - z);
        let at = move |index: u32| {
            let angle = first + self.turn * f64::from(index) / f64::from(pieces);
            Point {
                r: Length::nearest_mm(r + self.radius * libm::sin(angle)),
                z: Length::nearest_mm(z + self.radius * libm::cos(angle)),
            }
        };
        (1..pieces).map(at)
    }
}

/// How the spindle's speed is given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Speed {
    /// A fixed speed.
    Fixed(SpindleSpeed),
    /// A surface speed.
    Surface(SurfaceSpeed),
}

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ask {
    /// Move to a point.
    Move {
        /// The end, in the frame of the first work offset.
        to: Point,
        /// The path.
        path: Path,
        /// The feed in force.
        feed: Feed,
    },
    /// Wait.
    Dwell(Seconds),
    /// Wait for so many turns of the spindle.
    DwellTurns(f64),
    /// Let the spindle stand for a moment, as a boring cycle does at the bottom.
    Rest,
    /// Turn the spindle on as before.
    TurnOn,
    /// Turn the spindle the other way, as at the bottom of a tapped hole.
    TurnBack,
    /// Another speed.
    Speed(Speed),
    /// From a surface speed to the fixed speed that the spindle just has.
    HoldSpeed,
    /// A highest speed.
    Clamp(SpindleSpeed),
    /// A function with a meaning that the control file gives.
    Function(Does, Code),
    /// A word that no file says anything about.
    Unknown(Code),
    /// A word that is read but not modelled.
    NotModelled(&'static str),
    /// Call a station with an offset.
    Index(u32, u32),
    /// M0, or a message that waits for a person.
    Halt,
    /// M1: a stop where its switch is on, which nobody can count on.
    OptionalHalt,
    /// M2 or M30.
    End(Code),
    /// An alarm or a message by the program.
    Message,
}
