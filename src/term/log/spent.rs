//! What an order cost so far, beside its plan.

use crate::term::lines::paragraph;
use cost::spent::Spent;
use std::fmt::Write as _;

/// Line by line, then a part, then what is not in it.
pub fn spent(spent: &Spent, coin: &str) -> String {
    let mut text = format!(
        "  what it cost so far, in {coin}, beside the plan for {} good parts\n",
        spent.quantity
    );
    let mut line = |what: &str, was: String, planned: String| {
        let _ = writeln!(text, "    {what:<16}{was:>12}   planned {planned:>12}");
    };
    for compared in &spent.lines {
        line(compared.item.name(), compared.was.to_string(), compared.planned.to_string());
    }
    let (was, planned) = spent.sums();
    line("together", was.to_string(), planned.to_string());
    if let Some((was, planned)) = spent.each() {
        line("a good part", format!("{was:.4}"), format!("{planned:.4}"));
    }
    text += "  not in it, or not as it was\n";
    for words in &spent.left_out {
        text += &paragraph("    - ", words);
    }
    text
}
