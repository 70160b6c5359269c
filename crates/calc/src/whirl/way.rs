//! The way of the bar through the lathe, and the bar on it at each part.

use model::Length;
use model::quantity::{Density, Force, Mass, Modulus, Stiffness, TiltStiffness};

use super::{Beam, Bow, Holds, Section, Support, WhirlError};
use crate::bar::Division;

/// A figure with the range that it is known to lie in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Between<T> {
    /// Lowest.
    pub low: T,
    /// What to expect.
    pub likely: T,
    /// Highest.
    pub high: T,
}

impl<T: Copy> Between<T> {
    /// A figure that is known without scatter.
    pub fn exactly(value: T) -> Between<T> {
        Between { low: value, likely: value, high: value }
    }
}

/// How the jaws hold the bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum JawHold {
    /// In place and in line, all along their length.
    Rigid,
    /// As springs in the middle of the length they hold.
    Springs {
        /// Sideways.
        lateral: Stiffness,
        /// Against tilt.
        tilt: TiltStiffness,
    },
}

/// The way of the bar from the jaw face to the rear; places count from the jaw face backward.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// Length of bar that the jaws hold when full.
    pub jaw_length: Length,
    /// How they hold it.
    pub jaws: JawHold,
    /// What guides the bar behind the jaws.
    pub supports: Vec<Support>,
    /// Rear end of the spindle or its liner.
    pub rear_end: Length,
    /// Inside diameter of the spindle, which stops a bar that bends out; none where not known.
    pub bore: Option<Length>,
    /// Supports with more play on the radius than this do not count as supports: they stop a bar,
    /// but do not guide it.
    pub most_play: Length,
    /// Stiffness of springs and beds is known within this factor, at least 1.
    pub stiffness_within: f64,
}

impl Way {
    /// Most play on the radius with which a ring or liner counts as a support, where the shop
    /// says nothing: 0.5 mm. "A liner close to bar size" is common practice; the figure is from
    /// memory.
    pub const MOST_PLAY: Length = Length::from_um(500);

    /// Factor within which stiffness is known, where the shop says nothing: 2, from memory. It moves
    /// the range only; what is measured on one's own lathe is better.
    pub const STIFFNESS_WITHIN: f64 = 2.0;

    /// Nothing but rigid jaws.
    pub fn of_jaws(jaw_length: Length, rear_end: Length) -> Way {
        Way {
            jaw_length,
            jaws: JawHold::Rigid,
            supports: Vec::new(),
            rear_end,
            bore: None,
            most_play: Way::MOST_PLAY,
            stiffness_within: Way::STIFFNESS_WITHIN,
        }
    }

    /// Whether a support guides the bar.
    fn guides(&self, support: &Support) -> bool {
        !support.is_loose() || support.play <= self.most_play
    }
}

/// The bar as it goes into the spindle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stock {
    /// Its section.
    pub section: Section,
    /// Its length when new.
    pub length: Length,
    /// How much longer or shorter it may be.
    pub length_tolerance: Length,
    /// Stress over strain of its material.
    pub modulus: Between<Modulus>,
    /// Mass of a volume of its material.
    pub density: Between<Density>,
    /// How bent it is.
    pub bow: Bow,
}

/// A bar from the first part to the last.
#[derive(Debug, Clone, PartialEq)]
pub struct Life {
    /// The bar.
    pub stock: Stock,
    /// Its way through the lathe.
    pub way: Way,
    /// How it is divided into parts.
    pub division: Division,
    /// Highest speed as a fraction of the lowest critical speed.
    pub separation: f64,
    /// Largest side force that the spindle is to bear; none where it is not known.
    pub most_side_force: Option<Force>,
}

/// Which supports take part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Taking {
    /// Those that guide the bar.
    Guides,
    /// Those that have no play.
    Tight,
    /// All, and the bore, each with its play.
    Stops,
}

impl Life {
    /// Highest speed as a fraction of the critical speed, where the shop says nothing: 0.7.
    ///
    /// Drive shafts and screws are run up to 0.75 to 0.8 of their critical speed (common
    /// practice). At 0.7 an evenly bent bar bends out to 1.96 of its bow, `1/(1 − 0.7²)`; at 0.8
    /// to 2.78 of it. A bar is bent more than a screw, so this takes the lower.
    pub const SEPARATION: f64 = 0.7;

    /// Bar in front of the jaw face while this part, from 1, is cut.
    ///
    /// # Errors
    /// [`WhirlError::Parts`] for part zero, a division that is none, or where no bar is left in
    /// the jaws.
    pub fn stick_out(&self, part: u32) -> Result<Length, WhirlError> {
        let (within, _) = self.place(part)?;
        let gone = self.division.pitch() * i64::from(within);
        let first = if part == 1 { self.division.first_face } else { Length::ZERO };
        Ok(self.division.stick_out() + first - gone)
    }

