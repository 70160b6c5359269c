//! What comes to the rack and what goes.

use super::book::Teller;
use super::given::{Shop, name, names};
use crate::commands::{Ended, Trouble};
use clap::Args;
use model::record::{Racked, RackedKind, What};

/// Bars or a remnant lie on the rack.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  barwright log put D12 3050 --count 10 --material steel-12l14 --size 12 --heat \"B 3391\""
)]
pub(super) struct Put {
    /// What stands on the label.
    #[arg(value_name = "LABEL")]
    item: String,
    /// Length of one.
    #[arg(value_name = "LENGTH")]
    length: String,
    /// How many.
    #[arg(long, value_name = "BARS", default_value_t = 1)]
    count: u32,
    /// It is a remnant.
    #[arg(long)]
    remnant: bool,
    /// Its material.
    #[arg(long, value_name = "NAME")]
    material: Option<String>,
    /// Its diameter, or size across flats.
    #[arg(long, value_name = "LENGTH")]
    size: Option<String>,
    /// Its heat number.
    #[arg(long, value_name = "NUMBER")]
    heat: Option<String>,
    /// Where it lies.
    #[arg(long, value_name = "PLACE")]
    place: Option<String>,
    #[command(flatten)]
    teller: Teller,
}

impl Put {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let mut book = self.teller.book(shop)?;
        let racked = Racked {
            item: name(&self.item)?,
            kind: if self.remnant { RackedKind::Remnant } else { RackedKind::Stock },
            material: names(self.material.as_ref())?,
            size: shop.lengths(self.size.as_ref())?,
            length: shop.length(&self.length)?,
            count: self.count,
            heat: names(self.heat.as_ref())?,
            place: names(self.place.as_ref())?,
        };
        if let Some(known) = book.state().rack.get(&racked.item)
            && known.length != racked.length
        {
            let units = shop.units();
            let message = format!(
                "{} is the label of bars of {} already",
                racked.item,
                known.length.shown(units)
            );
            return Err(Trouble::outside(message, "give other bars another label"));
        }
        book.tell(None, None, What::PutOnRack(Box::new(racked)));
        book.close()
    }
}

/// Something of the rack is gone, without going into a spindle here.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright log take R17")]
pub(super) struct Take {
    /// What stands on the label.
    #[arg(value_name = "LABEL")]
    item: String,
    /// How many.
    #[arg(value_name = "BARS", default_value_t = 1)]
    count: u32,
    #[command(flatten)]
    teller: Teller,
}

impl Take {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let mut book = self.teller.book(shop)?;
        let item = name(&self.item)?;
        match book.state().rack.get(&item) {
            Some(known) if known.count >= self.count => {}
            known => {
                let message = match known {
                    Some(known) => format!("of {item} only {} lie on the rack", known.count),
                    None => format!("the rack has no {item}"),
                };
                let mend = "`barwright log rack` lists what lies on it";
                return Err(Trouble::outside(message, mend));
            }
        }
        book.tell(None, None, What::OffRack { item, count: self.count });
        book.close()
    }
}
