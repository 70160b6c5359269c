//! What a tool takes, which way the spindle turns for it, and where it stands on the turret.

use super::{Hand, ToolKind, feed};
use crate::Length;
use crate::choices;
use crate::files::keys::Keys;
use crate::quantity::FeedPerRev;

choices! {
    /// Which way the spindle turns for a tool.
    Turns {
        Forward = "forward": "as M3",
        Reverse = "reverse": "as M4",
    }
}

/// What a tool takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Takes {
    /// Which way the spindle turns where the tool works at positive X; at negative X the other way.
    pub turns: Option<Turns>,
    /// Deepest cut, square to its way.
    pub most_depth: Option<Length>,
    /// Highest feed.
    pub most_feed: Option<FeedPerRev>,
}

/// Where the tip of a tool stands on the turret.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Seat {
    /// How far it stands out beyond the turret's rim, toward the spindle axis.
    pub beyond_rim: Option<Length>,
    /// How far it stands out beyond the turret's face, toward the chuck.
    pub beyond_face: Option<Length>,
}

/// The keys that say what a tool takes.
pub(super) fn takes(keys: &Keys<'_>, kind: ToolKind, hand: Hand) -> Takes {
    Takes {
        turns: keys
            .choice(
                "turns",
                "which way the spindle turns where it works at positive X; at negative X the other way",
            )
            .optional()
            .or(usual_turn(kind, hand)),
        most_depth: keys
            .length(
                "most_depth",
                "deepest cut that it takes, square to its way",
                Length::from_um(10)..=Length::from_mm(100),
            )
            .optional(),
        most_feed: feed(keys, "most_feed", "highest feed per revolution that it takes"),
    }
}

/// The keys that say where a tool stands.
pub(super) fn seat(keys: &Keys<'_>) -> Seat {
    let place = |key, meaning| {
        keys.length(key, meaning, Length::from_mm(-1000)..=Length::from_mm(1000)).optional()
    };
    Seat {
        beyond_rim: place(
            "beyond_rim",
            "how far its tip stands out beyond the turret's rim, toward the spindle axis",
        ),
        beyond_face: place(
            "beyond_face",
            "how far its tip stands out beyond the turret's face, toward the chuck",
        ),
    }
}

/// M3 is the way in which a right-hand drill or tap goes in: ISO 6983-1, from memory.
const fn usual_turn(kind: ToolKind, hand: Hand) -> Option<Turns> {
    match kind {
        ToolKind::SpotDrill | ToolKind::Drill | ToolKind::Reamer => Some(Turns::Forward),
        ToolKind::Tap => Some(match hand {
            Hand::Right => Turns::Forward,
            Hand::Left => Turns::Reverse,
        }),
        _ => None,
    }
}
