//! The shop file: what the shop has beside its lathes.

mod hours;
mod lathes;
mod people;
mod rack;
mod rates;
mod saw;
mod terms;
mod ways;

pub use hours::{DaySpan, Holiday, Hours, TimeOfDay, Weekday};
pub use lathes::{FloorLathe, Runs};
pub use people::{Attend, DOOR, Person, Walk};
pub use rack::{Price, Rack, Remnant, StockBar};
pub use rates::{Break, Gauging, Rates, Scatter, ScrapPrice};
pub use saw::Saw;
pub use terms::Terms;
pub use ways::{Investment, Way, WayKind};

use super::Read;
use super::keys::{self, Keys, Origin};
use crate::money::Money;
use crate::quantity::Seconds;
use crate::source::Source;
use crate::{Length, Units};
use std::ops::RangeInclusive;

/// A shop.
#[derive(Debug, Clone)]
pub struct Shop {
    /// Where its keys stand.
    pub origin: Origin,
    /// Units of its plain lengths.
    pub units: Units,
    /// What it is called.
    pub name: String,
    /// The name of its coin, as it stands behind an amount.
    pub currency: String,
    /// What loading one blank costs.
    pub loading: Money,
    /// The saw that blanks are cut with.
    pub saw: Saw,
    /// The bars that it has or can buy.
    pub rack: Rack,
    /// The name of its time zone in the tz database; none where its wall clock is never put forward or back.
    pub time_zone: Option<String>,
    /// Staffed hours.
    pub hours: Vec<Hours>,
    /// Days on which nobody is there.
    pub holidays: Vec<Holiday>,
    /// Who attends the lathes.
    pub people: Vec<Person>,
    /// The lathes on the floor.
    pub lathes: Vec<FloorLathe>,
    /// What attending takes.
    pub attend: Attend,
    /// Walks that take another time than `[attend]` says.
    pub walks: Vec<Walk>,
    /// What it reckons with; none where the file has no rates.
    pub rates: Option<Rates>,
    /// What stands on a customer's page beside the prices.
    pub terms: Terms,
    /// Ways of loading that it has or thinks of.
    pub ways: Vec<Way>,
    /// By what they are judged; none where the file says nothing of it.
    pub investment: Option<Investment>,
}

impl Shop {
    /// Reads a shop file.
    pub fn read(source: &Source) -> Read<Shop> {
        let read = keys::read(source, keys);
        let value = read.value.map(|(mut shop, origin)| {
            shop.origin = origin;
            shop
        });
        Read { value, diagnostics: read.diagnostics }
    }
}

/// Every key of a shop file.
pub(super) fn keys(keys: &Keys<'_>) -> Shop {
    let shop = Shop {
        origin: keys.origin(),
        units: keys.units(),
        name: keys.text("name", "what the shop is called").or(String::new()),
        currency: keys.text("currency", "the name of the shop's coin").or(String::new()),
        loading: money(keys, "loading", "what loading one blank costs").unwrap_or_default(),
        saw: keys
            .optional_table("saw", "the saw that blanks are cut with", saw::keys)
            .unwrap_or(Saw::PLAIN),
        rack: keys
            .optional_table("rack", "the bars that the shop has or can buy", rack::keys)
            .unwrap_or(Rack {
                least_useful: Length::from_mm(100),
                stock: Vec::new(),
                remnants: Vec::new(),
            }),
        time_zone: keys
            .text("time_zone", "its time zone, as \"Europe/Berlin\"; left out, the clock is never put forward or back")
            .optional(),
        hours: keys.list("hours", "staffed hours that persons share", hours::hours),
        holidays: keys.list("holiday", "days on which nobody is there", hours::holiday),
        people: keys.list("person", "someone who attends lathes", people::person),
        lathes: keys.list("lathe", "a lathe on the floor", lathes::lathe),
        attend: keys
            .optional_table("attend", "how long a person is at a lathe", people::attend)
            .unwrap_or(Attend::COMMON),
        walks: keys.list("walk", "a walk that takes another time", people::walk),
        rates: keys.optional_table("rates", "what the shop reckons with", rates::keys),
        terms: keys
            .optional_table(
                "quote",
                "what stands on a customer's page beside the prices",
                terms::keys,
            )
            .unwrap_or_default(),
        ways: keys.list("way", "a way of loading that the shop has or thinks of", ways::way),
        investment: keys.optional_table(
            "investment",
            "by what ways of loading are judged",
            ways::investment,
        ),
    };
    named_once(keys, &shop);
    known(keys, &shop);
    shop
}

