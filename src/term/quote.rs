//! A quote as text.

use super::lines::paragraph;
use cost::quote::{Priced, Quote};
use model::files::job::Job;
use model::files::shop::Shop;
use model::finding::Verdict;
use plan::Answer;
use std::fmt::Write as _;
use view::quote::{ITEMS, raised_words};

/// Prices by quantity, the account of the order's own, and how far it holds.
pub fn quote(job: &Job, answer: &Answer, shop: &Shop, quote: &Quote) -> String {
    let currency = &shop.currency;
    let mut text = format!(
        "{}: quoted by its plan, which {}; amounts in {currency}\n\n",
        job.file.name,
        match answer.verdict {
            Verdict::Clear => "is clear",
            Verdict::Caution => "has cautions",
            Verdict::Stop => "has stops",
        }
    );
    let _ = writeln!(
        text,
        "  {:>9} {:>12} {:>11} {:>12} {:>10}   cost, nine times of ten",
        "parts", "cost", "margin", "price", "each"
    );
    for it in &quote.priced {
        let _ = writeln!(
            text,
            "  {:>9} {:>12} {:>11} {:>12} {:>10.4}   {} to {}",
            it.quantity,
            it.cost,
            it.margin(),
            it.price,
            it.each(),
            it.certainty.low,
            it.certainty.high
        );
    }
    for (quantity, why) in quote.priced.iter().filter_map(|it| Some((it.quantity, it.raised?))) {
        text += &paragraph("  ", &raised_words(quantity, why));
    }
    if let Some(it) = quote.priced.iter().find(|it| it.ordered) {
        text += &account(it, currency);
    }
    text += "\nNot in it\n";
    for line in &quote.left_out {
        text += &paragraph("  - ", line);
    }
    text
}

/// What a part of the order costs, as a row of a plan.
pub fn cost<C>(priced: &Priced<C>, currency: &str) -> String {
    let each = priced.cost.amount() / f64::from(priced.quantity);
    let words = format!(
        "{each:.4} {currency} a part by the shop's rates, before margin; `barwright quote` has its lines"
    );
    paragraph("  cost         ", &words)
}

fn account(it: &Priced, currency: &str) -> String {
    let mut text = format!("\nFor the {} ordered\n", it.quantity);
    for item in ITEMS {
        let _ = writeln!(text, "  {:<14} {:>12}", item.name(), it.of(item));
    }
    let _ = writeln!(text, "  {:<14} {:>12}", "cost", it.cost);
    let certainty = &it.certainty;
    let moves = certainty
        .alone
        .iter()
        .filter(|alone| alone.high > alone.low)
        .map(|alone| format!("{} ({} to {})", alone.varies.name(), alone.low, alone.high));
    let moves: Vec<String> = moves.take(3).collect();
    let words = format!(
        "At {} {currency} it is a loss in {:.1} % of the cases. What moves its cost most: {}.",
        it.price,
        100.0 * certainty.loss,
        if moves.is_empty() { "nothing that is told".to_owned() } else { moves.join(", ") }
    );
    text += &paragraph("  ", &words);
    text
}