    /// Bar behind the jaw face while this part, from 1, is cut.
    ///
    /// # Errors
    /// As [`Life::stick_out`].
    pub fn behind(&self, part: u32) -> Result<Length, WhirlError> {
        let (_, advances) = self.place(part)?;
        let drawn = self.division.advance() * i64::from(advances);
        let out = self.division.stick_out() + self.division.first_face;
        let behind = self.stock.length - out - drawn;
        if behind.is_positive() { Ok(behind) } else { Err(WhirlError::Parts) }
    }

    /// How far the longest new bar hangs out behind the rear end: anything above zero is a stop, since
    /// nothing guides or guards it there.
    ///
    /// # Errors
    /// As [`Life::stick_out`].
    pub fn hangs_out(&self) -> Result<Length, WhirlError> {
        let longest = self.behind(1)? + self.stock.length_tolerance;
        Ok((longest - self.way.rear_end).max(Length::ZERO))
    }

    /// The same with a bar that is longer by so much, and surely so long.
    pub(super) fn longer(&self, by: Length) -> Life {
        let mut other = self.clone();
        other.stock.length += by;
        other.stock.length_tolerance = Length::ZERO;
        other
    }

    /// Whether the shortest bar rests on supports otherwise than the longest does. Where both rest
    /// alike, the longer tail swings more slowly (Rayleigh).
    pub(super) fn rests_otherwise(&self, part: u32) -> Result<bool, WhirlError> {
        let (behind, tolerance) = (self.behind(part)?, self.stock.length_tolerance);
        let between = |support: &Support| {
            support.at <= behind + tolerance && support.end().max(support.at) > behind - tolerance
        };
        Ok(self.way.supports.iter().any(between) || self.way.jaw_length > behind - tolerance)
    }

    /// Parts cut before in the same advance, and advances before that.
    fn place(&self, part: u32) -> Result<(u32, u32), WhirlError> {
        let division = self.division.checked().map_err(|_| WhirlError::Parts)?;
        let before = part.checked_sub(1).ok_or(WhirlError::Parts)?;
        Ok((before % division.parts_per_advance, before / division.parts_per_advance))
    }

    /// The bar on its supports while this part is cut; places count from its front end.
    pub(super) fn beam(&self, part: u32, taking: Taking) -> Result<Beam, WhirlError> {
        if !(self.way.stiffness_within >= 1.0 && self.way.stiffness_within.is_finite()) {
            return Err(WhirlError::Stiffness);
        }
        let (front, behind) = (self.stick_out(part)?, self.behind(part)?);
        let mut supports = self.jaws(front, behind)?;
        let bore = (taking == Taking::Stops).then(|| self.bore(behind)).flatten();
        for support in self.way.supports.iter().chain(&bore) {
            let wanted = match taking {
                Taking::Guides => self.way.guides(support),
                Taking::Tight => !support.is_loose(),
                Taking::Stops => true,
            };
            // What the bar has left behind holds nothing.
            if wanted && !support.at.is_negative() && support.at <= behind {
                supports.push(moved(support, front, front + behind));
            }
        }
        Ok(Beam {
            section: self.stock.section,
            length: front + behind,
            modulus: self.stock.modulus.likely,
            density: self.stock.density.likely,
            supports,
            masses: Vec::<(Length, Mass)>::new(),
        })
    }

    fn jaws(&self, front: Length, behind: Length) -> Result<Vec<Support>, WhirlError> {
        if !self.way.jaw_length.is_positive() {
            return Err(WhirlError::Place);
        }
        let held = self.way.jaw_length.min(behind);
        Ok(match self.way.jaws {
            JawHold::Rigid => {
                vec![Support::new(front, Holds::Clamp), Support::new(front + held, Holds::Clamp)]
            }
            JawHold::Springs { lateral, tilt } => {
                vec![Support::new(front + held.half(), Holds::Spring { lateral, tilt })]
            }
        })
    }

    /// The bore of the spindle as something that stops the bar.
    fn bore(&self, behind: Length) -> Option<Support> {
        let across = Length::nearest_mm(2.0 * self.stock.section.reach_mm());
        let play = (self.way.bore? - across).half();
        let from = self.way.jaw_length;
        let to = behind.min(self.way.rear_end);
        (play.is_positive() && to > from).then_some(Support {
            at: from,
            holds: Holds::Liner { to },
            play,
        })
    }
}

/// A support told from the bar's front end and cut off at its rear end.
fn moved(support: &Support, front: Length, rear: Length) -> Support {
    let end = |to: Length| (front + to).min(rear);
    let holds = match support.holds {
        Holds::Liner { to } => Holds::Liner { to: end(to) },
        Holds::Bed { to, stiffness } => Holds::Bed { to: end(to), stiffness },
        other => other,
    };
    Support { at: front + support.at, holds, play: support.play }
}
