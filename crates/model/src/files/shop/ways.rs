//! `[[way]]` and `[investment]` of a shop file: ways of loading a lathe, and by what they are judged.

use super::money;
use super::rates::minutes;
use crate::files::keys::Keys;
use crate::money::Money;
use crate::quantity::{Probability, Seconds};
use crate::{Length, choices};

choices! {
    /// How stock comes to the edge.
    WayKind {
        Stop = "stop": "a person draws the bar to a stop for every advance",
        Slug = "slug": "a person chucks a sawn slug for every advance",
        Gripper = "gripper": "the gripper on the turret draws the bar",
        Magazine = "magazine": "a magazine feeds whole bars from behind",
    }
}

/// A way of loading.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// What the shop calls it.
    pub name: String,
    /// How stock comes to the edge.
    pub kind: WayKind,
    /// What it costs to buy.
    pub capital: Money,
    /// What it is worth when the years are over.
    pub resale: Money,
    /// What keeping it costs each year.
    pub upkeep: Money,
    /// What setting up takes beside the shop's usual time, of lathe and person.
    pub set_up: Seconds,
    /// Length of a bar; none for the job's blank.
    pub bar_length: Option<Length>,
    /// What is left of a bar at least; none for what the chuck and the stub need.
    pub remnant: Option<Length>,
    /// How long the lathe stands for an advance; none for the plan's own.
    pub feed: Option<Seconds>,
    /// A person's time for an advance.
    pub hand: Seconds,
    /// How long the lathe stands for a new bar or slug; none for the shop's usual time.
    pub change: Option<Seconds>,
    /// A person's time for a new bar or slug; none for the shop's usual time.
    pub load: Option<Seconds>,
    /// A person's time at the saw for each bar or slug.
    pub saw: Seconds,
    /// Share of a person that it takes while the lathe works; none for the shop's usual share.
    pub attention: Option<Probability>,
}

/// By what ways of loading are judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Investment {
    /// Interest a year, as a share.
    pub interest: f64,
    /// Years in which a way is used.
    pub years: u32,
    /// Parts like the job's that are made in a year.
    pub parts_a_year: u32,
    /// Parts of one order; none for the job's quantity.
    pub order: Option<u32>,
}

fn seconds(keys: &Keys<'_>, key: &'static str, meaning: &'static str) -> Option<Seconds> {
    keys.number(key, meaning, "s", 0.0..=86_400.0).optional().map(Seconds::from_s)
}

/// Every key of a `[[way]]`.
pub(super) fn way(keys: &Keys<'_>) -> Way {
    let none = Seconds::from_s(0.0);
    let way = Way {
        name: keys.text("name", "what the shop calls it").required(),
        kind: keys.choice("kind", "how stock comes to the edge").required(),
        capital: money(keys, "capital", "what it costs to buy").unwrap_or_default(),
        resale: money(keys, "resale", "what it is worth when the years are over")
            .unwrap_or_default(),
        upkeep: money(keys, "upkeep", "what keeping it costs each year").unwrap_or_default(),
        set_up: minutes(
            keys,
            "set_up",
            "what setting up takes beside the usual time, of lathe and person",
        )
        .unwrap_or(none),
        bar_length: keys
            .length(
                "bar_length",
                "length of a bar; left out, the job's blank",
                Length::from_mm(10)..=Length::from_mm(20_000),
            )
            .optional(),
        remnant: keys
            .length(
                "remnant",
                "what is left of a bar at least; left out, what chuck and stub need",
                Length::ZERO..=Length::from_mm(5_000),
            )
            .optional(),
        feed: seconds(
            keys,
            "feed",
            "how long the lathe stands for an advance; left out, the plan's own",
        ),
        hand: seconds(keys, "hand", "a person's time for an advance").unwrap_or(none),
        change: minutes(
            keys,
            "change",
            "how long the lathe stands for a new bar or slug; left out, the usual time",
        ),
        load: minutes(
            keys,
            "load",
            "a person's time for a new bar or slug; left out, the usual time",
        ),
        saw: minutes(keys, "saw", "a person's time at the saw for each bar or slug")
            .unwrap_or(none),
        attention: keys
            .number(
                "attention",
                "share of a person that it takes while the lathe works; left out, the usual share",
                "",
                0.0..=1.0,
            )
            .optional()
            .map(Probability::from_ratio),
    };
    hangs_together(keys, &way);
    way
}

/// What a way needs that the plan of a gripper does not know, and what it cannot have.
fn hangs_together(keys: &Keys<'_>, way: &Way) {
    if !keys.sound("kind") || !keys.stands("kind") {
        return;
    }
    let needed: &[&str] = match way.kind {
        WayKind::Stop => &["feed", "hand"],
        WayKind::Slug => &["change", "load"],
        WayKind::Gripper => &[],
        WayKind::Magazine => &["bar_length", "remnant", "feed", "change", "load"],
    };
    let missing: Vec<&str> =
        needed.iter().copied().filter(|key| keys.sound(key) && !keys.stands(key)).collect();
    keys.needs("kind", "this way of loading", &missing);
    if way.kind == WayKind::Slug && keys.stands("bar_length") && keys.sound("bar_length") {
        let help = "take the key out: a slug gives one advance";
        keys.trouble("bar_length", "a slug is as long as one advance needs", help);
    }
    if keys.sound("capital") && keys.sound("resale") && way.resale > way.capital {
        let help = "write at most what it costs to buy";
        keys.trouble(
            "resale",
            "it is worth more when the years are over than when it was bought",
            help,
        );
    }
}

/// Every key of `[investment]`.
pub(super) fn investment(keys: &Keys<'_>) -> Investment {
    Investment {
        interest: keys.number("interest", "interest a year, as a share", "", 0.0..=1.0).required(),
        years: keys.count("years", "years in which a way is used", 1..=50).required() as u32,
        parts_a_year: keys
            .count("parts_a_year", "parts like the job's that are made in a year", 1..=100_000_000)
            .required() as u32,
        order: keys
            .count("order", "parts of one order; left out, the job's quantity", 1..=10_000_000)
            .optional()
            .map(|count| count as u32),
    }
}
