//! How a blank comes: how straight, and how its ends are.

use crate::Length;
use crate::choices;
use crate::files::keys::Keys;

choices! {
    /// How the ends of a blank were made.
    BarEnds {
        Sawn = "sawn": "square but for the saw",
        Sheared = "sheared": "pressed out of shape, with a burr",
        Parted = "parted": "parted off or faced on a lathe",
    }
}

choices! {
    /// How the outside of a bar was made.
    BarSurface {
        Ground = "ground": "ground or peeled",
        Drawn = "drawn": "cold drawn, or turned",
        Rolled = "rolled": "hot rolled, with its scale",
    }
}

/// The condition of a blank.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Condition {
    /// How far the middle of the bar stands off a straight edge; none where it is not known.
    pub bow: Option<Length>,
    /// Length of that straight edge.
    pub over: Length,
    /// How its ends were made; none where it is not known.
    pub ends: Option<BarEnds>,
    /// How its outside was made; none where it is not known.
    pub surface: Option<BarSurface>,
    /// Whether the end that goes through the liner has a chamfer; none where it is not known.
    pub chamfered: Option<bool>,
}

pub(super) fn keys(keys: &Keys<'_>) -> Condition {
    let bow = keys
        .length(
            "bow",
            "how far its middle stands off a straight edge, half of the run-out that a gauge shows when the bar is rolled",
            Length::ZERO..=Length::from_mm(100),
        )
        .optional();
    let over = keys
        .length(
            "over",
            "length of that straight edge",
            Length::from_mm(50)..=Length::from_mm(20_000),
        )
        .or(Length::from_mm(1000));
    if let (Some(bow), true, true) = (bow, keys.sound("bow"), keys.sound("over"))
        && bow > Length::from_nm(over.nm() / 10)
    {
        let message = "a bar this bent does not turn";
        keys.trouble("bow", message, "write at most a tenth of the straight edge");
    }
    Condition {
        bow,
        over,
        ends: keys.choice("ends", "how its ends were made").optional(),
        surface: keys.choice("surface", "how its outside was made; left out, drawn").optional(),
        chamfered: keys
            .flag("chamfered", "whether the end that goes through the liner has a chamfer")
            .optional(),
    }
}
