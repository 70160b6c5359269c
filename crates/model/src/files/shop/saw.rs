//! `[saw]` of a shop file.

use crate::Length;
use crate::files::keys::Keys;

/// A saw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Saw {
    /// What it turns to chips.
    pub kerf: Length,
    /// What is sawn off a new stock bar first. A remnant was sawn already.
    pub end_trim: Length,
    /// Shortest rest that its clamp must still hold while the last blank is cut; zero where the last blank
    /// may end with the bar.
    pub least_clamp: Length,
    /// How much longer or shorter than meant a blank may come out.
    pub length_tolerance: Length,
}

impl Saw {
    /// A saw that takes nothing away; what a shop file without one means.
    pub const PLAIN: Saw = Saw {
        kerf: Length::ZERO,
        end_trim: Length::ZERO,
        least_clamp: Length::ZERO,
        length_tolerance: Length::ZERO,
    };
}

/// Every key of `[saw]`.
pub(super) fn keys(keys: &Keys<'_>) -> Saw {
    let some = || Length::ZERO..=Length::from_mm(500);
    Saw {
        kerf: keys.length("kerf", "what the saw turns to chips", some()).required(),
        end_trim: keys
            .length("end_trim", "what is sawn off a new stock bar's end first", some())
            .or(Length::ZERO),
        least_clamp: keys
            .length(
                "least_clamp",
                "shortest rest that the clamp must hold at the last cut; 0 where the last blank may end with the bar",
                some(),
            )
            .or(Length::ZERO),
        length_tolerance: keys
            .length(
                "length_tolerance",
                "how much longer or shorter than meant a blank may come out",
                Length::ZERO..=Length::from_mm(50),
            )
            .or(Length::ZERO),
    }
}
