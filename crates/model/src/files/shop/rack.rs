//! `[rack]` of a shop file: stock lengths and remnants.

use super::money;
use crate::Length;
use crate::files::job::BarShape;
use crate::files::keys::Keys;
use crate::money::Money;

/// What a bar costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Price {
    /// Each bar.
    Bar(Money),
    /// Each kilogram.
    Kilogram(Money),
}

/// Bars of one stock length that the shop has or can buy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StockBar {
    /// The name of its material, as job files have it.
    pub material: String,
    /// Its section.
    pub shape: BarShape,
    /// Diameter, or size across flats.
    pub size: Length,
    /// Its length.
    pub length: Length,
    /// What it costs.
    pub price: Price,
    /// How many there are; none where as many as wanted can be bought.
    pub available: Option<u32>,
    /// The heat number of those on the rack, where it is known.
    pub heat: Option<String>,
}

/// A remnant on the rack.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remnant {
    /// The name of its material, as job files have it.
    pub material: String,
    /// Its section.
    pub shape: BarShape,
    /// Diameter, or size across flats.
    pub size: Length,
    /// Its length.
    pub length: Length,
    /// How many of this length there are.
    pub count: u32,
    /// What one is worth to the shop; zero for what would be scrapped.
    pub worth: Money,
    /// Its heat number, where it is known.
    pub heat: Option<String>,
    /// Where it lies.
    pub place: Option<String>,
}

/// What the shop has.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rack {
    /// Shortest rest of a bar that is worth keeping.
    pub least_useful: Length,
    /// Stock lengths.
    pub stock: Vec<StockBar>,
    /// Remnants.
    pub remnants: Vec<Remnant>,
}

const LONGEST: Length = Length::from_mm(20_000);

/// Every key of `[rack]`.
pub(super) fn keys(keys: &Keys<'_>) -> Rack {
    Rack {
        least_useful: keys
            .length(
                "least_useful",
                "shortest rest of a bar that is worth keeping",
                Length::ZERO..=LONGEST,
            )
            .or(Length::from_mm(100)),
        stock: keys.list("stock", "bars of one stock length", stock),
        remnants: keys.list("remnant", "remnants of one length", remnant),
    }
}

fn material(keys: &Keys<'_>) -> String {
    keys.text("material", "the name of its material, as job files have it").required()
}

fn shape(keys: &Keys<'_>) -> BarShape {
    keys.choice("shape", "its section").or(BarShape::Round)
}

fn size(keys: &Keys<'_>) -> Length {
    let range = Length::from_um(500)..=Length::from_mm(500);
    keys.length("size", "diameter, or size across flats", range).required()
}

fn length(keys: &Keys<'_>) -> Length {
    keys.length("length", "length of one", Length::from_mm(10)..=LONGEST).required()
}

fn stock(keys: &Keys<'_>) -> StockBar {
    let price = money(keys, "price", "what one costs");
    let kilogram = money(keys, "price_kg", "what a kilogram of it costs");
    let help = "write either `price`, for one bar, or `price_kg`";
    match (price, kilogram) {
        (Some(_), Some(_)) => {
            keys.trouble("price_kg", "both a bar and a kilogram have a price", help);
        }
        (None, None) if !keys.has("price") && !keys.has("price_kg") => {
            keys.trouble("length", "this stock has no price", help);
        }
        _ => {}
    }
    if price.or(kilogram) == Some(Money::ZERO) {
        let key = if price.is_some() { "price" } else { "price_kg" };
        keys.trouble(
            key,
            "stock that costs nothing would be used without end",
            "write what it costs",
        );
    }
    StockBar {
        material: material(keys),
        shape: shape(keys),
        size: size(keys),
        length: length(keys),
        price: price.map_or(Price::Kilogram(kilogram.unwrap_or_default()), Price::Bar),
        available: keys
            .count("available", "how many there are; left out, as many as wanted", 0..=1_000_000)
            .optional()
            .map(|count| count as u32),
        heat: keys.text("heat", "heat number of those on the rack").optional(),
    }
}

fn remnant(keys: &Keys<'_>) -> Remnant {
    Remnant {
        material: material(keys),
        shape: shape(keys),
        size: size(keys),
        length: length(keys),
        count: keys.count("count", "how many of this length there are", 1..=100_000).or(1) as u32,
        worth: money(keys, "worth", "what one is worth; left out, nothing").unwrap_or_default(),
        heat: keys.text("heat", "its heat number").optional(),
        place: keys.text("place", "where it lies").optional(),
    }
}