/// A name that stands for one thing stands once.
fn named_once(keys: &Keys<'_>, shop: &Shop) {
    let lists: [(&str, Vec<&str>); 3] = [
        ("hours", shop.hours.iter().map(|it| it.name.as_str()).collect()),
        ("person", shop.people.iter().map(|it| it.name.as_str()).collect()),
        ("lathe", shop.lathes.iter().map(|it| it.name.as_str()).collect()),
    ];
    for (list, names) in lists {
        for (index, name) in names.iter().enumerate() {
            let key = format!("{list}[{index}].name");
            if !keys.sound(&key) {
                continue;
            }
            if names[..index].contains(name) {
                let message = format!("the name \"{name}\" stands here twice");
                keys.trouble(&key, message, "give each a name of its own");
            } else if list == "lathe" && *name == DOOR {
                let message = "\"door\" is where people come from, no lathe";
                keys.trouble(&key, message, "give the lathe another name");
            }
        }
    }
}

/// A name that is used is one that stands.
fn known(keys: &Keys<'_>, shop: &Shop) {
    let is_lathe = |name: &String| shop.lathes.iter().any(|lathe| lathe.name == *name);
    let lathes = "write the name of a [[lathe]] of this file";
    for (index, person) in shop.people.iter().enumerate() {
        let key = format!("person[{index}].hours");
        if keys.sound(&key) && !shop.hours.iter().any(|hours| hours.name == person.hours) {
            let message = format!("there are no hours called \"{}\"", person.hours);
            keys.trouble(&key, message, "write the name of an [[hours]] of this file");
        }
        if let Some(name) = person.lathes.iter().find(|name| !is_lathe(name)) {
            let message = format!("there is no lathe called \"{name}\"");
            keys.trouble(&format!("person[{index}].lathes"), message, lathes);
        }
    }
    for (index, walk) in shop.walks.iter().enumerate() {
        for (end, name) in [("from", &walk.from), ("to", &walk.to)] {
            let key = format!("walk[{index}].{end}");
            if keys.sound(&key) && name != DOOR && !is_lathe(name) {
                let message = format!("there is no lathe called \"{name}\"");
                keys.trouble(&key, message, format!("{lathes}, or \"door\""));
            }
        }
    }
}

/// A time, in minutes.
fn minutes(
    keys: &Keys<'_>,
    key: &'static str,
    meaning: &'static str,
    range: RangeInclusive<f64>,
) -> Option<Seconds> {
    let field = keys.number(key, meaning, "minutes", range);
    field.optional().map(|minutes| Seconds::from_s(minutes * 60.0))
}

/// An amount of money, in the shop's coin with at most two decimals.
fn money(keys: &Keys<'_>, key: &'static str, meaning: &'static str) -> Option<Money> {
    let amount = keys.number(key, meaning, "the shop's coin", 0.0..=1e9).optional()?;
    let money = Money::exactly(amount);
    if money.is_none() {
        too_fine(keys, key);
    }
    money
}

fn too_fine(keys: &Keys<'_>, key: &'static str) {
    if keys.sound(key) {
        keys.trouble(
            key,
            "this is finer than a hundredth of the coin",
            "write at most two decimals",
        );
        keys.spoil(key);
    }
}
