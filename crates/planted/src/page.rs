//! The score as a page, `docs/proof.md`.

use crate::good::{self, Writer};
use crate::kinds::{Kind, not_yet};
use crate::score::{Alarms, Known, Score, alarms};
use std::collections::{BTreeMap, BTreeSet};

/// The whole page, the same every time.
pub fn of(known: &[Known], scores: &[(&Kind, Score)]) -> String {
    let alarms = alarms(known);
    [
        head(known, scores, &alarms),
        good_programs(&alarms),
        table(scores),
        not_found(scores),
        limits(known),
    ]
    .join("\n")
}

fn head(known: &[Known], scores: &[(&Kind, Score)], alarms: &Alarms) -> String {
    let planted: u32 = scores.iter().map(|(_, score)| score.planted).sum();
    let right: u32 = scores.iter().flat_map(|(_, score)| score.right.values()).sum();
    format!(
        "# What the proof finds\n\n\
         Written by `cargo run --release -p barwright-planted`; do not edit.\n\n\
         Mistakes of {} kinds are planted into good programs, one in each copy, and each copy is proven. \
         A mistake counts as found when a finding that names this very trouble appears that the good program \
         does not have. It is planted only where it does harm, judged from the text and the files of the shop, \
         never by asking the prover. Everything follows from fixed numbers: each run gives this same page.\n\n\
         **{right} of {planted} planted mistakes are found with the right finding; {} of {} good programs raise \
         a false stop.**\n",
        scores.len(),
        alarms.stopped,
        known.len()
    )
}

/// What is said of good programs, with the reason where it is true.
fn good_programs(alarms: &Alarms) -> String {
    let mut text = format!(
        "## Good programs\n\n\
         {} programs by the planner, for invented jobs: round, hexagon and square bars, millimeters and inches, \
         one to four parts an advance, all three ways of counting, both styles of gripper, code systems A, B and \
         C, chucks and spindles with and without confirmation. {} by hand: the good ones among the prover's own \
         tests, on either side of the axis, and variations of each (other length of bar, modal words left out \
         or said again, distances for places, numbers, spacing, comments, zeros, line ends).\n\n\
         | level | finding | programs | why it is none |\n|---|---|---|---|\n",
        alarms.by_plan, alarms.by_hand
    );
    for ((level, id), (times, first)) in &alarms.findings {
        let why = match is_true(id) {
            Some(why) => format!("true: {why}"),
            None => format!("**false alarm**, first in {first}"),
        };
        text += &format!("| {} | `{id}` | {times} | {why} |\n", level.word());
    }
    text
}

/// Why a finding in a good program is no false alarm: the invented job asks for what it says.
fn is_true(id: &str) -> Option<&'static str> {
    Some(match id {
        "count-lost-at-reset" => "the repeats of a subprogram start anew after a reset",
        "more-than-ordered" => "an advance of several parts makes more than a small order",
        "count-is-passes" => "the program steps its count by one for several parts",
        "cut-before-speed" => {
            "the lathe file says that cuts do not wait for the spindle, and the planner writes no wait"
        }
        "bar-left-over" => "the order ends before the bar",
        _ => return None,
    })
}

fn table(scores: &[(&Kind, Score)]) -> String {
    let mut text = "## Planted mistakes\n\n\
         *Other* counts those of which only other findings came, *missed* those of which none came.\n\n\
         | family | kind: a person … | right finding | planted | right | other | missed | level |\n\
         |---|---|---|---|---|---|---|---|\n"
        .to_owned();
    for (kind, score) in scores {
        let right: u32 = score.right.values().sum();
        let ids: Vec<String> = kind.right.iter().map(|id| format!("`{id}`")).collect();
        let why = if kind.why.is_empty() { String::new() } else { format!(" ({})", kind.why) };
        let levels: Vec<&str> = score.right.keys().rev().map(|level| level.word()).collect();
        text += &format!(
            "| {} | {} | {}{why} | {} | {right} | {} | {} | {} |\n",
            kind.family,
            kind.wrong,
            ids.join(" "),
            score.planted,
            score.other,
            score.missed,
            levels.join(", ")
        );
    }
    text
}

fn not_found(scores: &[(&Kind, Score)]) -> String {
    let mut text = "## Not found, and why\n\n".to_owned();
    for (kind, score) in scores.iter().filter(|(_, score)| !score.all_right()) {
        let why = not_yet::why(kind.name).unwrap_or("a gap: see the examples");
        let said: Vec<String> =
            score.others.iter().map(|(id, times)| format!("`{id}` {times}")).collect();
        let said = if said.is_empty() { "nothing".to_owned() } else { said.join(", ") };
        let example = score.examples.first().map_or("", String::as_str);
        let of = score.other + score.missed;
        text += &format!(
            "- **{}** ({of} of {}): {why}. Said instead: {said}. For example {example}.\n",
            kind.wrong, score.planted
        );
    }
    if scores.iter().all(|(_, score)| score.all_right()) {
        text += "All that was planted is found. Mistakes of other kinds are not scored; one that was given up is a \
                 nose radius offset left out, since every drawing at hand allows what the nose then leaves.\n";
    }
    for (kind, _) in scores.iter().filter(|(_, score)| score.planted == 0) {
        text += &format!(
            "- **{}**: planted nowhere; no good program has a place for it.\n",
            kind.wrong
        );
    }
    text
}

/// What the proofs themselves say is not checked, and the page of the prover's limits.
fn limits(known: &[Known]) -> String {
    let mut text = "## What is not modelled\n\n".to_owned();
    if good::file(&good::repository().join("docs/proof-limits.md")).is_ok() {
        text += "See [proof-limits.md](proof-limits.md). ";
    }
    text += "What the proofs of these good programs file as unproven, with the reason:\n\n";
    let mut said: BTreeMap<(String, String), [u32; 2]> = BTreeMap::new();
    for one in known {
        let unproven = one.proof().unproven.iter();
        let each: BTreeSet<_> = unproven
            .map(|unproven| (any_station(&unproven.what), any_station(&unproven.why)))
            .collect();
        for one_kind in each {
            let by = usize::from(one.good.writer == Writer::Hand);
            said.entry(one_kind).or_default()[by] += 1;
        }
    }
    for ((what, why), [plan, hand]) in said {
        text += &format!("- {what}: {why} ({plan} by the planner, {hand} by hand).\n");
    }
    text
}

/// The text without the numbers of stations, which differ from job to job.
fn any_station(text: &str) -> String {
    let mut parts = text.split("station ");
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |said, part| {
        let rest = part.trim_start_matches(|letter: char| letter.is_ascii_digit());
        let number = if rest.len() < part.len() { "…" } else { "" };
        said + "station " + number + rest
    })
}
