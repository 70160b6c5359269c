//! The JSON of ways of loading. The names are a promise to scripts: more may come, none goes.

use super::quote::{fine, lines};
use cost::loading::{Loading, WayCost};
use model::files::job::Job;
use model::files::keys::Choice as _;
use model::files::shop::Shop;
use serde_json::{Value, json};

/// Ways of loading: money in the shop's coin, times in s, shares of 1, null where something never comes.
pub fn loading(job: &Job, shop: &Shop, loading: &Loading) -> Value {
    let name = |index: usize| loading.ways[index].way.name.as_str();
    json!({
        "job": job.file.name,
        "currency": shop.currency,
        "parts_a_year": loading.investment.parts_a_year,
        "parts_of_an_order": loading.order,
        "interest": loading.investment.interest,
        "years": loading.investment.years,
        "least_fixed": name(loading.least),
        "cheapest": name(loading.cheapest),
        "ways": loading.ways.iter().map(|it| way(it, &name)).collect::<Vec<_>>(),
        "sensitivity": loading.sensitivity.as_ref().map(|it| json!({
            "way": name(it.way),
            "instead_of": name(it.other),
            "present_worth": it.worth.amount(),
            "step": cost::sensitivity::STEP,
            "figures": it.swings.iter().map(|swing| json!({
                "figure": swing.figure,
                "lower": swing.lower.amount(),
                "higher": swing.higher.amount(),
            })).collect::<Vec<_>>(),
        })),
        "left_out": loading.left_out,
    })
}

fn way<'l>(it: &'l WayCost, name: &impl Fn(usize) -> &'l str) -> Value {
    json!({
        "name": it.way.name,
        "kind": it.way.kind.word(),
        "parts_per_bar": it.course.bars.parts,
        "cost_each": fine(it.each),
        "cost_each_with_capital": fine(it.each_with_capital),
        "lathe_s_each": fine(it.lathe.s()),
        "person_s_each": fine(it.person.s()),
        "order": lines(&it.lines),
        "capital": it.way.capital.amount(),
        "fixed_a_year": it.fixed.amount(),
        "cost_a_year": it.a_year.amount(),
        "beside": it.beside.map(|beside| json!({
            "instead_of": name(beside.other),
            "capital": beside.capital.amount(),
            "saved_a_year": beside.saved_a_year.amount(),
            "break_even_parts_a_year": beside.break_even.map(fine),
            "payback_years": beside.payback.map(fine),
            "present_worth": beside.worth.amount(),
            "rate_of_return": beside.rate_of_return,
        })),
    })
}
