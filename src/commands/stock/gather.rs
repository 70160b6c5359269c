//! Everything that a stock file names, sorted by material and size.

use crate::commands::Trouble;
use crate::commands::prove::job;
use crate::files::Disk;
use ::stock::cut_list::NoCutList;
use ::stock::group::{Cannot, bars_of};
use ::stock::{Group, Lot, Section, Want};
use model::files::job::Job;
use model::files::keys::Choice as _;
use model::files::shop::Price;
use model::files::{Material, Shop, Stock};
use model::quantity::Density;
use model::{Diagnostic, Files as _, Units};
use std::collections::BTreeMap;
use std::path::Path;

/// A group, and at which key of the stock file each of its lots stands.
pub(super) struct Placed {
    pub(super) group: Group,
    keys: Vec<String>,
}

/// What a stock file comes to.
pub(super) struct Gathered {
    pub(super) shop: Shop,
    pub(super) units: Units,
    pub(super) groups: Vec<Placed>,
    stock: Stock,
}

/// Lots of one section with their keys, and its density where a job tells it.
type Sorted = (Vec<(Lot, String)>, Option<Density>);

/// Reads a stock file with all that it names.
pub(super) fn gather(path: &Path) -> Result<Gathered, Trouble> {
    let source = Disk::text(path).map_err(|why| Trouble::outside(why, "check the path"))?;
    let read = Stock::read(&source);
    let stock = read.value.ok_or(Trouble::Files(read.diagnostics))?;
    let disk = Disk::beside(path);
    let shop = disk.read(&stock.shop).map_err(|why| named(&stock, "shop", why))?;
    let shop = Shop::read(&shop);
    let shop = shop.value.ok_or(Trouble::Files(shop.diagnostics))?;
    let mut sorted: BTreeMap<Section, Sorted> = BTreeMap::new();
    for (index, order) in stock.orders.iter().enumerate() {
        let folder = path.parent().unwrap_or(Path::new(""));
        let job_path = folder.join(&order.job);
        let key = format!("order[{index}].job");
        Disk::text(&job_path).map_err(|why| named(&stock, &key, why))?;
        let job = job(&job_path)?;
        let (section, lot) = of_job(&job, order.quantity.unwrap_or(job.file.order.quantity));
        let group = sorted.entry(section).or_default();
        group.0.push((lot, key));
        group.1 = Some(job.material.density);
    }
    for (index, blanks) in stock.blanks.iter().enumerate() {
        let material = blanks.material.clone();
        let section = Section { material, shape: blanks.shape, size: blanks.size };
        let want = Want::Blanks { length: blanks.length, count: blanks.count };
        let lot = Lot { name: blanks.name.clone(), want };
        sorted.entry(section).or_default().0.push((lot, format!("blank[{index}].material")));
    }
    let mut groups = Vec::new();
    for (section, (lots, density)) in sorted {
        let density = match density {
            Some(density) => Some(density),
            None => density_of(&section.material, &disk),
        };
        weighed(&shop, &section, density)?;
        let from = bars_of(&shop.rack, &section, density);
        let (mut lots, keys): (Vec<Lot>, Vec<String>) = lots.into_iter().unzip();
        number_alike(&mut lots);
        let (saw, least_useful, loading) = (shop.saw, shop.rack.least_useful, shop.loading);
        groups.push(Placed {
            group: Group { section, lots, from, saw, least_useful, loading },
            keys,
        });
    }
    let units = stock.units;
    Ok(Gathered { shop, units, groups, stock })
}

fn named(stock: &Stock, key: &str, why: String) -> Trouble {
    let help = "write the path from the folder of this file";
    Trouble::Files(vec![stock.origin.trouble(key, why).help(help)])
}

fn of_job(job: &Job, quantity: u32) -> (Section, Lot) {
    let bar = &job.file.bar;
    let section = Section { material: bar.material.clone(), shape: bar.shape, size: bar.size };
    let plan = plan::bar::divide(job);
    let want = Want::Parts { division: plan.division, quantity, longest: plan.longest_blank };
    (section, Lot { name: job.file.name.clone(), want })
}

/// Lots of one name get a number behind it, so that a label says whose it is.
fn number_alike(lots: &mut [Lot]) {
    let names: Vec<String> = lots.iter().map(|lot| lot.name.clone()).collect();
    for (index, lot) in lots.iter_mut().enumerate() {
        if names.iter().filter(|name| **name == lot.name).count() > 1 {
            let number = names[..=index].iter().filter(|name| **name == names[index]).count();
            lot.name = format!("{} ({number})", names[index]);
        }
    }
}

/// The density of a material that no job of the group tells.
fn density_of(name: &str, disk: &Disk) -> Option<Density> {
    let own = Path::new(name).extension().is_some_and(|end| end == "toml");
    let source =
        if own { disk.read(name) } else { disk.shipped(&format!("materials/{name}.toml")) };
    Material::read(&source.ok()?).value.map(|material| material.density)
}

/// A price by the kilogram needs a density.
fn weighed(shop: &Shop, section: &Section, density: Option<Density>) -> Result<(), Trouble> {
    let by_weight =
        shop.rack.stock.iter().position(|it| {
            it.material == section.material && matches!(it.price, Price::Kilogram(_))
        });
    match (density, by_weight) {
        (None, Some(index)) => {
            let message = format!(
                "nothing says what `{}` weighs, which has a price by the kilogram",
                section.material
            );
            let help = "write `price`, for one bar, or take the name of a shipped material";
            let key = format!("rack.stock[{index}].price_kg");
            Err(Trouble::Files(vec![shop.origin.trouble(&key, message).help(help)]))
        }
        _ => Ok(()),
    }
}

/// Why a group has no cut list, at its places in the stock file.
pub(super) fn none(gathered: &Gathered, placed: &Placed, why: &NoCutList) -> Vec<Diagnostic> {
    let group = &placed.group;
    let units = gathered.units;
    let section = format!(
        "{}, {} {}",
        group.section.material,
        group.section.shape.word(),
        group.section.size.shown(units)
    );
    let at = |lot: usize, message: String, help: String| {
        gathered.stock.origin.trouble(&placed.keys[lot], message).help(help)
    };
    match why {
        NoCutList::Cannot(_) if group.from.is_empty() => {
            let message = format!("the shop file has no bar of {section}");
            let help = format!("add a `[[rack.stock]]` or `[[rack.remnant]]` to {}", gathered.shop.origin.source.name());
            vec![at(0, message, help)]
        }
        NoCutList::Cannot(lots) => lots
            .iter()
            .map(|(lot, why)| {
                let name = &group.lots[*lot].name;
                match why {
                    Cannot::NoPart => at(
                        *lot,
                        format!("{name}: the longest blank that the lathe takes gives no part"),
                        "plan the job first: `barwright plan` says what is too long".to_owned(),
                    ),
                    Cannot::NoBar(shortest) => at(
                        *lot,
                        format!(
                            "{name}: no bar of {section} is long enough, the shortest blank is {} and saw, clamp and end trim take their part",
                            shortest.shown(units)
                        ),
                        "add longer stock to the shop file".to_owned(),
                    ),
                }
            })
            .collect(),
        NoCutList::NotEnough => vec![at(
            0,
            format!("the bars of {section} that are there cannot give all that is wanted"),
            "add stock to the shop file, or leave out `available` where more can be bought".to_owned(),
        )],
        NoCutList::NotFound => vec![at(
            0,
            format!("no cut list was found for {section}: whether the bars are enough is unproven"),
            "give more time with --seconds, or add stock to the shop file".to_owned(),
        )],
    }
}
