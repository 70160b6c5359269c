//! Parts to an advance, compared in words.

use super::counted;
use super::lines::paragraph;
use model::files::job::Job;
use plan::alternatives::{self, Alternative};
use std::fmt::Write as _;

/// A row for each number of parts to an advance, and which is quickest; empty where only one is possible.
pub(super) fn table(job: &Job, all: &[Alternative]) -> String {
    if all.len() < 2 {
        return String::new();
    }
    let mut text =
        "\nParts to an advance, compared by arithmetic; only this job's own is proven:\n"
            .to_owned();
    let _ = writeln!(text, "{HEAD}");
    for one in all {
        text += &row(job, one);
    }
    text += &paragraph("  ", &advice(job, all));
    text
}

fn row(job: &Job, one: &Alternative) -> String {
    let units = job.file.units;
    let own = if one.parts == job.file.advance.parts { "*" } else { " " };
    let mut words = format!(
        "  {own}{:>4} {:>8.1} s {:>6} {:>11} {:>11}  {:<8}",
        one.parts,
        one.part.s(),
        one.parts_per_bar,
        one.remnant.shown(units),
        one.stick_out.shown(units),
        one.verdict.word()
    );
    if let Some(worst) = one.worst {
        let _ = write!(words, " {} {:.0} %", worst.id, 100.0 * worst.used);
    }
    let mut text = format!("{}\n", words.trim_end());
    if !one.new.is_empty() {
        text += &paragraph("         new: ", &one.new.join(", "));
    }
    text
}

/// The heads of the columns.
const HEAD: &str =
    "   parts   a part  a bar        left   stick-out  checks   nearest to its limit";

fn advice(job: &Job, all: &[Alternative]) -> String {
    let own = job.file.advance.parts;
    let Some(best) = alternatives::quickest(all) else {
        return "None of them gives a part without a new stop or caution.".to_owned();
    };
    let parts = counted(best.parts, "part");
    if best.parts == own {
        return format!(
            "* This job's {parts} to an advance: quickest of those that bring no new stop and no new caution."
        );
    }
    let now = all.iter().find(|one| one.parts == own);
    let less = now.map_or(0.0, |now| now.part.s() - best.part.s());
    if less < 0.0 {
        let new = now.map(|now| now.new.join(", ")).unwrap_or_default();
        return format!(
            "* This job's. Quickest without a new stop or caution is {parts} to an advance, {:.1} s a part more; this job's number brings {new}.",
            -less
        );
    }
    format!(
        "* This job's. Quickest without a new stop or caution is {parts} to an advance, {less:.1} s a part less; write `parts = {}` and plan it anew.",
        best.parts
    )
}
