//! What to do after a stop with reset: stops that lead to the same stand together.

use super::{Block, Column, Said, Table, counted};
use model::Source;
use model::files::job::CountBy;
use prove::reentry::{DRAW_FIRST, Entry};

pub(super) fn blocks(said: &Said<'_>) -> Vec<Block> {
    let Some(proof) = said.answer.proof.as_ref().filter(|_| !said.answer.programs.is_empty())
    else {
        let words = "Unproven: there is no program whose stops could be tried.";
        return vec![Block::Warning(words.to_owned())];
    };
    let mut cycles: Vec<u32> = proof.entries.iter().map(|entry| entry.cycle).collect();
    cycles.dedup();
    let cycles: Vec<String> = cycles.iter().map(u32::to_string).collect();
    let mut blocks = vec![Block::Words(format!(
        "Find the line at which the program stood when it was reset: the first that was not done. Lines are counted in the files as written. Tried were all blocks of cycles {}; what a stop elsewhere leads to is unproven. First of all see what holds the bar. {}",
        cycles.join(" and "),
        count(said)
    ))];
    if !proof.every_stop_tried {
        let words =
            "Unproven: not every block could be tried; what is not in the table is not known.";
        blocks.push(Block::Warning(words.to_owned()));
    }
    let files: Vec<Source> = said
        .answer
        .programs
        .iter()
        .map(|it| Source::new(it.file_name(said.job), it.text.as_bytes()))
        .collect();
    let mut groups = groups(&proof.entries, proof.parts);
    groups.sort_by_key(|group| group.iter().map(|entry| entry.spot).min());
    let last = proof.entries.iter().map(|entry| entry.cycle).max().unwrap_or(0);
    let rows = groups.iter().map(|group| row(group, &files, last, proof.parts));
    blocks.push(Block::Table(Table {
        name: "re-entry",
        title: "After a stop with reset, by the line at which it stood",
        columns: vec![
            Column::program("Stopped at", 21),
            Column::words("What holds the bar", 15),
            Column::words("A start from the top", 22),
            Column::words("Do instead", 42),
        ],
        rows: rows.collect(),
    }));
    blocks
}

/// Where the count stands that may have to be set.
fn count(said: &Said<'_>) -> String {
    let counter = said.job.control.counter.as_ref().map(|counter| counter.made);
    match (said.job.file.count.by, counter) {
        (CountBy::Variable, _) => {
            format!("The count of this bar is #{}.", said.job.file.count.variable)
        }
        (CountBy::Counter, Some(made)) => {
            format!("The count of this bar is the control's part counter, #{made}.")
        }
        _ => "No number holds the count of this bar.".to_owned(),
    }
}

/// Stops that lead to the same, in the order of their first.
fn groups(entries: &[Entry], parts: u32) -> Vec<Vec<&Entry>> {
    let mut groups: Vec<Vec<&Entry>> = Vec::new();
    for entry in entries {
        match groups.iter_mut().find(|group| same(group[0], entry, parts)) {
            Some(group) => group.push(entry),
            None => groups.push(vec![entry]),
        }
    }
    groups
}

fn same(one: &Entry, other: &Entry, parts: u32) -> bool {
    (one.chuck_open, one.gripped) == (other.chuck_open, other.gripped)
        && one.count_error == other.count_error
        && one.troubles == other.troubles
        && advice(one, parts) == advice(other, parts)
}

/// What to do; where all parts of the bar are made, nothing is drawn any more.
fn advice(entry: &Entry, parts: u32) -> String {
    let advice = entry.advice_counting("the parts made of this bar");
    if entry.parts < parts {
        return advice;
    }
    advice.replace(
        DRAW_FIRST,
        "All parts of this bar are off: take out what is left and load a new bar.",
    )
}

fn row(group: &[&Entry], files: &[Source], last: u32, parts: u32) -> Vec<String> {
    let entry = group[0];
    let advice = advice(entry, parts);
    vec![places(group, files, last), holds(entry).to_owned(), from_the_top(entry), advice]
}

