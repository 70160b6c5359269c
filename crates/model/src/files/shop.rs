//! The shop file: what the shop has beside its lathes.

mod rack;
mod saw;

pub use rack::{Price, Rack, Remnant, StockBar};
pub use saw::Saw;

use super::Read;
use super::keys::{self, Keys, Origin};
use crate::money::Money;
use crate::source::Source;
use crate::{Length, Units};

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
    Shop {
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
    }
}

/// An amount of money, in the shop's coin with at most two decimals.
fn money(keys: &Keys<'_>, key: &'static str, meaning: &'static str) -> Option<Money> {
    let amount = keys.number(key, meaning, "the shop's coin", 0.0..=1e9).optional()?;
    let money = Money::exactly(amount);
    if money.is_none() && keys.sound(key) {
        keys.trouble(
            key,
            "this is finer than a hundredth of the coin",
            "write at most two decimals",
        );
        keys.spoil(key);
    }
    money
}
