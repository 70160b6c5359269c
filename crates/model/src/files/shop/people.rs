//! `[[person]]`, `[[walk]]` and `[attend]` of a shop file: who attends the lathes, and how long it takes.

use super::minutes;
use crate::files::keys::Keys;
use crate::quantity::Seconds;

/// The name under which `[[walk]]` knows the way from which one comes to work.
pub const DOOR: &str = "door";

/// Someone who attends lathes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Person {
    /// The name.
    pub name: String,
    /// The name of the `[[hours]]` in which this person is there.
    pub hours: String,
    /// The lathes that this person attends; empty for all.
    pub lathes: Vec<String>,
    /// Days on which this person is away, as `2026-12-18`.
    pub away: Vec<String>,
}

/// The walk between two places, the same in both directions.
#[derive(Debug, Clone, PartialEq)]
pub struct Walk {
    /// A lathe, or `door`.
    pub from: String,
    /// A lathe, or `door`.
    pub to: String,
    /// How long it takes.
    pub takes: Seconds,
}

/// How long a person is at a lathe for each thing to be done there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Attend {
    /// Between two lathes, or the door and a lathe, where no `[[walk]]` says otherwise.
    pub walk: Seconds,
    /// A new bar loaded, first part gauged.
    pub load: Seconds,
    /// An edge changed and its first part gauged.
    pub edge: Seconds,
    /// A part gauged, and an offset moved where the size has drifted.
    pub gauge: Seconds,
    /// The parts catcher emptied.
    pub catcher: Seconds,
    /// The chips cleared.
    pub chips: Seconds,
    /// A look, where the shop leaves the lathe no longer.
    pub look: Seconds,
    /// The shortest that any of these takes, as a share of its time.
    pub quickest: f64,
    /// The longest that any of these takes, as a share of its time.
    pub slowest: f64,
}

/// Every key of a `[[person]]`.
pub(super) fn person(keys: &Keys<'_>) -> Person {
    Person {
        name: keys.text("name", "the name").required(),
        hours: keys.text("hours", "the name of the [[hours]] of this person").required(),
        lathes: keys
            .texts("lathes", "names of the lathes that this person attends; left out, all")
            .optional()
            .unwrap_or_default(),
        away: away(keys),
    }
}

fn away(keys: &Keys<'_>) -> Vec<String> {
    let dates = keys.texts("away", "days on which this person is away, as \"2026-12-18\"");
    dates.optional().unwrap_or_default()
}

/// Every key of a `[[walk]]`.
pub(super) fn walk(keys: &Keys<'_>) -> Walk {
    Walk {
        from: keys.text("from", "a lathe, or door").required(),
        to: keys.text("to", "a lathe, or door").required(),
        takes: minutes(keys, "takes", "how long the walk takes, either way", 0.0..=120.0)
            .unwrap_or_default(),
    }
}

impl Attend {
    /// What holds where a shop file says nothing of it; our own figures, for a person who knows the lathes.
    pub const COMMON: Attend = Attend {
        walk: Seconds::from_s(30.0),
        load: Seconds::from_s(240.0),
        edge: Seconds::from_s(180.0),
        gauge: Seconds::from_s(120.0),
        catcher: Seconds::from_s(60.0),
        chips: Seconds::from_s(240.0),
        look: Seconds::from_s(60.0),
        quickest: 0.7,
        slowest: 2.0,
    };
}

/// Every key of `[attend]`.
pub(super) fn attend(keys: &Keys<'_>) -> Attend {
    let common = Attend::COMMON;
    let time = |key, meaning, default: Seconds| {
        let field = keys.number(key, meaning, "minutes", 0.0..=480.0);
        Seconds::from_s(field.or(default.s() / 60.0) * 60.0)
    };
    let share =
        |key, meaning, range, default: f64| keys.number(key, meaning, "", range).or(default);
    Attend {
        walk: time("walk", "from one lathe to another, or from the door to one", common.walk),
        load: time("load", "a new bar loaded and its first part gauged", common.load),
        edge: time("edge", "an edge changed and its first part gauged", common.edge),
        gauge: time("gauge", "a part gauged, and an offset moved", common.gauge),
        catcher: time("catcher", "the parts catcher emptied", common.catcher),
        chips: time("chips", "the chips cleared", common.chips),
        look: time("look", "a look, where the shop leaves the lathe no longer", common.look),
        quickest: share(
            "quickest",
            "the shortest that any of these takes, as a share of its time",
            0.0..=1.0,
            common.quickest,
        ),
        slowest: share(
            "slowest",
            "the longest that any of these takes, as a share of its time",
            1.0..=100.0,
            common.slowest,
        ),
    }
}
