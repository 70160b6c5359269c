//! A plan in words.

use super::counted;
use super::proof::{clock, proof, verdict};
use model::files::job::Job;
use plan::Answer;
use std::fmt::Write as _;

/// The whole answer, without its findings.
pub fn plan(job: &Job, answer: &Answer) -> String {
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
    row(
        "advance",
        format!(
            "{}, {} to an advance",
            shown(division.advance()),
            counted(division.parts_per_advance, "part")
        ),
    );
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
    for (index, limit) in answer.walk_away.limits.iter().enumerate() {
        let name = if index == 0 { "walk away" } else { "" };
        let words =
            format!("{} ({}): {}", clock(limit.at.s()), counted(limit.parts, "part"), limit.name);
        row(name, words);
    }
    if let Some(proven) = &answer.proof {
        text.push_str("\nProof of the program: ");
        text += &proof(proven, units);
    }
    text
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
