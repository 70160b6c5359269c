//! What is set to zero, how the first run goes, and what is measured on the first piece.

use super::{Block, Column, Facts, Said, Table, counted, facts};
use crate::sizes::{Size, SizeOf, sizes};
use model::Units;
use model::files::job::{CountBy, Feature, FeatureKind};
use model::standards::Limits;
use prove::count::CountKind;

pub(super) fn blocks(said: &Said<'_>) -> Vec<Block> {
    [counts(said), Some(first_run(said)), first_piece(said), threads(said)]
        .into_iter()
        .flatten()
        .collect()
}

/// What counts, what to set and when, and what a reset does to it.
fn counts(said: &Said<'_>) -> Option<Block> {
    let (job, bar, answer) = (said.job, &said.answer.bar, said.answer);
    let names: Vec<String> = answer.programs.iter().map(|it| said.program(it)).collect();
    let [main, ..] = names.as_slice() else { return None };
    let order = job.file.count.variable + 1;
    let (of_bar, at_order, at_bar) = match (job.file.count.by, names.get(1)) {
        (CountBy::Repeat, _) => (
            "the calls of a subprogram; no number holds it".to_owned(),
            "nothing: the order is counted by hand".to_owned(),
            format!("nothing: starting {main} from the top begins a bar"),
        ),
        (by, new_bar) => (
            match by {
                CountBy::Counter => {
                    let made = job.control.counter.as_ref().map(|counter| counter.made);
                    format!(
                        "the control's part counter, read as #{}",
                        made.unwrap_or(job.file.count.variable)
                    )
                }
                _ => format!("#{}", job.file.count.variable),
            },
            format!("#{order} to 0, by hand"),
            format!("run {} once", new_bar.map_or("the new-bar program", String::as_str)),
        ),
    };
    let mut rows = vec![
        ("Parts of this bar are in", of_bar),
        ("A bar ends at", counted(bar.parts_per_bar, "part")),
    ];
    if job.file.count.by != CountBy::Repeat {
        rows.push(("Parts of the order are in", format!("#{order}")));
    }
    rows.extend([
        ("The order ends at", counted(job.file.order.quantity, "part")),
        (
            "Bars, parts in the last",
            format!(
                "{}, {}",
                bar.blanks.map_or("?".to_owned(), |it| counted(it, "bar")),
                bar.parts_in_last
            ),
        ),
        ("Before the order set", at_order),
        ("After each loaded bar", at_bar),
        ("After a reset", reset(said)),
    ]);
    Some(Block::Facts(Facts { name: "counts", title: "Counts", rows: facts(rows) }))
}

fn reset(said: &Said<'_>) -> String {
    let Some(proof) = &said.answer.proof else { return "unproven: nothing was run".to_owned() };
    if !proof.every_stop_tried {
        return "unproven: not every block could be tried".to_owned();
    }
    let count = &proof.count;
    if count.kind == CountKind::None {
        return "nothing counts the parts".to_owned();
    }
    let survives = if count.survives_reset { "the count survives it" } else { "THE COUNT IS LOST" };
    let worst = match count.worst_error {
        0 => "and is never wrong after a start from the top".to_owned(),
        worst => {
            format!("and may be wrong by {} after a start from the top", counted(worst, "part"))
        }
    };
    format!("{survives} {worst}; see chapter 6")
}

fn first_run(said: &Said<'_>) -> Block {
    let acts = plan::acts::Acts::new(said.job, &said.answer.bar);
    let lines = vec![
        "Tools measured, offsets entered, each checked against the station table above.".to_owned(),
        format!(
            "Single block on, rapids reduced, hand on the feed hold; spindle speed limited to {:.0} rev/min or less.",
            acts.clamp().rpm()
        ),
        "First with the chuck empty or with a short blank, tools well clear; then the first part of a bar to its part-off.".to_owned(),
        "The first advance block by block, with the table above: engagement and jaw gap measured before the chuck opens.".to_owned(),
        "After the first advance measure the stick-out; after the second part measure the part again: a pull short by more than the face stock scraps it.".to_owned(),
        format!(
            "First piece into the table below. One cycle takes {:.1} s, of it the advance {:.1} s; a cycle that takes much longer or shorter is not this program.",
            said.answer.times.cycle.s(),
            said.answer.times.advance.s()
        ),
    ];
    Block::List("First run", lines)
}

