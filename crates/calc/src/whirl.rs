//! The bar in the spindle: critical speeds, bow, sag, and the highest speed over a bar's life.
//!
//! A bar that turns near a natural frequency bends out until something stops it; a tail behind the
//! last support bends out first. Read in this order: [`Section`], [`Beam`],
//! [`modes()`], [`running`], [`Way`], [`Life`].

mod band;
mod beam;
mod bow;
mod limit;
mod modes;
mod section;
mod way;

pub use beam::{Beam, Holds, Support};
pub use bow::{Bent, Bow, flung_end, growth, running, sag, sag_estimate, unbalance};
pub use limit::{Curve, Limit, Reason, Stretch, left_out};
pub use modes::{Mode, modes};
pub use section::Section;
pub use way::{Between, JawHold, Life, Stock, Way};

use std::fmt;

/// Standard gravity in m/s².
const GRAVITY: f64 = 9.806_65;

/// Why nothing can be told about a bar in the spindle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhirlError {
    /// The section has no metal.
    Section,
    /// Stiffness or density of the material is no such figure.
    Material,
    /// The bar is shorter than 0.1 mm or longer than 100 m.
    Length,
    /// There are more supports than can be reckoned with.
    Supports,
    /// A support or mass lies outside of the bar, ends before it begins, or has play below zero.
    Place,
    /// A mass is below zero or above a thousand tonnes.
    Mass,
    /// A stiffness is below zero or not finite.
    Stiffness,
    /// The bar can move away without bending: too few supports hold it.
    Loose,
    /// No mode, or more than ten, was asked for.
    Modes,
    /// A bow stands off by less than nothing or by more than a tenth of its length.
    Bow,
    /// The speed is past a critical speed, and nothing stops the bar.
    AboveCritical,
    /// The bar does not give this part.
    Parts,
    /// The fraction of the critical speed is not between 0 and 1.
    Separation,
    /// The speed is below zero or not finite.
    Speed,
}

impl fmt::Display for WhirlError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            WhirlError::Section => "the bar's section has no metal",
            WhirlError::Material => "the material's stiffness or density is no such figure",
            WhirlError::Length => "the bar is shorter than 0.1 mm or longer than 100 m",
            WhirlError::Supports => "there are more than 64 supports",
            WhirlError::Place => "a support does not lie on the bar, or its play is below zero",
            WhirlError::Mass => "a mass is below zero or above a thousand tonnes",
            WhirlError::Stiffness => "the stiffness of a support is below zero or not finite",
            WhirlError::Loose => "too few supports hold the bar: it can move without bending",
            WhirlError::Modes => "one to ten modes can be reckoned",
            WhirlError::Bow => "a bow is from nothing to a tenth of its length",
            WhirlError::AboveCritical => "past a critical speed, and nothing stops the bar",
            WhirlError::Parts => "the bar does not give this part",
            WhirlError::Separation => "the fraction of the critical speed is not between 0 and 1",
            WhirlError::Speed => "the speed is below zero or not finite",
        })
    }
}

impl std::error::Error for WhirlError {}
