//! A proof in words.

use super::lines::paragraph;
use model::finding::Verdict;
use model::{Units, Unproven};
use prove::Proof;
use prove::count::CountKind;
use prove::event::EndedBy;
use std::fmt::Write as _;

/// What was not proven, by reason.
pub fn unproven(unproven: &[Unproven]) -> String {
    let mut reasons: Vec<&str> = Vec::new();
    for one in unproven {
        if !reasons.contains(&one.why.as_str()) {
            reasons.push(&one.why);
        }
    }
    let mut text = String::new();
    for reason in reasons {
        text += &paragraph("", &format!("Unproven, because {reason}:"));
        for one in unproven.iter().filter(|one| one.why == reason) {
            text += &paragraph("  - ", &one.what);
        }
        text.push('\n');
    }
    text
}

/// The verdict, and how much it leaves open.
pub(super) fn verdict(verdict: Verdict, unproven: &[Unproven]) -> String {
    let word = match verdict {
        Verdict::Clear if !unproven.is_empty() => "clear in what was checked",
        verdict => verdict.word(),
    };
    match unproven.len() {
        0 => word.to_owned(),
        1 => format!("{word}; 1 thing is unproven"),
        many => format!("{word}; {many} things are unproven"),
    }
}

/// What a whole proof came to.
pub fn proof(proof: &Proof, units: Units) -> String {
    let mut text = verdict(proof.verdict, &proof.unproven);
    let mut row = |name: &str, words: &str| {
        let _ = write!(text, "\n  {name:<9} {words}");
    };
    let ended = match proof.ended_by {
        EndedBy::Count => "the program ends by itself",
        EndedBy::Bar => "the bar runs out while the program goes on",
        EndedBy::Never => "the program would never end",
        EndedBy::Fault => "the control would stop with an alarm",
    };
    match proof.parts {
        0 => row("parts", &format!("none was seen to fall; {ended}")),
        parts => row("parts", &format!("{parts}; {ended}")),
    }
    row("time", &format!("{}, one cycle {:.1} s", clock(proof.time.s()), proof.cycle.s()));
    let remnant = proof.remnant.map(|remnant| remnant.shown(units));
    row("remnant", remnant.as_deref().unwrap_or("unproven"));
    row("count", &count(proof));
    text.push('\n');
    text
}

fn count(proof: &Proof) -> String {
    let by = match proof.count.kind {
        CountKind::Variable(number) => format!("by #{number}"),
        CountKind::Counter => "by the control's part counter".to_owned(),
        CountKind::Repeat => "by the repeats of a call".to_owned(),
        CountKind::None => return "nothing counts the parts".to_owned(),
    };
    if !proof.every_stop_tried {
        return format!("{by}; what a reset does to it is unproven");
    }
    let survives = if proof.count.survives_reset { "survives a reset" } else { "lost at a reset" };
    let worst = match proof.count.worst_error {
        0 => "never wrong after one".to_owned(),
        1 => "wrong by at most 1 part after one".to_owned(),
        parts => format!("wrong by at most {parts} parts after one"),
    };
    format!("{by}, {survives}, {worst}")
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
