//! The JSON of a quote. The names are a promise to scripts: more may come, none goes.

use super::prove::{finding, seconds};
use cost::Quote;
use cost::account::{Item, Line};
use cost::quote::{Priced, Raised};
use model::Money;
use model::files::job::Job;
use model::files::shop::Shop;
use plan::Answer;
use serde_json::{Map, Value, json};

/// A quote: money in the shop's coin, times in s, masses in kg, shares of 1.
pub fn quote(job: &Job, answer: &Answer, shop: &Shop, quote: &Quote) -> Value {
    json!({
        "job": job.file.name,
        "verdict": answer.verdict.word(),
        "currency": shop.currency,
        "quantities": quote.priced.iter().map(priced).collect::<Vec<_>>(),
        "learned": super::learned(answer),
        "left_out": quote.left_out,
    })
}

/// What stands in the place of an answer where the plan has a stop.
pub fn refused(job: &Job, answer: &Answer) -> Value {
    json!({
        "job": job.file.name,
        "verdict": answer.verdict.word(),
        "quantities": [],
        "ways": [],
        "findings": answer.findings.iter().map(finding).collect::<Vec<_>>(),
    })
}

/// What a part of an order costs, for the answer of a plan: money in the shop's coin, to a ten-thousandth.
pub fn cost<C>(priced: &Priced<C>, currency: &str) -> Value {
    let each = |items: &[Item]| {
        let sum: Money = items.iter().map(|item| priced.of(*item)).sum();
        fine(sum.amount() / f64::from(priced.quantity))
    };
    json!({
        "per_part": fine(priced.cost.amount() / f64::from(priced.quantity)),
        "currency": currency,
        "material": each(&[Item::Material, Item::Scrap]),
        "machine": each(&[Item::Run]),
        "edges": each(&[Item::Edges]),
        "attention": each(&[Item::Attention, Item::Gauging]),
        "setup": each(&[Item::Programming, Item::SetUp]),
        "overhead": each(&[Item::Overhead]),
    })
}

/// Lines under their words.
pub(super) fn lines(lines: &[Line]) -> Value {
    let each = lines.iter().map(|line| (line.item.word().to_owned(), json!(line.money.amount())));
    Value::Object(each.collect::<Map<String, Value>>())
}

/// An amount of which parts of a cent count, to a ten-thousandth.
pub(super) fn fine(amount: f64) -> f64 {
    (amount * 1e4).round() / 1e4
}

fn priced(it: &Priced) -> Value {
    let certainty = &it.certainty;
    json!({
        "parts": it.quantity,
        "ordered": it.ordered,
        "price": it.price.amount(),
        "price_each": fine(it.each()),
        "cost": it.cost.amount(),
        "margin": it.margin().amount(),
        "raised": it.raised.map(|why| match why {
            Raised::Minimum => "minimum",
            Raised::SmallerQuantity => "smaller-quantity",
        }),
        "lines": lines(&it.lines),
        "made": it.work.parts,
        "bars": it.work.bars,
        "stock_bars": it.bought.stock_bars,
        "cut_list_proven": it.bought.proven,
        "lathe_s": seconds(it.lathe.s()),
        "person_s": seconds(it.person.s()),
        "chips_kg": fine(it.bought.chips.kg()),
        "solid_scrap_kg": fine(it.bought.solid.kg()),
        "certainty": {
            "cost_low": certainty.low.amount(),
            "cost_middle": certainty.middle.amount(),
            "cost_high": certainty.high.amount(),
            "chance_of_loss": certainty.loss,
            "alone": certainty.alone.iter().map(|alone| json!({
                "figure": alone.varies.word(),
                "scatter": fine(alone.scatter),
                "cost_low": alone.low.amount(),
                "cost_high": alone.high.amount(),
            })).collect::<Vec<_>>(),
        },
    })
}
