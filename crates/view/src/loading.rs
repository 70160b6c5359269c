//! Ways of loading beside each other, as a paper.

use crate::pictures::{loading_cost, loading_worth};
use crate::quote::{ITEMS, amount};
use crate::sheet::{Block, Chapter, Column, Sheet, Table};
use cost::account::Item;
use cost::loading::{Beside, Loading, WayCost};
use cost::sensitivity::{STEP, Swing};
use model::Money;
use model::files::job::Job;
use model::files::shop::Shop;

/// The paper.
pub fn loading(job: &Job, shop: &Shop, loading: &Loading) -> Sheet {
    let mut chapters = vec![Chapter::new("1  The ways beside each other", ways(shop, loading))];
    if let Some(sensitivity) = &loading.sensitivity {
        let mut blocks = vec![Block::Words(worth_words(shop, loading))];
        blocks.extend(
            loading_worth::scene(loading, &shop.currency)
                .map(|scene| Block::Picture("loading-worth", scene)),
        );
        blocks.push(Block::Table(swings(&sensitivity.swings)));
        // Its picture stands with its table.
        chapters
            .push(Chapter { own_page: true, ..Chapter::new("2  What moves its worth", blocks) });
    }
    chapters.push(Chapter::new(
        "3  What is not in it",
        vec![Block::List("Left out of every way", loading.left_out.clone())],
    ));
    Sheet {
        kind: "ways of loading",
        foot: "A bar behind the spindle belongs into a magazine that guards it along its whole length, never into the open.",
        job: job.file.name.clone(),
        programs: String::new(),
        units: job.file.units,
        chapters,
    }
}

/// The first sentences: quantity, the cheapest way.
pub fn summary(shop: &Shop, loading: &Loading) -> String {
    let cheapest = &loading.ways[loading.cheapest];
    format!(
        "At {} parts a year in orders of {} the cheapest is {}: {:.4} {} a part, its capital with it.",
        loading.investment.parts_a_year,
        loading.order,
        cheapest.way.name,
        cheapest.each_with_capital,
        shop.currency
    )
}

fn ways(shop: &Shop, loading: &Loading) -> Vec<Block> {
    let years = loading.investment.years;
    let words = format!(
        "{} Capital is spread over {years} years at {:.1} % interest. Amounts in {}.",
        summary(shop, loading),
        100.0 * loading.investment.interest,
        shop.currency
    );
    vec![
        Block::Words(words),
        Block::Table(parts_table(loading)),
        Block::Picture("loading-cost", loading_cost::scene(loading, &shop.currency)),
        Block::Table(account_table(loading)),
        Block::Table(worth_table(loading)),
    ]
}

pub(crate) fn parts_table(loading: &Loading) -> Table {
    let parts = f64::from(loading.investment.parts_a_year);
    let row = |it: &WayCost| {
        vec![
            it.way.name.clone(),
            it.course.bars.parts.to_string(),
            format!("{:.4}", it.each),
            format!("{:.4}", it.each_with_capital),
            format!("{:.1}", it.lathe.s()),
            format!("{:.1}", it.person.s()),
            format!("{:.0}", it.person.s() * parts / 3600.0),
            it.a_year.to_string(),
        ]
    };
    Table {
        name: "ways",
        title: "A part, and a year",
        columns: vec![
            Column::words("Way", 12),
            Column::figures("Parts from a bar", 5),
            Column::figures("Cost a part", 6),
            Column::figures("with capital", 6),
            Column::figures("Lathe, s a part", 6),
            Column::figures("Person, s a part", 6),
            Column::figures("Person, h a year", 6),
            Column::figures("All of a year", 8),
        ],
        rows: loading.ways.iter().map(row).collect(),
    }
}

pub(crate) fn account_table(loading: &Loading) -> Table {
    let items: Vec<Item> =
        ITEMS.into_iter().filter(|it| !matches!(it, Item::Programming | Item::Overhead)).collect();
    let row = |it: &WayCost| {
        let lines = items.iter().map(|item| amount(&it.lines, *item).to_string());
        std::iter::once(it.way.name.clone()).chain(lines).collect()
    };
    let heads = ["Set-up", "Material", "Scrap", "Lathe", "Edges", "Attention", "Gauging"];
    Table {
        name: "way-accounts",
        title: "One order, line by line",
        columns: std::iter::once(Column::words("Way", 12))
            .chain(heads.map(|head| Column::figures(head, 6)))
            .collect(),
        rows: loading.ways.iter().map(row).collect(),
    }
}

