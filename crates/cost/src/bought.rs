//! The material of an order: bought bars by the cut list, less what scrap brings.

use crate::course::Bars;
use crate::refusal::Refusal;
use calc::weight;
use model::files::job::Job;
use model::files::keys::Choice as _;
use model::files::shop::{Saw, Shop};
use model::quantity::{Mass, Volume};
use model::{Length, Money};
use stock::cut_list::{CutList, NoCutList};
use stock::group::{Cannot, bars_of};
use stock::{Group, Lot, Section, Want, cut};

/// How often the search for a cut list may go on: a count, so that the same order has the same price on
/// every system. Two lengths are settled long before.
const LONGEST_SEARCH: u32 = 20_000;

/// The material of an order.
#[derive(Debug, Clone, PartialEq)]
pub struct Bought {
    /// What the stock bars cost.
    pub bars: Money,
    /// How many of them are sawn.
    pub stock_bars: u32,
    /// What rests that go back to the rack are credited with.
    pub rests: Money,
    /// What chips, stubs and ends are sold for; none where the shop says no price for them.
    pub scrap: Option<Money>,
    /// Chips.
    pub chips: Mass,
    /// Stubs, ends, and rests too short to keep.
    pub solid: Mass,
    /// Whether it is proven that no cut list costs less.
    pub proven: bool,
}

impl Bought {
    /// Bars less rests: what the order takes of the rack.
    pub fn taken(&self) -> Money {
        self.bars - self.rests
    }

    /// What is left of that when scrap is sold.
    pub fn net(&self) -> Money {
        self.taken() - self.scrap.unwrap_or_default()
    }
}

/// Buys the bars for so many parts. Remnants on the rack are left out: whoever orders next week pays for
/// new bars.
///
/// # Errors
/// Where the shop has no stock that gives them.
pub fn buy(job: &Job, shop: &Shop, bars: &Bars, parts: u32) -> Result<Bought, Refusal> {
    let file = &job.file.bar;
    let section = Section { material: file.material.clone(), shape: file.shape, size: file.size };
    let mut from = bars_of(&shop.rack, &section, Some(job.material.density));
    from.retain(|it| !it.remnant);
    let lengths = bars.lengths(parts).ok_or_else(|| no_part(job))?;
    let lot = |(length, count): &(Length, u32)| Lot {
        name: job.file.name.clone(),
        want: Want::Blanks { length: *length, count: *count },
    };
    let group = Group {
        lots: lengths.iter().map(lot).collect(),
        section,
        from,
        saw: if bars.sawn { shop.saw } else { Saw::PLAIN },
        least_useful: shop.rack.least_useful,
        // Loading is a person's time in this account.
        loading: Money::ZERO,
    };
    let mut asked = 0;
    let list = cut(&group, &mut || {
        asked += 1;
        asked < LONGEST_SEARCH
    });
    let list = list.map_err(|why| refused(job, &group, &why))?;
    Ok(settle(job, shop, bars, parts, &group, &list))
}

fn settle(
    job: &Job,
    shop: &Shop,
    bars: &Bars,
    parts: u32,
    group: &Group,
    list: &CutList,
) -> Bought {
    let mut rests = Money::ZERO;
    let mut ends = Length::ZERO;
    let credit = shop.rates.as_ref().map_or(0.0, |rates| rates.rest_credit);
    for bar in &list.bars {
        let (from, times) = (&group.from[bar.from], i64::from(bar.times));
        ends += bar.trim * times;
        if bar.kept {
            let share = bar.rest.nm() as f64 / from.length.nm() as f64;
            rests = rests + from.price.times(credit * share) * times;
        } else {
            ends += bar.rest * times;
        }
    }
    let lengths = bars.lengths(parts).unwrap_or_default();
    let whole: Length = lengths.iter().map(|(length, count)| *length * i64::from(*count)).sum();
    let count: u32 = lengths.iter().map(|(_, count)| *count).sum();
    // Of every bar the first face and the pitches turn to parts and chips; the rest of it is its stub.
    let pitches = bars.division.pitch() * i64::from(parts);
    let turned = pitches + bars.division.first_face * i64::from(count);
    let stubs = (whole - turned).max(Length::ZERO);
    let section = weight::section(job.file.bar.shape, job.file.bar.size);
    let mass = |length: Length| {
        weight::solid_mass(weight::solid(section, length), job.material.density).kg()
    };
    let chips = (mass(turned) - f64::from(parts) * part_mass(job).kg()).max(0.0);
    let solid = mass(stubs + ends);
    let prices = shop.rates.iter().flat_map(|rates| &rates.scrap_prices);
    let price = prices.into_iter().find(|price| price.material == job.file.bar.material);
    Bought {
        bars: list.material,
        stock_bars: list.bars.iter().map(|bar| bar.times).sum(),
        rests,
        scrap: price.map(|price| price.chips.times(chips) + price.solid.times(solid)),
        chips: Mass::from_kg(chips),
        solid: Mass::from_kg(solid),
        proven: list.is_proven(),
    }
}

/// Mass of the finished part, by its drawing.
fn part_mass(job: &Job) -> Mass {
    let region = prove::form::drawn_part(&job.file.part, &job.file.bar);
    let volume = region.map_or(0.0, |region| region.volume_mm3());
    weight::solid_mass(Volume::from_mm3(volume), job.material.density)
}

fn no_part(job: &Job) -> Refusal {
    Refusal::File {
        file: crate::refusal::In::Job,
        key: "bar.length".to_owned(),
        message: format!("a bar of {} gives no part", job.file.bar.length.shown(job.file.units)),
        help: "plan the job first: `barwright plan` says what a bar must have".to_owned(),
    }
}

fn refused(job: &Job, group: &Group, why: &NoCutList) -> Refusal {
    let units = job.file.units;
    let section = format!(
        "{}, {} {}",
        group.section.material,
        group.section.shape.word(),
        group.section.size.shown(units)
    );
    let longest = group.lots.iter().filter_map(|lot| match lot.want {
        Want::Blanks { length, .. } => Some(length),
        Want::Parts { .. } => None,
    });
    let longest = longest.max().unwrap_or_default().shown(units);
    match why {
        NoCutList::Cannot(_) if group.from.is_empty() => Refusal::shop(
            "rack",
            format!("the shop file has no stock of {section}"),
            "add a `[[rack.stock]]` with its price",
        ),
        NoCutList::Cannot(lots) if lots.iter().any(|(_, why)| matches!(why, Cannot::NoBar(_))) => {
            Refusal::shop(
                "rack",
                format!(
                    "no stock of {section} is long enough for a bar of {longest}; saw, clamp and end trim take their part"
                ),
                "add longer stock to the shop file",
            )
        }
        NoCutList::Cannot(_) => no_part(job),
        NoCutList::NotEnough => Refusal::shop(
            "rack",
            format!("the stock of {section} that is there is not enough"),
            "leave out `available` where more can be bought",
        ),
        NoCutList::NotFound => Refusal::shop(
            "rack",
            format!("no cut list was found for {section}"),
            "add stock to the shop file",
        ),
    }
}
