//! `[numbers]` of a control file: how numbers are read.

use crate::choices;
use crate::files::keys::Keys;
use crate::{Length, Units};

choices! {
    /// What a number without a decimal point means.
    WithoutPoint {
        LeastIncrement = "least-increment": "counts least increments: X100 is 0.100 mm or 0.0100 in",
        WholeUnits = "whole-units": "counts millimeters or inches: X100 is 100 mm or 100 in",
    }
}

choices! {
    /// What the number of a dwell counts while feeds are per revolution.
    DwellCounts {
        Seconds = "seconds": "seconds, as always",
        Revolutions = "revolutions": "turns of the spindle",
    }
}

/// How numbers are read.
#[derive(Debug, Clone, PartialEq)]
pub struct Numbers {
    /// What a number without a point means.
    pub without_point: WithoutPoint,
    /// Least increment in millimeter programs.
    pub increment_mm: Length,
    /// Least increment in inch programs.
    pub increment_inch: Length,
    /// The units at power-on.
    pub power_on: Units,
    /// What a dwell counts while feeds are per revolution.
    pub dwell_counts: DwellCounts,
    /// How many of the last digits of a T word are the offset, 0 to 3.
    pub tool_offset_digits: u32,
}

pub(super) fn keys(keys: &Keys<'_>) -> Numbers {
    let fine = Length::from_nm(1)..=Length::from_um(100);
    Numbers {
        without_point: keys
            .choice("without_point", "what a number without a decimal point means")
            .required(),
        increment_mm: keys
            .length("increment_mm", "least increment in millimeter programs", fine.clone())
            .or(Length::from_um(1)),
        increment_inch: keys
            .length("increment_inch", "least increment in inch programs", fine)
            .or(Length::from_nm(2540)),
        power_on: match keys.choice("power_on_units", "units at power-on").or(PowerOn::Mm) {
            PowerOn::Mm => Units::Mm,
            PowerOn::Inch => Units::Inch,
        },
        dwell_counts: keys
            .choice("dwell_counts", "what a dwell counts while feeds are per revolution")
            .or(DwellCounts::Seconds),
        tool_offset_digits: keys
            .count(
                "tool_offset_digits",
                "how many of the last digits of a T word are the offset",
                0..=3,
            )
            .or(2) as u32,
    }
}

choices! {
    /// Units at power-on.
    PowerOn {
        Mm = "mm": "millimeters",
        Inch = "inch": "inches",
    }
}
