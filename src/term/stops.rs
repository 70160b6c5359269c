//! What a stop with reset leads to, block by block, in words.

use super::counted;
use super::lines::paragraph;
use nc::program::Library;
use prove::Proof;
use prove::reentry::Entry;
use std::fmt::Write as _;

/// What a stop at each block leads to; neighboring blocks that lead to the same stand together.
pub fn stops(proof: &Proof, library: &Library) -> String {
    let mut text = "If the lathe stops and is reset, by the line it stopped at:\n".to_owned();
    let mut cycle = None;
    for alike in proof.entries.chunk_by(same) {
        let first = &alike[0];
        if cycle != Some(first.cycle) {
            cycle = Some(first.cycle);
            let _ = writeln!(text, "\n  Cycle {}", first.cycle);
        }
        text += &stop(first, &lines(alike, library));
    }
    text.push('\n');
    text
}

fn same(one: &Entry, other: &Entry) -> bool {
    one.cycle == other.cycle
        && one.spot.tree == other.spot.tree
        && one.parts == other.parts
        && (one.chuck_open, one.gripped) == (other.chuck_open, other.gripped)
        && one.count_error == other.count_error
        && one.troubles == other.troubles
        && one.advice() == other.advice()
}

fn stop(entry: &Entry, lines: &str) -> String {
    let made = counted(entry.parts, "part");
    let mut text = paragraph("    ", &format!("{lines}: {made} made, {}", holds(entry)));
    text += &paragraph("      from the top: ", &from_the_top(entry));
    text + &paragraph("      instead:      ", &entry.advice())
}

const fn holds(entry: &Entry) -> &'static str {
    match (entry.chuck_open, entry.gripped) {
        (false, false) => "the chuck holds the bar",
        (false, true) => "chuck and gripper hold the bar",
        (true, true) => "ONLY THE GRIPPER holds the bar",
        (true, false) => "NOTHING holds the bar",
    }
}

fn from_the_top(entry: &Entry) -> String {
    let parts =
        counted(u32::try_from(entry.count_error.unsigned_abs()).unwrap_or(u32::MAX), "part");
    let count = match entry.count_error {
        0 => "the count stays right".to_owned(),
        1.. => format!("{parts} not counted"),
        _ => format!("{parts} too many counted"),
    };
    match entry.troubles.as_slice() {
        [] => count,
        troubles => format!("DANGER, {}; {count}", troubles.join(", ")),
    }
}

/// The file and the lines of some blocks, in the order in which they run.
fn lines(entries: &[Entry], library: &Library) -> String {
    let mut name = "";
    let mut ranges: Vec<(u32, u32)> = Vec::new();
    for entry in entries {
        let Some(tree) = library.trees().get(entry.spot.tree as usize) else { continue };
        name = tree.source.name();
        let line = tree.source.locate(entry.spot.span.start).line;
        match ranges.last_mut() {
            Some((_, last)) if *last <= line => *last = line,
            _ => ranges.push((line, line)),
        }
    }
    let ranges: Vec<String> = ranges
        .iter()
        .map(|(from, to)| if from == to { from.to_string() } else { format!("{from} to {to}") })
        .collect();
    format!("{name} line {}", ranges.join(", then "))
}
