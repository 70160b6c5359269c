//! The shop file: what the shop has beside its lathes.

mod rack;
mod rates;
mod saw;
mod terms;
mod ways;

pub use rack::{Price, Rack, Remnant, StockBar};
pub use rates::{Break, Gauging, Rates, Scatter, ScrapPrice};
pub use saw::Saw;
pub use terms::Terms;
pub use ways::{Investment, Way, WayKind};

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
    }
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
