//! `[rates]` of a shop file: what an hour, an edge's change, a kilogram of scrap costs, and how a price is made.

use super::money;
use crate::files::keys::Keys;
use crate::money::Money;
use crate::quantity::{Probability, Seconds};

/// From so many parts on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Break {
    /// Parts.
    pub quantity: u32,
    /// Share of the price that is margin; none for the shop's usual one.
    pub margin: Option<f64>,
}

/// What the scrap of a material is sold for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScrapPrice {
    /// The name of the material, as job files have it.
    pub material: String,
    /// Each kilogram of chips.
    pub chips: Money,
    /// Each kilogram of solid pieces: stubs, ends, rests too short to keep.
    pub solid: Money,
}

/// How often and how long a part is gauged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gauging {
    /// One of so many parts.
    pub every: u32,
    /// A person's time for it.
    pub time: Seconds,
}

/// How far figures scatter: nine of ten lie between the figure divided by this and times this.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scatter {
    /// The time of the lathe beside what the plan reckons.
    pub time: f64,
    /// The time for setting up.
    pub set_up: f64,
    /// The parts at which edges are changed.
    pub edge_life: f64,
    /// The share of parts that are lost.
    pub scrap: f64,
    /// The price of material.
    pub material: f64,
}

/// What the shop reckons with.
#[derive(Debug, Clone, PartialEq)]
pub struct Rates {
    /// An hour of the lathe, working or being set up.
    pub lathe_hour: Money,
    /// An hour of a person at the lathe.
    pub person_hour: Money,
    /// An hour of a person at the desk.
    pub programming_hour: Money,
    /// Time at the desk for a part that was not made before.
    pub programming: Seconds,
    /// Time of lathe and person for setting up an order.
    pub set_up: Seconds,
    /// Parts that are lost while an order is set up.
    pub set_up_parts: u32,
    /// Time that a new bar takes, of lathe and person.
    pub load_bar: Seconds,
    /// Share of a person that the lathe takes while it works by itself.
    pub attention: Probability,
    /// How parts are gauged; none where the file says nothing of it.
    pub gauging: Option<Gauging>,
    /// Share of the parts made that are lost while the order runs.
    pub scrap: Probability,
    /// What the lathe takes over the time that the plan reckons.
    pub time_factor: f64,
    /// What is put on the shop's own work, as a share of it.
    pub overhead: f64,
    /// What is put on material, as a share of it.
    pub material_overhead: f64,
    /// Share of the price that is margin.
    pub margin: f64,
    /// The least that an order is charged.
    pub minimum: Money,
    /// Share of its price that a rest is credited with which goes back to the rack.
    pub rest_credit: f64,
    /// What scrap is sold for.
    pub scrap_prices: Vec<ScrapPrice>,
    /// Quantities that are quoted beside the order's own.
    pub breaks: Vec<Break>,
    /// How far figures scatter.
    pub scatter: Scatter,
}

/// A time in minutes of at most a day.
pub(super) fn minutes(
    keys: &Keys<'_>,
    key: &'static str,
    meaning: &'static str,
) -> Option<Seconds> {
    let minutes = keys.number(key, meaning, "min", 0.0..=1440.0).optional()?;
    Some(Seconds::from_s(60.0 * minutes))
}

fn minutes_or(keys: &Keys<'_>, key: &'static str, meaning: &'static str, or: f64) -> Seconds {
    Seconds::from_s(60.0 * keys.number(key, meaning, "min", 0.0..=1440.0).or(or))
}

fn minutes_required(keys: &Keys<'_>, key: &'static str, meaning: &'static str) -> Seconds {
    Seconds::from_s(60.0 * keys.number(key, meaning, "min", 0.0..=1440.0).required())
}

/// An amount that must be there.
fn required(keys: &Keys<'_>, key: &'static str, meaning: &'static str) -> Money {
    let amount = keys.number(key, meaning, "the shop's coin", 0.0..=1e6).required();
    Money::exactly(amount).unwrap_or_else(|| {
        super::too_fine(keys, key);
        Money::ZERO
    })
}

fn share(keys: &Keys<'_>, key: &'static str, meaning: &'static str, most: f64, or: f64) -> f64 {
    keys.number(key, meaning, "", 0.0..=most).or(or)
}