fn first_piece(said: &Said<'_>) -> Option<Block> {
    let rows: Vec<Vec<String>> = sizes(&said.job.file).iter().map(|size| row(said, size)).collect();
    (!rows.is_empty()).then(|| {
        Block::Table(Table {
            name: "first-piece",
            title: "First piece: measured against the drawing (numbers as on the drawing)",
            columns: vec![
                Column::figures("No.", 5),
                Column::words("Size", 25),
                Column::figures("Drawing", 10),
                Column::figures("Least", 10),
                Column::figures("Most", 10),
                Column::figures("Middle", 10),
                Column::words("Limits from", 11),
                Column::figures("Ra most", 8),
                Column::to_fill("Part 1", 10),
                Column::to_fill("Part 2", 10),
            ],
            rows,
        })
    })
}

fn row(said: &Said<'_>, size: &Size) -> Vec<String> {
    let diameter = matches!(size.of, SizeOf::Diameter(_));
    let mark = if diameter { "⌀" } else { "" };
    let limit = |length: Option<model::Length>| length.map_or("?".to_owned(), |it| said.figure(it));
    // A figure that falls between two digits shows one more.
    let middle = size.middle().map_or("?".to_owned(), |middle| {
        let decimals = said.units.decimals();
        let exact = middle.round_to(said.units, decimals) == middle;
        middle.text(said.units, decimals + usize::from(!exact))
    });
    let ra = size.ra.map_or(String::new(), |ra| match said.units {
        Units::Mm => format!("{} µm", number(ra.um())),
        Units::Inch => format!("{} µin", number(ra.um() / 0.025_4)),
    });
    vec![
        size.number.to_string(),
        size.words.clone(),
        format!("{mark}{}", said.figure(size.nominal)),
        limit(size.limits.map(|(least, _)| least)),
        limit(size.limits.map(|(_, most)| most)),
        middle,
        match (size.own, size.limits) {
            (true, _) => "drawing",
            (false, Some(_)) => "ISO 2768-m",
            (false, None) => "not known",
        }
        .to_owned(),
        ra,
        String::new(),
        String::new(),
    ]
}

fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Threads are measured with gauges: their limits follow from the designation, where there is one.
fn threads(said: &Said<'_>) -> Option<Block> {
    let threads = said.job.file.part.features.iter();
    let here = threads.filter(|it| it.kind == FeatureKind::Thread && !it.later);
    let row = |feature: &Feature| {
        let form = feature.thread()?;
        let range = |limits: Limits| {
            format!("{} to {}", said.figure(limits.least), said.figure(limits.most))
        };
        let name = if form.name.is_empty() {
            format!("⌀{}, pitch {}", said.figure(feature.diameter), said.figure(feature.pitch))
        } else {
            form.name.clone()
        };
        let limits = form.limits.map_or(["not known"; 3].map(str::to_owned), |it| {
            [range(it.major), range(it.pitch), range(it.minor)]
        });
        let [major, pitch, minor] = limits;
        let place = if feature.inside { "inside" } else { "outside" };
        Some(vec![name, place.to_owned(), major, pitch, minor, String::new(), String::new()])
    };
    let rows: Vec<Vec<String>> = here.filter_map(row).collect();
    (!rows.is_empty()).then(|| {
        Block::Table(Table {
            name: "threads",
            title: "Threads of the first piece: go and no-go gauges",
            columns: vec![
                Column::words("Thread", 17),
                Column::words("Where", 9),
                Column::words("Major diameter", 17),
                Column::words("Pitch diameter", 17),
                Column::words("Minor diameter", 17),
                Column::to_fill("Goes", 9),
                Column::to_fill("No-go", 9),
            ],
            rows,
        })
    })
}