const fn holds(entry: &Entry) -> &'static str {
    match (entry.chuck_open, entry.gripped) {
        (false, false) => "the chuck",
        (false, true) => "chuck and gripper",
        (true, true) => "ONLY THE GRIPPER",
        (true, false) => "NOTHING",
    }
}

fn from_the_top(entry: &Entry) -> String {
    let parts = u32::try_from(entry.count_error.unsigned_abs()).unwrap_or(u32::MAX);
    let count = match entry.count_error {
        0 => "the count stays right".to_owned(),
        1.. => format!("{} not counted", counted(parts, "part")),
        _ => format!("{} too many counted", counted(parts, "part")),
    };
    if entry.troubles.is_empty() {
        return format!("no trouble was found; {count}");
    }
    let troubles: Vec<String> = entry.troubles.iter().map(|id| id.replace('-', " ")).collect();
    format!("DANGER: {}; {count}", troubles.join(", "))
}

/// The files and lines of some stops; those of the last cycle alone say so.
fn places(group: &[&Entry], files: &[Source], last: u32) -> String {
    let early: Vec<&Entry> = group.iter().copied().filter(|entry| entry.cycle != last).collect();
    let of_last: Vec<&Entry> = group.iter().copied().filter(|entry| entry.cycle == last).collect();
    let (early, of_last) = (lines(&early, files), lines(&of_last, files));
    if early == of_last || of_last.is_empty() {
        return said_lines(&early);
    }
    let only: Vec<_> = of_last.iter().filter(|it| !within(it, &early)).cloned().collect();
    let mut words = said_lines(&early);
    if !only.is_empty() {
        if !words.is_empty() {
            words.push_str("; ");
        }
        words.push_str(&format!("last cycle: {}", said_lines(&only)));
    }
    words
}

/// A file with a first and a last line.
type Lines = (String, u32, u32);

fn within((name, from, to): &Lines, all: &[Lines]) -> bool {
    all.iter().any(|(other, first, last)| other == name && first <= from && to <= last)
}

/// The lines of some stops, neighbors together, in their order.
fn lines(entries: &[&Entry], files: &[Source]) -> Vec<Lines> {
    let mut lines: Vec<(String, u32)> = entries
        .iter()
        .filter_map(|entry| {
            let file = files.get(entry.spot.tree as usize)?;
            Some((file.name().to_owned(), file.locate(entry.spot.span.start).line))
        })
        .collect();
    lines.sort();
    lines.dedup();
    let mut ranges: Vec<Lines> = Vec::new();
    for (name, line) in lines {
        match ranges.last_mut() {
            Some((of, _, to))
                if *of == name && no_stop_between(file_of(files, &name), *to, line) =>
            {
                *to = line;
            }
            _ => ranges.push((name, line, line)),
        }
    }
    ranges
}

fn file_of<'f>(files: &'f [Source], name: &str) -> Option<&'f Source> {
    files.iter().find(|file| file.name() == name)
}

/// Whether no block stands between two lines: only remarks and empty lines.
fn no_stop_between(file: Option<&Source>, from: u32, to: u32) -> bool {
    let Some(file) = file else { return from + 1 == to };
    let bare = |line: u32| {
        let text = file.text_of(file.line(line));
        let text = text.trim();
        text.is_empty() || text.starts_with('(')
    };
    (from + 1..to).all(bare)
}

fn said_lines(lines: &[Lines]) -> String {
    let mut words = String::new();
    let mut of = "";
    for (name, from, to) in lines {
        let stem = name.trim_end_matches(".nc");
        if of == name {
            words.push_str(", ");
        } else {
            let before = if words.is_empty() { "" } else { "; " };
            words.push_str(&format!("{before}{stem} line "));
            of = name;
        }
        words.push_str(&if from == to { from.to_string() } else { format!("{from}–{to}") });
    }
    words
}
