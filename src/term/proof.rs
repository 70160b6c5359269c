//! A proof in words.

use model::{Units, Unproven};
use nc::program::Library;
use prove::Proof;
use prove::count::CountKind;
use prove::event::EndedBy;
use prove::reentry::Entry;
use std::fmt::Write as _;

/// What was not proven, each with its reason.
pub fn unproven(unproven: &[Unproven]) -> String {
    if unproven.is_empty() {
        return String::new();
    }
    let mut text = "Unproven:\n".to_owned();
    let mut before = "";
    for one in unproven {
        let why = if one.why == before { "for the same reason" } else { &one.why };
        let _ = writeln!(text, "  - {}: {why}", one.what);
        before = &one.why;
    }
    text.push('\n');
    text
}

/// What a whole proof came to.
pub fn proof(proof: &Proof, units: Units) -> String {
    let mut text = format!("{}: ", proof.verdict.word());
    let ended = match proof.ended_by {
        EndedBy::Count => "the program ends by itself",
        EndedBy::Bar => "the bar runs out while the program goes on",
        EndedBy::Never => "the program would never end",
        EndedBy::Fault => "the control would stop with an alarm",
    };
    let parts = if proof.parts == 1 { "part" } else { "parts" };
    let _ = writeln!(text, "{} {parts}, {ended}", proof.parts);
    let _ =
        writeln!(text, "  time      {}, one cycle {:.1} s", clock(proof.time.s()), proof.cycle.s());
    match proof.remnant {
        Some(remnant) => {
            let _ = writeln!(text, "  remnant   {}", remnant.shown(units));
        }
        None => text.push_str("  remnant   unproven\n"),
    }
    let _ = writeln!(text, "  count     {}", count(proof));
    text
}

fn count(proof: &Proof) -> String {
    let by = match proof.count.kind {
        CountKind::Variable(number) => format!("by #{number}"),
        CountKind::Counter => "by the control's part counter".to_owned(),
        CountKind::Repeat => "by the repeats of a call".to_owned(),
        CountKind::None => return "nothing counts the parts".to_owned(),
    };
    let survives = if proof.count.survives_reset { "survives a reset" } else { "lost at a reset" };
    let worst = match proof.count.worst_error {
        0 => "never wrong after one".to_owned(),
        1 => "wrong by at most 1 part after one".to_owned(),
        parts => format!("wrong by at most {parts} parts after one"),
    };
    format!("{by}, {survives}, {worst}")
}

/// What a stop at each block leads to; blocks that lead to the same stand together.
pub fn stops(proof: &Proof, library: &Library) -> String {
    let mut text = "After a stop with reset, and a start from the top:\n".to_owned();
    let mut entries = proof.entries.as_slice();
    while let Some(first) = entries.first() {
        let alike = entries.iter().take_while(|entry| same(first, entry)).count().max(1);
        let last = &entries[alike - 1];
        text += &stop(first, last, library);
        entries = &entries[alike..];
    }
    text.push('\n');
    text
}

fn same(one: &Entry, other: &Entry) -> bool {
    one.cycle == other.cycle
        && one.spot.tree == other.spot.tree
        && one.parts == other.parts
        && one.count_error == other.count_error
        && one.troubles == other.troubles
        && one.advice() == other.advice()
}

fn stop(first: &Entry, last: &Entry, library: &Library) -> String {
    let line = |entry: &Entry| {
        let tree = library.trees().get(entry.spot.tree as usize)?;
        Some((tree.source.name().to_owned(), tree.source.locate(entry.spot.span.start).line))
    };
    let (name, from) = line(first).unwrap_or_default();
    let (_, to) = line(last).unwrap_or_default();
    let lines = if from == to { format!("line {from}") } else { format!("lines {from} to {to}") };
    let mut text = format!("  cycle {}, {name} {lines}, {} parts made: ", first.cycle, first.parts);
    text += &match (first.troubles.is_empty(), first.count_error) {
        (false, _) => format!("DANGER ({}). ", first.troubles.join(", ")),
        (true, 0) => "the count stays right. ".to_owned(),
        (true, missed @ 1..) => format!("{missed} parts would not be counted. "),
        (true, invented) => format!("{} parts too many would be counted. ", -invented),
    };
    text += &first.advice();
    text.push('\n');
    text
}

/// A time as a person says it: seconds, minutes, hours.
pub(super) fn clock(seconds: f64) -> String {
    let whole = seconds.round() as u64;
    match whole {
        0..120 => format!("{seconds:.1} s"),
        120..7200 => format!("{} min {:02} s", whole / 60, whole % 60),
        _ => format!("{} h {:02} min", whole / 3600, whole % 3600 / 60),
    }
}
