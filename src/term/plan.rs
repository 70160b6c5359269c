//! A plan in words.

use super::lines::paragraph;
use super::proof::{clock, proof, verdict};
use super::{advances, choice, counted};
use model::files::job::Job;
use plan::Answer;
use plan::alternatives::Alternative;
use plan::checks::CheckLine;
use plan::edges::EdgeUse;
use plan::learned::Told;
use std::fmt::Write as _;
use view::sheet::figure;

/// The whole answer, without its findings; with the parts to an advance compared.
pub fn plan(job: &Job, answer: &Answer, compared: &[Alternative]) -> String {
    let units = job.file.units;
    let shown = |length: model::Length| length.shown(units);
    let (bar, division) = (&answer.bar, &answer.bar.division);
    let mut text = format!("{}: {}\n\n", job.file.name, verdict(answer.verdict, &answer.unproven));
    let mut row = |name: &str, words: String| {
        let _ = writeln!(text, "  {name:<12} {words}");
    };
    row(
        "bar",
        format!(
            "{} parts from {} of {}; {} are left",
            bar.parts_per_bar,
            shown(bar.blank),
            job.material.name,
            shown(bar.remnant)
        ),
    );
    row(
        "pitch",
        format!(
            "{} = face stock {} + part {} + part-off {}",
            shown(division.pitch()),
            shown(division.face_stock),
            shown(division.finished),
            shown(division.part_off)
        ),
    );
    row("advance", advances::of_job(job, division));
    row(
        "stick-out",
        format!(
            "{}, jaw face {} behind the finished face",
            shown(division.stick_out()),
            shown(-bar.jaw_face)
        ),
    );
    row(
        "load",
        format!(
            "by hand to a stop at Z {}; longest blank {}",
            shown(division.face_stock + division.first_face),
            shown(bar.longest_blank)
        ),
    );
    row("order", order(job, answer));
    row(
        "time",
        format!(
            "cycle {:.1} s, of it advance {:.1} s; bar {}; order {}",
            answer.times.cycle.s(),
            answer.times.advance.s(),
            clock(answer.times.bar.s()),
            clock(answer.times.order.s())
        ),
    );
    for told in &answer.learned {
        row("learned", told_words(told));
    }
    for (index, limit) in answer.walk_away.limits.iter().enumerate() {
        let name = if index == 0 { "walk away" } else { "" };
        let words =
            format!("{} ({}): {}", clock(limit.at.s()), counted(limit.parts, "part"), limit.name);
        row(name, words);
    }
    if let Some(back) = &answer.walk_away.back {
        row("someone back", choice::back(job, back));
    }
    for words in choice::choice(&answer.choice) {
        row("chosen for", words);
    }
    for told in &answer.data {
        for (index, words) in choice::told(told, units).into_iter().enumerate() {
            row(if index == 0 { "cut" } else { "" }, words);
        }
    }
    for edge in &answer.edges {
        row("edge", edge_words(edge));
    }
    text += &advances::table(job, compared);
    text.push_str("\nChecks by arithmetic, each with its range:\n");
    for check in &answer.checks {
        text += &check_row(check);
    }
    if !answer.reminders.is_empty() {
        text.push_str("\nBefore you leave it alone:\n");
        for reminder in &answer.reminders {
            text += &paragraph("  - ", reminder);
        }
    }
    if let Some(proven) = &answer.proof {
        text.push_str("\nProof of the program: ");
        text += &proof(proven, units);
    }
    text
}

/// What was learned from the log, behind an answer that rests on a plan; nothing where nothing was.
pub fn learned(answer: &Answer) -> String {
    let mut text = String::new();
    for told in &answer.learned {
        if text.is_empty() {
            text += "\nLearned from the log, and counted with\n";
        }
        text += &paragraph("  - ", &told_words(told));
    }
    text
}

/// A figure of the log, and whether the plan counts with it.
fn told_words(told: &Told) -> String {
    match &told.not_used {
        None => told.words.clone(),
        Some(why) => format!("NOT USED: {why}; {}", told.words),
    }
}

/// One check with its figures; a range only where there is one.
fn check_row(check: &CheckLine) -> String {
    let level = check.level.map_or("clear", model::Level::word);
    let value = figure(check.value);
    let unit = if check.unit.is_empty() { String::new() } else { format!(" {}", check.unit) };
    let (low, high) = (figure(check.low), figure(check.high));
    let range = if low == high { String::new() } else { format!(" ({low} to {high})") };
    let side = if check.at_least { "at least" } else { "at most" };
    let limit = figure(check.limit);
    let about = if check.about.is_empty() { String::new() } else { format!(" ({})", check.about) };
    let name = format!("{}{about}", check.id);
    format!("  {level:<8} {name:<38} {value}{range}{unit}, {side} {limit}\n")
}

/// How long one edge lasts, when it is changed, and the speeds that pay.
fn edge_words(edge: &EdgeUse) -> String {
    let mut words = format!("station {}, {}: ", edge.station, edge.name);
    let Ok(parts) = &edge.parts else { return words + "life not known" };
    let _ = write!(words, "{} parts ({} to {})", parts.nominal, parts.low, parts.high);
    if let Some(edges) = edge.edges {
        let _ = write!(words, "; {} for the order", counted(edges, "edge"));
    }
    match (edge.changes.iter().flatten().next(), edge.inside()) {
        (None, _) => {}
        (Some(first), 0) => {
            let _ = write!(
                words,
                "; changed with new bars, first with bar {} (part {})",
                first.bar, first.before_part
            );
        }
        (Some(first), inside) => {
            let inside = counted(inside as u32, "time");
            let _ = write!(
                words,
                "; changed {inside} inside a bar, first at part {}",
                first.before_part
            );
        }
    }
    for (name, speed) in [("most parts", &edge.fastest), ("cheapest", &edge.cheapest)] {
        if let Ok(speed) = speed {
            let _ = write!(words, "; {name} at {:.0} m/min", speed.m_per_min());
        }
    }
    words
}

fn order(job: &Job, answer: &Answer) -> String {
    let bar = &answer.bar;
    let Some(blanks) = bar.blanks else { return "no blank gives a part".to_owned() };
    let mut words = format!(
        "{} from {}, {} from the last; {:.1} kg",
        counted(job.file.order.quantity, "part"),
        counted(blanks, "blank"),
        bar.parts_in_last,
        bar.mass.kg()
    );
    if let Some(stock) = bar.stock {
        let length = stock.length.shown(job.file.units);
        let _ = match stock.bars {
            Some(bars) => write!(words, "; {} of {length}", counted(bars, "stock bar")),
            None => write!(words, "; a stock bar of {length} gives no blank"),
        };
    }
    words
}
