//! Bars, parts and sizes.

use super::book::Teller;
use super::given::{Shop, name, names};
use crate::commands::{Ended, Trouble};
use clap::Args;
use model::record::event::{Loaded, Measured, Reading};
use model::record::{Racked, RackedKind, What};

/// A bar went into the spindle.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  barwright log bar \"Lathe 1\" --heat \"A 7712\" --length 1000 --size 12\n  \
        barwright log bar \"Lathe 1\" --from R17"
)]
pub(super) struct Bar {
    /// The lathe.
    #[arg(value_name = "LATHE")]
    lathe: String,
    /// Its heat number.
    #[arg(long, value_name = "NUMBER")]
    heat: Option<String>,
    /// Its length.
    #[arg(long, value_name = "LENGTH")]
    length: Option<String>,
    /// Its diameter, or size across flats.
    #[arg(long, value_name = "LENGTH")]
    size: Option<String>,
    /// Its material.
    #[arg(long, value_name = "NAME")]
    material: Option<String>,
    /// What stands on its label.
    #[arg(long, value_name = "LABEL")]
    label: Option<String>,
    /// Parts that it gives; left out, as the set-up says.
    #[arg(long, value_name = "PARTS")]
    gives: Option<u32>,
    /// The item of the rack that it was taken from; what the rack says of it is taken over.
    #[arg(long, value_name = "LABEL")]
    from: Option<String>,
    #[command(flatten)]
    teller: Teller,
}

impl Bar {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let mut book = self.teller.book(shop)?;
        let lathe = book.lathe(&self.lathe)?;
        let from = names(self.from.as_ref())?;
        let racked = match &from {
            None => None,
            Some(item) => Some(book.state().rack.get(item).cloned().ok_or_else(|| {
                let message = format!("the rack has no {item}");
                Trouble::outside(message, "`barwright log rack` lists what lies on it")
            })?),
        };
        let racked = racked.as_ref();
        let loaded = Loaded {
            bar: names(self.label.as_ref())?,
            heat: names(self.heat.as_ref())?.or_else(|| racked?.heat.clone()),
            material: names(self.material.as_ref())?.or_else(|| racked?.material.clone()),
            size: shop.lengths(self.size.as_ref())?.or_else(|| racked?.size),
            length: shop.lengths(self.length.as_ref())?.or_else(|| Some(racked?.length)),
            gives: self.gives,
            from,
        };
        book.tell(Some(&lathe), None, What::BarLoaded(Box::new(loaded)));
        book.close()
    }
}

/// The bar is out of the spindle; what is left of it may go to the rack.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  barwright log end \"Lathe 1\" --remnant 340 --rack R17 --place \"shelf 3\""
)]
pub(super) struct End {
    /// The lathe.
    #[arg(value_name = "LATHE")]
    lathe: String,
    /// What is left of it.
    #[arg(long, value_name = "LENGTH")]
    remnant: Option<String>,
    /// It goes to the rack under this label.
    #[arg(long, value_name = "LABEL", requires = "remnant")]
    rack: Option<String>,
    /// Where it lies.
    #[arg(long, value_name = "PLACE", requires = "rack")]
    place: Option<String>,
    #[command(flatten)]
    teller: Teller,
}

impl End {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let mut book = self.teller.book(shop)?;
        let lathe = book.lathe(&self.lathe)?;
        let remnant = shop.lengths(self.remnant.as_ref())?;
        let bar = book.state().lathes.get(&lathe).and_then(|now| now.bar.clone());
        book.tell(Some(&lathe), None, What::BarEnded { remnant });
        if let (Some(item), Some(length)) = (names(self.rack.as_ref())?, remnant) {
            let loaded = bar.map(|bar| bar.loaded).unwrap_or_default();
            let racked = Racked {
                item,
                kind: RackedKind::Remnant,
                material: loaded.material,
                size: loaded.size,
                length,
                count: 1,
                heat: loaded.heat,
                place: names(self.place.as_ref())?,
            };
            book.tell(Some(&lathe), None, What::PutOnRack(Box::new(racked)));
        }
        book.close()
    }
}