pub(crate) fn worth_table(loading: &Loading) -> Table {
    let none = || "never".to_owned();
    let row = |it: &WayCost| {
        let name = it.way.name.clone();
        let Some(beside) = it.beside else {
            let nothing = (0..6).map(|_| String::new());
            return [name, it.way.capital.to_string()].into_iter().chain(nothing).collect();
        };
        vec![
            name,
            it.way.capital.to_string(),
            loading.ways[beside.other].way.name.clone(),
            beside.saved_a_year.to_string(),
            beside.payback.map_or_else(none, years_words),
            beside.break_even.map_or_else(none, |parts| format!("{:.0}", parts.ceil())),
            beside.worth.to_string(),
            beside.rate_of_return.map_or_else(|| "none".to_owned(), rate_words),
        ]
    };
    Table {
        name: "worth",
        title: "Each beside the best way with less capital and upkeep a year",
        columns: vec![
            Column::words("Way", 10),
            Column::figures("To buy", 6),
            Column::words("Instead of", 10),
            Column::figures("Saved a year", 6),
            Column::figures("Back in, years", 5),
            Column::figures("Cheaper from, parts a year", 7),
            Column::figures("Present worth", 7),
            Column::figures("Return a year", 6),
        ],
        rows: loading.ways.iter().map(row).collect(),
    }
}

/// A way beside the one that it is compared with, as a sentence.
pub fn beside_words(loading: &Loading, way: &WayCost, step: &Beside, currency: &str) -> String {
    let back = match step.payback {
        None => "never pays back".to_owned(),
        Some(years) if years < 0.1 => "is paid back within 0.1 years".to_owned(),
        Some(years) => format!("is paid back in {years:.1} years"),
    };
    let cheaper = step.break_even.map_or("is never cheaper".to_owned(), |parts| {
        format!("is cheaper from {:.0} parts a year", parts.ceil())
    });
    let rate = step
        .rate_of_return
        .map_or(String::new(), |rate| format!(", a return of {} a year", rate_words(rate)));
    let buy = if step.capital < Money::ZERO {
        format!("{} {currency} less", Money::ZERO - step.capital)
    } else {
        format!("{} {currency} more", step.capital)
    };
    format!(
        "{} instead of {}: {buy} to buy, saves {} a year, {back}, {cheaper}; present worth {}{rate}.",
        way.way.name, loading.ways[step.other].way.name, step.saved_a_year, step.worth
    )
}

/// What a part costs with each way at round quantities a year, as [`loading_cost`] draws it: a row a quantity.
pub fn by_quantity(loading: &Loading) -> (Vec<String>, Vec<Vec<String>>) {
    let heads = std::iter::once("Parts a year".to_owned());
    let heads = heads.chain(loading.ways.iter().map(|it| it.way.name.clone())).collect();
    let row = |parts: f64| {
        let costs = loading.ways.iter().map(|way| format!("{:.4}", loading_cost::cost(way, parts)));
        std::iter::once(format!("{parts:.0}")).chain(costs).collect()
    };
    (heads, loading_cost::quantities(loading).into_iter().map(row).collect())
}

/// Years as far as anyone plans by them.
fn years_words(years: f64) -> String {
    if years > 0.0 && years < 0.1 { "below 0.1".to_owned() } else { format!("{years:.1}") }
}

/// A rate of return as far as anyone tells rates apart.
fn rate_words(rate: f64) -> String {
    if rate > 10.0 { "above 1000 %".to_owned() } else { format!("{:.1} %", 100.0 * rate) }
}

/// What the picture of worth shows, in words.
pub(crate) fn worth_words(shop: &Shop, loading: &Loading) -> String {
    let Some(sensitivity) = &loading.sensitivity else { return String::new() };
    format!(
        "Buying {} instead of {} is worth {} {} today. Each figure is moved by {:.0} % to both sides, the others staying.",
        loading.ways[sensitivity.way].way.name,
        loading.ways[sensitivity.other].way.name,
        sensitivity.worth,
        shop.currency,
        100.0 * STEP
    )
}

pub(crate) fn swings(swings: &[Swing]) -> Table {
    let row = |it: &Swing| vec![it.figure.to_owned(), it.lower.to_string(), it.higher.to_string()];
    Table {
        name: "moves",
        title: "Present worth with one figure moved",
        columns: vec![
            Column::words("Figure", 10),
            Column::figures("25 % lower", 8),
            Column::figures("25 % higher", 8),
        ],
        rows: swings.iter().map(row).collect(),
    }
}
