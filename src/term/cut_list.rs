//! Cut lists as text.

use super::lines::paragraph;
use model::Units;
use model::files::keys::Choice as _;
use std::fmt::Write as _;
use stock::cut_list::{Blank, SawnBar};
use stock::{CutList, Group, Want};

/// Cut lists, one after the other, with what is proven of each.
pub fn cut_lists(cuts: &[(Group, CutList)], currency: &str, units: Units, seconds: f64) -> String {
    let mut text = String::new();
    let mut first = 1;
    for (group, list) in cuts {
        text += &one(group, list, first, currency, units, seconds);
        text.push('\n');
        first += list.bars.iter().map(|bar| bar.times).sum::<u32>();
    }
    text
}

fn one(
    group: &Group,
    list: &CutList,
    first: u32,
    currency: &str,
    units: Units,
    seconds: f64,
) -> String {
    let section = &group.section;
    let size = section.size.shown(units);
    let mut text = format!("{}, {} {size}\n", section.material, section.shape.word());
    text += &paragraph("  ", &verdict(list, currency, seconds));
    let mut number = first;
    for bar in &list.bars {
        let (from, blanks) = row(group, bar, number, units);
        number += bar.times;
        text += &paragraph("  ", &from);
        text += &paragraph("      ", &blanks);
    }
    for (index, lot) in group.lots.iter().enumerate() {
        let blanks = list.blanks(index);
        let noun = if blanks == 1 { "blank" } else { "blanks" };
        let _ = match &lot.want {
            Want::Blanks { .. } => writeln!(text, "  {}: {blanks} {noun}", lot.name),
            Want::Parts { quantity, .. } => {
                let parts = list.parts(index);
                let more = match parts.saturating_sub(*quantity) {
                    0 => String::new(),
                    more => format!(", {more} more than ordered"),
                };
                writeln!(text, "  {}: {blanks} {noun} for {parts} parts{more}", lot.name)
            }
        };
    }
    text
}

/// What it costs, and what is proven of that.
fn verdict(list: &CutList, currency: &str, seconds: f64) -> String {
    let money = |amount: model::Money| format!("{amount} {currency}").trim_end().to_owned();
    let cost = money(list.cost());
    let parts = format!("material {}, loading {}", money(list.material), money(list.loading));
    if list.is_proven() {
        return format!("{cost} ({parts}); proven: no cut list costs less");
    }
    let gap = (list.cost() - list.least).amount() / list.cost().amount() * 100.0;
    format!(
        "{cost} ({parts}); unproven whether one costs less: none costs less than {}, so that at most {gap:.2} percent can be saved. \
         The search ended within its {seconds} s",
        money(list.least)
    )
}

/// From what, which blanks, and what is left.
fn row(group: &Group, bar: &SawnBar, number: u32, units: Units) -> (String, String) {
    let from = &group.from[bar.from];
    let kind = if from.remnant { "remnant" } else { "stock" };
    let heat = from.heat.as_ref().map(|heat| format!(", heat {heat}")).unwrap_or_default();
    let place = from.place.as_ref().map(|place| format!(", {place}")).unwrap_or_default();
    let numbers = view::pictures::cut_list::numbers(number, bar.times);
    let from = format!("{numbers}: {kind} {}{heat}{place}", from.length.shown(units));
    let mut alike: Vec<(&Blank, u32)> = Vec::new();
    for blank in &bar.blanks {
        match alike.last_mut().filter(|(last, _)| *last == blank) {
            Some((_, count)) => *count += 1,
            None => alike.push((blank, 1)),
        }
    }
    let blanks = alike.iter().map(|(blank, count)| {
        let parts = blank.parts.map(|parts| format!(", {parts} parts")).unwrap_or_default();
        let name = &group.lots[blank.lot].name;
        format!("{count} of {} ({name}{parts})", blank.length.shown(units))
    });
    let kept = if bar.kept { "to keep" } else { "scrap" };
    let rest = if bar.rest.is_positive() {
        format!("; rest {}, {kept}", bar.rest.shown(units))
    } else {
        String::new()
    };
    (from + &rest, blanks.collect::<Vec<_>>().join(", "))
}
