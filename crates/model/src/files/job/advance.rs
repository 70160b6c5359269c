//! `[advance]` of a job file: how the bar is advanced.

use crate::Length;
use crate::files::keys::Keys;
use crate::quantity::Probability;

/// How the bar is advanced.
#[derive(Debug, Clone, PartialEq)]
pub struct Advance {
    /// Parts cut in one advance; where they are to be chosen, one until they are.
    pub parts: u32,
    /// The most that may be chosen; none where the number is given.
    pub most_parts: Option<u32>,
    /// Raw stock in front of the finished face after every advance.
    pub face_stock: Length,
    /// Extra stock in front of the first part of a bar.
    pub first_face: Length,
    /// From the parting tool's chuck-side edge to the jaw face; none: the least the gripper needs.
    pub jaw_clearance: Option<Length>,
    /// Chance, over one bar, that a pull is so short that a part is lost.
    pub risk: Probability,
}

pub(super) fn keys(keys: &Keys<'_>) -> Advance {
    let some = Length::ZERO..=Length::from_mm(500);
    let most_parts = keys
        .count("most_parts", "the most parts cut in one advance, to be chosen by the plan", 1..=50)
        .optional();
    if most_parts.is_some() && keys.stands("parts") {
        let message = "the parts of an advance are given and to be chosen";
        keys.trouble("most_parts", message, "keep `parts` or `most_parts`");
    }
    Advance {
        parts: keys.count("parts", "parts cut in one advance", 1..=50).or(1) as u32,
        most_parts: most_parts.map(|parts| parts as u32),
        face_stock: keys
            .length("face_stock", "raw stock in front of the finished face after every advance", some.clone())
            .required(),
        first_face: keys
            .length("first_face", "extra stock in front of the first part of a bar", some.clone())
            .or(Length::ZERO),
        jaw_clearance: keys
            .length(
                "jaw_clearance",
                "from the parting tool's chuck-side edge to the jaw face; left out, the least the gripper needs",
                some,
            )
            .optional(),
        risk: Probability::from_ratio(
            keys.number("risk", "chance, over one bar, that a short pull loses a part", "", 1e-9..=0.5)
                .or(0.001),
        ),
    }
}
