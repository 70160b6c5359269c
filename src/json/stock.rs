//! The JSON of cut lists.

use super::prove::mm;
use model::files::keys::Choice as _;
use serde_json::{Value, json};
use stock::cut_list::SawnBar;
use stock::{CutList, Group, Want};

/// Cut lists: lengths in mm, money in the shop's coin.
pub fn cut_lists(cuts: &[(Group, CutList)], currency: &str) -> Value {
    json!({
        "currency": currency,
        "cut_lists": cuts.iter().map(|(group, list)| one(group, list)).collect::<Vec<_>>(),
    })
}

fn one(group: &Group, list: &CutList) -> Value {
    json!({
        "material": group.section.material,
        "shape": group.section.shape.word(),
        "size_mm": mm(group.section.size),
        "cost": list.cost().amount(),
        "material_cost": list.material.amount(),
        "loading_cost": list.loading.amount(),
        "least_cost": list.least.amount(),
        "proven": list.is_proven(),
        "bars": list.bars.iter().map(|it| bar(group, it)).collect::<Vec<_>>(),
        "lots": group.lots.iter().enumerate().map(|(index, lot)| json!({
            "name": lot.name,
            "blanks": list.blanks(index),
            "parts": match &lot.want {
                Want::Blanks { .. } => Value::Null,
                Want::Parts { .. } => json!(list.parts(index)),
            },
            "wanted": match &lot.want {
                Want::Blanks { count, .. } => count,
                Want::Parts { quantity, .. } => quantity,
            },
        })).collect::<Vec<_>>(),
    })
}

fn bar(group: &Group, bar: &SawnBar) -> Value {
    let from = &group.from[bar.from];
    json!({
        "times": bar.times,
        "from": if from.remnant { "remnant" } else { "stock" },
        "length_mm": mm(from.length),
        "price": from.price.amount(),
        "heat": from.heat,
        "place": from.place,
        "end_trim_mm": mm(bar.trim),
        "blanks": bar.blanks.iter().map(|blank| json!({
            "for": group.lots[blank.lot].name,
            "length_mm": mm(blank.length),
            "parts": blank.parts,
        })).collect::<Vec<_>>(),
        "rest_mm": mm(bar.rest),
        "kept": bar.kept,
    })
}
