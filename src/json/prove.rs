//! The JSON of a proof. The names are a promise to scripts: more may come, none goes.

use model::{Finding, Length, Unproven};
use nc::program::Library;
use prove::Proof;
use prove::reentry::Entry;
use serde_json::{Value, json};

/// A proof: lengths in mm, times in s, null where something is not known. With the programs, the
/// files read and the lines of the stops are told too.
pub fn proof(proof: &Proof, library: Option<&Library>) -> Value {
    json!({
        "verdict": proof.verdict.word(),
        "parts": proof.parts,
        "ended_by": proof.ended_by.word(),
        "time_s": seconds(proof.time.s()),
        "cycle_s": seconds(proof.cycle.s()),
        "remnant_mm": proof.remnant.map(mm),
        "count": {
            "kind": proof.count.kind.word(),
            "survives_reset": proof.count.survives_reset,
            "worst_error": proof.count.worst_error,
        },
        "findings": proof.findings.iter().map(finding).collect::<Vec<_>>(),
        "unproven": proof.unproven.iter().map(unproven).collect::<Vec<_>>(),
        "stops": proof.entries.iter().map(|one| entry(one, library)).collect::<Vec<_>>(),
        "files": library.map(files),
    })
}

/// A finding.
pub fn finding(finding: &Finding) -> Value {
    let start = finding.place.start();
    json!({
        "id": finding.id,
        "level": finding.level.word(),
        "file": finding.place.source.name(),
        "line": start.line,
        "column": start.column,
        "text": finding.place.source.text_of(finding.place.span),
        "cycle": finding.cycle,
        "at_s": finding.at_s.map(seconds),
        "cycles": finding.times,
        "message": finding.message,
        "remedy": finding.remedy,
    })
}

/// Something that was not proven.
pub(super) fn unproven(unproven: &Unproven) -> Value {
    json!({ "what": unproven.what, "why": unproven.why })
}

fn files(library: &Library) -> Vec<&str> {
    library.trees().iter().map(|tree| tree.source.name()).collect()
}

pub(super) fn entry(entry: &Entry, library: Option<&Library>) -> Value {
    let tree = library.and_then(|library| library.trees().get(entry.spot.tree as usize));
    json!({
        "file": tree.map(|tree| tree.source.name()),
        "line": tree.map(|tree| tree.source.locate(entry.spot.span.start).line),
        "block": entry.spot.block + 1,
        "cycle": entry.cycle,
        "parts": entry.parts,
        "chuck_open": entry.chuck_open,
        "gripped": entry.gripped,
        "part_is_off": entry.part_is_off,
        "count_error": entry.count_error,
        "troubles": entry.troubles,
        "advice": entry.advice(),
    })
}

/// Millimeters as a number: exact decimals, since a length has at most six of them.
pub(super) fn mm(length: Length) -> f64 {
    length.mm()
}

/// Seconds to the millisecond.
pub(super) fn seconds(seconds: f64) -> f64 {
    (seconds * 1000.0).round() / 1000.0
}
