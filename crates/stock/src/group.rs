//! The trade's side: orders and plain blanks of one size of one material, the saw, the rack.

use crate::problem::{Bar, Problem, Row};
use calc::bar::Division;
use calc::weight;
use model::files::job::BarShape;
use model::files::shop::{Price, Rack, Saw};
use model::quantity::Density;
use model::{Length, Money};

/// Bars that go together: one material, one section, one size.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Section {
    /// The name of the material, as job files have it.
    pub material: String,
    /// The section.
    pub shape: BarShape,
    /// Diameter, or size across flats.
    pub size: Length,
}

/// What is wanted.
#[derive(Debug, Clone, PartialEq)]
pub enum Want {
    /// Blanks of one length.
    Blanks {
        /// Length of one.
        length: Length,
        /// How many.
        count: u32,
    },
    /// Parts, from blanks of whichever lengths are cheapest.
    Parts {
        /// How a blank is divided into parts.
        division: Division,
        /// How many parts.
        quantity: u32,
        /// Length beyond which a blank would hang out behind the spindle.
        longest: Length,
    },
}

/// One thing that is wanted, under its name.
#[derive(Debug, Clone, PartialEq)]
pub struct Lot {
    /// What the shop calls it.
    pub name: String,
    /// What is wanted.
    pub want: Want,
}

/// What a bar is taken from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct From {
    /// Whether it is a remnant.
    pub remnant: bool,
    /// Its length.
    pub length: Length,
    /// What one costs; for a remnant, what it is worth.
    pub price: Money,
    /// How many there are.
    pub there: Option<u32>,
    /// Its heat number, where it is known.
    pub heat: Option<String>,
    /// Where it lies, where it is known.
    pub place: Option<String>,
}

/// Everything of one section.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// The section.
    pub section: Section,
    /// What is wanted.
    pub lots: Vec<Lot>,
    /// What it may be cut from.
    pub from: Vec<From>,
    /// The saw.
    pub saw: Saw,
    /// Shortest rest that is worth keeping.
    pub least_useful: Length,
    /// What loading a blank into a lathe costs.
    pub loading: Money,
}

/// Why nothing can be cut for a lot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cannot {
    /// Not even one part comes from the longest blank that the lathe takes.
    NoPart,
    /// No bar is long enough for its shortest blank, which is this long.
    NoBar(Length),
}

/// The bars of the rack that have this section.
pub fn bars_of(rack: &Rack, section: &Section, density: Option<Density>) -> Vec<From> {
    let stock = rack.stock.iter().filter(|it| {
        (&it.material, it.shape, it.size) == (&section.material, section.shape, section.size)
    });
    let stock = stock.filter_map(|it| {
        let price = match it.price {
            Price::Bar(money) => money,
            Price::Kilogram(money) => {
                let mass = weight::mass(it.shape, it.size, it.length, density?);
                Money::nearest(mass.kg() * money.amount())
            }
        };
        let (length, there, heat) = (it.length, it.available, it.heat.clone());
        Some(From { remnant: false, length, price, there, heat, place: None })
    });
    let remnants = rack.remnants.iter().filter(|it| {
        (&it.material, it.shape, it.size) == (&section.material, section.shape, section.size)
    });
    let remnants = remnants.map(|it| From {
        remnant: true,
        length: it.length,
        price: it.worth,
        there: Some(it.count),
        heat: it.heat.clone(),
        place: it.place.clone(),
    });
    stock.chain(remnants).collect()
}

impl Lot {
    /// Blanks are counted as long as the saw may cut them, so that they all fit, and meant so long that
    /// the shortest that it may cut still gives its parts.
    pub(crate) fn row(&self, saw: &Saw, loading: Money) -> Row {
        let slack = saw.length_tolerance + saw.kerf;
        match &self.want {
            Want::Blanks { length, count } => {
                Row { overhead: (*length + slack).nm(), each: 0, most: 1, load: 0, wanted: *count }
            }
            Want::Parts { division, quantity, longest } => {
                let advance = division.advance();
                let fixed = division.shortest_blank(1) - advance + saw.length_tolerance;
                let room = *longest - fixed - saw.length_tolerance;
                let most = if room.is_negative() { 0 } else { room / advance };
                Row {
                    overhead: (fixed + slack).nm(),
                    each: advance.nm(),
                    most: u32::try_from(most).unwrap_or(u32::MAX),
                    load: loading.cents(),
                    wanted: quantity.div_ceil(division.parts_per_advance.max(1)),
                }
            }
        }
    }

    /// Length that a blank is meant to have which gives so many advances (for a plain blank, one).
    pub fn blank(&self, advances: u32, saw: &Saw) -> Length {
        match &self.want {
            Want::Blanks { length, .. } => *length,
            Want::Parts { division, .. } => {
                division.shortest_blank(advances * division.parts_per_advance.max(1))
                    + saw.length_tolerance
            }
        }
    }

    /// Parts that come from so many advances; none for plain blanks.
    pub const fn parts(&self, advances: u32) -> Option<u32> {
        match &self.want {
            Want::Blanks { .. } => None,
            Want::Parts { division, .. } => Some(advances * division.parts_per_advance),
        }
    }
}

impl Group {
    /// The bare problem, or the lots for which nothing can be cut.
    pub(crate) fn problem(&self) -> Result<Problem, Vec<(usize, Cannot)>> {
        let rows: Vec<Row> = self.lots.iter().map(|lot| lot.row(&self.saw, self.loading)).collect();
        let bars: Vec<Bar> = self.from.iter().map(|from| self.bar(from)).collect();
        let longest = bars.iter().filter(|it| it.there != Some(0)).map(|it| it.room).max();
        let cannot = rows.iter().enumerate().filter_map(|(index, row)| {
            if row.most == 0 {
                return Some((index, Cannot::NoPart));
            }
            let shortest = self.lots[index].blank(1, &self.saw);
            (longest.is_none_or(|longest| row.length(1) > longest))
                .then_some((index, Cannot::NoBar(shortest)))
        });
        let cannot: Vec<_> = cannot.collect();
        if cannot.is_empty() { Ok(Problem { rows, bars }) } else { Err(cannot) }
    }

    /// What a bar has for blanks with their kerfs. Where nothing need stay in the clamp, the last blank may
    /// end with the bar and needs no cut.
    fn bar(&self, from: &From) -> Bar {
        let trim = if from.remnant { Length::ZERO } else { self.saw.end_trim };
        let last = if self.saw.least_clamp.is_positive() { Length::ZERO } else { self.saw.kerf };
        let room = from.length - trim - self.saw.least_clamp + last;
        Bar { room: room.nm(), price: from.price.cents(), there: from.there }
    }
}
