//! The stock file: what blanks are to be cut for.

use super::Read;
use super::job::BarShape;
use super::keys::{self, Keys, Origin};
use crate::source::Source;
use crate::{Length, Units};

/// An order whose blanks are to be cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OrderOf {
    /// The path of its job file.
    pub job: String,
    /// Parts wanted; none for as many as the job says.
    pub quantity: Option<u32>,
}

/// Plain blanks of one length.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Blanks {
    /// What they are for.
    pub name: String,
    /// The name of their material, as job files have it.
    pub material: String,
    /// Their section.
    pub shape: BarShape,
    /// Diameter, or size across flats.
    pub size: Length,
    /// Length of one.
    pub length: Length,
    /// How many.
    pub count: u32,
}

/// What is to be cut, and where the shop's bars are told.
#[derive(Debug, Clone)]
pub struct Stock {
    /// Where its keys stand.
    pub origin: Origin,
    /// Units of its plain lengths.
    pub units: Units,
    /// The path of the shop file.
    pub shop: String,
    /// Orders.
    pub orders: Vec<OrderOf>,
    /// Plain blanks.
    pub blanks: Vec<Blanks>,
}

impl Stock {
    /// Reads a stock file.
    pub fn read(source: &Source) -> Read<Stock> {
        let read = keys::read(source, keys);
        let value = read.value.map(|(mut stock, origin)| {
            stock.origin = origin;
            stock
        });
        Read { value, diagnostics: read.diagnostics }
    }
}

/// Every key of a stock file.
pub(super) fn keys(keys: &Keys<'_>) -> Stock {
    let stock = Stock {
        origin: keys.origin(),
        units: keys.units(),
        shop: keys.text("shop", "the shop file, by path from this one's folder").required(),
        orders: keys.list("order", "an order whose blanks are to be cut", |keys| OrderOf {
            job: keys.text("job", "its job file, by path from this one's folder").required(),
            quantity: keys
                .count(
                    "quantity",
                    "parts wanted; left out, as many as the job says",
                    1..=10_000_000,
                )
                .optional()
                .map(|count| count as u32),
        }),
        blanks: keys.list("blank", "plain blanks of one length", |keys| Blanks {
            name: keys.text("name", "what they are for").required(),
            material: keys
                .text("material", "the name of their material, as job files have it")
                .required(),
            shape: keys.choice("shape", "their section").or(BarShape::Round),
            size: keys
                .length(
                    "size",
                    "diameter, or size across flats",
                    Length::from_um(500)..=Length::from_mm(500),
                )
                .required(),
            length: keys
                .length("length", "length of one", Length::from_mm(1)..=Length::from_mm(20_000))
                .required(),
            count: keys.count("count", "how many", 1..=100_000).required() as u32,
        }),
    };
    if keys.sound("order")
        && keys.sound("blank")
        && stock.orders.is_empty()
        && stock.blanks.is_empty()
    {
        let help = "add an `[[order]]` with its `job`, or a `[[blank]]`";
        keys.trouble("shop", "nothing is to be cut", help);
    }
    stock
}