/// Every key of `[rates]`.
pub(super) fn keys(keys: &Keys<'_>) -> Rates {
    let person_hour = required(keys, "person_hour", "what an hour of a person at the lathe costs");
    let rates = Rates {
        lathe_hour: required(keys, "lathe_hour", "what an hour of the lathe costs, working or being set up"),
        person_hour,
        programming_hour: money(
            keys,
            "programming_hour",
            "what an hour at the desk costs; left out, as at the lathe",
        )
        .unwrap_or(person_hour),
        programming: minutes_or(keys, "programming", "time at the desk for a part that was not made before", 0.0),
        set_up: minutes_required(keys, "set_up", "time of lathe and person for setting up an order"),
        set_up_parts: keys
            .count("set_up_parts", "parts that are lost while an order is set up", 0..=1000)
            .or(0) as u32,
        load_bar: minutes_required(keys, "load_bar", "time that a new bar takes, of lathe and person"),
        attention: Probability::from_ratio(
            keys.number(
                "attention",
                "share of a person that the lathe takes while it works by itself",
                "",
                0.0..=1.0,
            )
            .required(),
        ),
        gauging: gauging(keys),
        scrap: Probability::from_ratio(share(
            keys,
            "scrap",
            "share of the parts made that are lost while the order runs",
            0.5,
            0.0,
        )),
        time_factor: keys
            .number(
                "time_factor",
                "time of the lathe, divided by what the plan reckons",
                "",
                0.5..=3.0,
            )
            .or(1.0),
        overhead: share(keys, "overhead", "what is put on the shop's own work, as a share of it", 10.0, 0.0),
        material_overhead: share(
            keys,
            "material_overhead",
            "what is put on material, as a share of it",
            10.0,
            0.0,
        ),
        margin: share(keys, "margin", "share of the price that is margin", 0.9, 0.0),
        minimum: money(keys, "minimum", "the least that an order is charged").unwrap_or_default(),
        rest_credit: share(
            keys,
            "rest_credit",
            "share of its price that a rest is credited with which goes back to the rack",
            1.0,
            0.0,
        ),
        scrap_prices: keys.list("scrap_price", "what the scrap of a material is sold for", |keys| ScrapPrice {
            material: keys
                .text("material", "the name of the material, as job files have it")
                .required(),
            chips: money(keys, "chips_kg", "what a kilogram of chips is sold for").unwrap_or_default(),
            solid: money(keys, "solid_kg", "what a kilogram of stubs and ends is sold for")
                .unwrap_or_default(),
        }),
        breaks: keys.list("break", "a quantity that is quoted beside the order's own", |keys| Break {
            quantity: keys.count("quantity", "parts", 1..=10_000_000).required() as u32,
            margin: keys
                .number("margin", "share of the price that is margin; left out, the usual one", "", 0.0..=0.9)
                .optional(),
        }),
        scatter: keys
            .optional_table(
                "scatter",
                "how far figures scatter: nine of ten lie between the figure divided by this and times this",
                scatter,
            )
            .unwrap_or(Scatter { time: 1.1, set_up: 1.3, edge_life: 1.3, scrap: 2.0, material: 1.0 }),
    };
    breaks_differ(keys, &rates.breaks);
    rates
}

fn scatter(keys: &Keys<'_>) -> Scatter {
    let of = |key, meaning, or| keys.number(key, meaning, "", 1.0..=10.0).or(or);
    Scatter {
        time: of("time", "of the lathe's time beside what the plan reckons", 1.1),
        set_up: of("set_up", "of the time for setting up", 1.3),
        edge_life: of("edge_life", "of the parts at which edges are changed", 1.3),
        scrap: of("scrap", "of the share of parts that are lost", 2.0),
        material: of("material", "of the price of material", 1.0),
    }
}

fn gauging(keys: &Keys<'_>) -> Option<Gauging> {
    let every =
        keys.count("gauge_every", "one of so many parts is gauged", 1..=1_000_000).optional();
    let time = minutes(keys, "gauge", "a person's time for gauging a part");
    match (every, time) {
        (Some(every), Some(time)) => return Some(Gauging { every: every as u32, time }),
        (Some(_), None) if keys.sound("gauge") => {
            keys.needs("gauge_every", "gauging", &["gauge"]);
        }
        (None, Some(_)) if keys.sound("gauge_every") => {
            keys.needs("gauge", "gauging", &["gauge_every"]);
        }
        _ => {}
    }
    None
}

/// No quantity is quoted twice.
fn breaks_differ(keys: &Keys<'_>, breaks: &[Break]) {
    if !keys.sound("break") {
        return;
    }
    for (index, it) in breaks.iter().enumerate() {
        if breaks[..index].iter().any(|other| other.quantity == it.quantity) {
            let message = format!("{} parts are quoted twice", it.quantity);
            keys.trouble(&format!("break[{index}].quantity"), message, "take one of them out");
        }
    }
}
