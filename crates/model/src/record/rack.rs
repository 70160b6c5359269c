//! What lies on the rack.

use super::name::Name;
use crate::choices;
use crate::length::Length;

choices! {
    /// Where an item of the rack comes from.
    RackedKind {
        Stock = "stock": "bars as they came in, or blanks sawn from them",
        Remnant = "remnant": "what was left in a spindle or of a sawn bar",
    }
}

/// Bars on the rack that are alike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Racked {
    /// What stands on the label.
    pub item: Name,
    /// Where it comes from.
    pub kind: RackedKind,
    /// The name of its material.
    pub material: Option<Name>,
    /// Diameter, or size across flats.
    pub size: Option<Length>,
    /// Length of one.
    pub length: Length,
    /// How many there are.
    pub count: u32,
    /// Heat number.
    pub heat: Option<Name>,
    /// Where it lies.
    pub place: Option<Name>,
}