/// Parts are made.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright log made \"Lathe 1\" 12")]
pub(super) struct Made {
    /// The lathe.
    #[arg(value_name = "LATHE")]
    lathe: String,
    /// How many more.
    #[arg(value_name = "PARTS", default_value_t = 1)]
    parts: u32,
    #[command(flatten)]
    teller: Teller,
}

impl Made {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let mut book = self.teller.book(shop)?;
        let lathe = book.lathe(&self.lathe)?;
        book.tell(Some(&lathe), None, What::PartsMade { parts: self.parts });
        book.close()
    }
}

/// The lathe's own count was read: so many parts of this bar are made.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright log count \"Lathe 1\" 17")]
pub(super) struct Count {
    /// The lathe.
    #[arg(value_name = "LATHE")]
    lathe: String,
    /// What the count stands at.
    #[arg(value_name = "PARTS")]
    parts: u32,
    #[command(flatten)]
    teller: Teller,
}

impl Count {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let mut book = self.teller.book(shop)?;
        let lathe = book.lathe(&self.lathe)?;
        book.tell(Some(&lathe), None, What::CountRead { parts: self.parts });
        book.close()
    }
}

/// Parts are no good.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  barwright log scrap \"Lathe 1\" 2 --why \"diameter too large\""
)]
pub(super) struct Scrap {
    /// The lathe.
    #[arg(value_name = "LATHE")]
    lathe: String,
    /// How many.
    #[arg(value_name = "PARTS", default_value_t = 1)]
    parts: u32,
    /// Why.
    #[arg(long, value_name = "TEXT")]
    why: Option<String>,
    #[command(flatten)]
    teller: Teller,
}

impl Scrap {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let mut book = self.teller.book(shop)?;
        let lathe = book.lathe(&self.lathe)?;
        let why = names(self.why.as_ref())?;
        book.tell(Some(&lathe), None, What::PartsScrapped { parts: self.parts, why });
        book.close()
    }
}

/// A part was gauged.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  barwright log size \"Lathe 1\" 3 7.982 --low 7.959 --high 8\n  \
        barwright log size \"Lathe 1\" thread good"
)]
pub(super) struct Size {
    /// The lathe.
    #[arg(value_name = "LATHE")]
    lathe: String,
    /// The feature, by its number on the sheet or its name.
    #[arg(value_name = "FEATURE")]
    feature: String,
    /// What the gauge says: a size, or good or bad.
    #[arg(value_name = "READING", allow_negative_numbers = true)]
    reading: String,
    /// The drawing's low limit.
    #[arg(long, value_name = "LENGTH", allow_negative_numbers = true)]
    low: Option<String>,
    /// The drawing's high limit.
    #[arg(long, value_name = "LENGTH", allow_negative_numbers = true)]
    high: Option<String>,
    /// Which part of the bar it was; left out, the last.
    #[arg(long, value_name = "NUMBER")]
    part: Option<u32>,
    /// The gauge.
    #[arg(long, value_name = "NAME")]
    gauge: Option<String>,
    #[command(flatten)]
    teller: Teller,
}

impl Size {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let mut book = self.teller.book(shop)?;
        let lathe = book.lathe(&self.lathe)?;
        let reading = match self.reading.as_str() {
            "good" => Reading::Good,
            "bad" => Reading::Bad,
            size => Reading::Size(shop.length(size)?),
        };
        let last = book.state().lathes.get(&lathe).and_then(|now| now.bar.as_ref());
        let measured = Measured {
            feature: name(&self.feature)?,
            reading,
            low: shop.lengths(self.low.as_ref())?,
            high: shop.lengths(self.high.as_ref())?,
            part: self.part.or_else(|| last.map(|bar| bar.made).filter(|made| *made > 0)),
            gauge: names(self.gauge.as_ref())?,
        };
        book.tell(Some(&lathe), None, What::SizeMeasured(Box::new(measured)));
        book.close()
    }
}
