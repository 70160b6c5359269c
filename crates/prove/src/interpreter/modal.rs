//! What stays in force from block to block.

use super::corner::Corner;
use super::cycles::{Depths, Fixed};
use super::frame::Frame;
use super::nose::NoseOffset;
use crate::action::{Feed, Speed};
use crate::event::Point;
use crate::lathe::away;
use crate::setup::Setup;
use model::Units;
use model::files::control::CodeSystem;
use model::quantity::{SpindleSpeed, SurfaceSpeed};

/// The motion that axis words alone go on with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum MotionMode {
    /// G0.
    #[default]
    Rapid,
    /// G1.
    Line,
    /// G2.
    Clockwise,
    /// G3.
    Counterclockwise,
    /// A thread with a constant lead.
    Thread,
    /// A thread whose lead changes with each turn.
    ThreadOfChangingLead,
    /// A fixed cycle, run again by each block with axis words.
    Cycle,
}

impl MotionMode {
    pub(super) const fn is_thread(self) -> bool {
        matches!(self, MotionMode::Thread | MotionMode::ThreadOfChangingLead)
    }
}

/// What stays in force.
#[expect(clippy::struct_excessive_bools, reason = "each is a pair of words of its own")]
#[derive(Debug, Clone, PartialEq)]
pub struct Modal {
    /// Units of the program.
    pub units: Units,
    /// Where the tool is told to stand, in the frame of the first work offset; with an offset of
    /// the nose radius in force, where its programmed contour stands.
    pub position: Point,
    /// What is added to programmed places to get there.
    pub frame: Frame,
    /// The motion that axis words alone go on with.
    pub motion: MotionMode,
    /// Whether feeds are per revolution.
    pub per_revolution: bool,
    /// The last feed, in mm; none before the first.
    pub feed: Option<f64>,
    /// Whether the last feed was given per revolution.
    pub feed_is_per_revolution: bool,
    /// Whether S is a surface speed.
    pub surface: bool,
    /// The last S, in rev/min or m/min.
    pub speed: Option<f64>,
    /// Whether axis words are increments.
    pub incremental: bool,
    /// Whether drilling cycles go back to their clear point only.
    pub return_to_clearance: bool,
    /// Whether another plane than that of Z and X is chosen.
    pub other_plane: bool,
    /// The turret station called last; 0 before the first.
    pub station: u32,
    /// A straight cut whose end waits for the block that follows it.
    pub corner: Option<Corner>,
    /// The fixed cycle in force.
    pub fixed: Option<Fixed>,
    /// What the cycles of two blocks keep from their first block.
    pub depths: Depths,
    /// The offset of the nose radius.
    pub nose: NoseOffset,
}

impl Modal {
    /// As after power-on.
    pub fn new(setup: &Setup) -> Modal {
        Modal {
            units: setup.control.numbers.power_on,
            position: away(setup),
            frame: Frame::new(),
            motion: MotionMode::Rapid,
            per_revolution: true,
            feed: None,
            feed_is_per_revolution: true,
            surface: false,
            speed: None,
            incremental: false,
            return_to_clearance: false,
            other_plane: false,
            station: 0,
            corner: None,
            fixed: None,
            depths: Depths::default(),
            nose: NoseOffset::default(),
        }
    }

    /// What a reset leaves: units, the place of the tool, and offsets.
    pub(super) fn after_reset(before: &Modal, setup: &Setup) -> Modal {
        Modal {
            units: before.units,
            position: before.position,
            frame: before.frame.after_reset(),
            ..Modal::new(setup)
        }
    }

    /// The feed as the lathe is to take it.
    pub fn feed(&self) -> Feed {
        match self.feed {
            None => Feed::None,
            Some(feed) if self.per_revolution => Feed::PerRevolution(feed),
            Some(feed) => Feed::PerMinute(feed),
        }
    }

    /// The speed as the lathe is to take it.
    pub fn speed(&self) -> Option<Speed> {
        let speed = self.speed?;
        Some(if self.surface {
            Speed::Surface(SurfaceSpeed::from_m_per_min(speed))
        } else {
            Speed::Fixed(SpindleSpeed::from_rpm(speed))
        })
    }

    /// How many of the program's own surface speed units make one m/min.
    pub const fn surface_unit(&self) -> f64 {
        match self.units {
            Units::Mm => 1.0,
            Units::Inch => 0.3048,
        }
    }

    /// Whether U and W are the increments of X and Z.
    pub const fn has_increment_words(system: CodeSystem) -> bool {
        matches!(system, CodeSystem::A)
    }
}
