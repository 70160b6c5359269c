//! How long one may leave, when edges are changed, and what is measured how often.

use super::{Block, Column, Said, Table, clock, counted};
use crate::sizes::{Size, SizeOf, sizes};
use calc::life::Change;
use model::files::tools::ToolKind;
use plan::edges::EdgeUse;

/// Changes that are told one by one.
const TOLD: usize = 8;

pub(super) fn blocks(said: &Said<'_>) -> Vec<Block> {
    let mut blocks = vec![limits(said), edges(said)];
    blocks.extend(learned(said));
    blocks.extend(gauges(said));
    if !said.answer.reminders.is_empty() {
        let lines = said.answer.reminders.clone();
        blocks.push(Block::List("Before you leave it alone", lines));
    }
    blocks
}

fn limits(said: &Said<'_>) -> Block {
    let limits = said.answer.walk_away.limits.iter().enumerate();
    let rows = limits.map(|(index, limit)| {
        let first = if index == 0 { "be back by then" } else { "" };
        vec![clock(limit.at.s()), limit.parts.to_string(), limit.name.clone(), first.to_owned()]
    });
    Block::Table(Table {
        name: "limits",
        title: "How long one may leave: counted from the first cycle start of a new bar",
        columns: vec![
            Column::figures("After", 15),
            Column::figures("Parts", 10),
            Column::words("What is reached", 55),
            Column::words("", 20),
        ],
        rows: rows.collect(),
    })
}

/// Figures of this sheet that the shop's own records taught.
fn learned(said: &Said<'_>) -> Option<Block> {
    let lines = said.answer.learned.iter().map(|told| match &told.not_used {
        None => format!("{}.", told.words),
        Some(why) => format!("NOT USED, since {why}: {}.", told.words),
    });
    let lines: Vec<String> = lines.collect();
    let title =
        "Learned from the shop's log, and switched on in the job: times and edges count with it";
    (!lines.is_empty()).then_some(Block::List(title, lines))
}

fn edges(said: &Said<'_>) -> Block {
    Block::Table(Table {
        name: "edges",
        title: "Edge changes",
        columns: vec![
            Column::figures("Station", 9),
            Column::words("Tool", 20),
            Column::figures("Parts an edge makes", 20),
            Column::figures("Edges", 8),
            Column::words("Change", 43),
        ],
        rows: said.answer.edges.iter().map(edge).collect(),
    })
}

fn edge(edge: &EdgeUse) -> Vec<String> {
    let (parts, change) = match &edge.parts {
        Ok(parts) => (
            format!("{} ({} to {})", parts.nominal, parts.low, parts.high),
            edge.changes
                .as_ref()
                .map_or("not known, or too often to tell".to_owned(), |it| changes(it)),
        ),
        Err(lack) => ("not known".to_owned(), format!("not known: {lack}")),
    };
    vec![
        edge.station.to_string(),
        edge.name.clone(),
        parts,
        edge.edges.map_or("?".to_owned(), |edges| edges.to_string()),
        change,
    ]
}

/// When an edge is changed, in few words: those inside a bar first, since they stop the lathe.
fn changes(changes: &[Change]) -> String {
    let inside: Vec<&Change> = changes.iter().filter(|it| !it.with_bar).collect();
    let bars: Vec<usize> = changes.iter().filter(|it| it.with_bar).map(|it| it.bar).collect();
    let Some(first) = changes.first() else { return "none in this order".to_owned() };
    let mut words = Vec::new();
    if !inside.is_empty() {
        let told = inside.iter().take(TOLD);
        let told: Vec<String> =
            told.map(|it| format!("{} (bar {})", it.before_part, it.bar)).collect();
        let more = match inside.len().saturating_sub(TOLD) {
            0 => String::new(),
            more => format!(" and {more} times more"),
        };
        words.push(format!("INSIDE A BAR before part {}{more}", told.join(", ")));
    }
    if !bars.is_empty() {
        words.push(format!("with bar {}", ranges(&bars)));
    }
    format!("{}; first before part {} of the order", words.join("; "), first.before_part)
}

/// Numbers in their order, neighbors as a range; no more than [`TOLD`] of these.
fn ranges(numbers: &[usize]) -> String {
    let mut ranges: Vec<(usize, usize)> = Vec::new();
    for number in numbers {
        match ranges.last_mut() {
            Some((_, last)) if *last + 1 == *number => *last = *number,
            _ => ranges.push((*number, *number)),
        }
    }
    let said = |(from, to): &(usize, usize)| match to - from {
        0 => from.to_string(),
        1 => format!("{from}, {to}"),
        _ => format!("{from} to {to}"),
    };
    let told: Vec<String> = ranges.iter().take(TOLD).map(said).collect();
    let more = if ranges.len() > TOLD { ", and so on" } else { "" };
    format!("{}{more}", told.join(", "))
}

/// Which sizes are measured when: at the times at which someone stands at the lathe anyway, and as often
/// as the wear of the edge asks for. How sizes drift otherwise is in no file.
fn gauges(said: &Said<'_>) -> Vec<Block> {
    let sizes = sizes(&said.job.file);
    let own: Vec<&Size> = sizes.iter().filter(|size| size.own).collect();
    if own.is_empty() {
        let words = "The drawing gives no tolerance of its own: measure the sizes of the first-piece table at each new bar. How often between is not known: nothing is recorded of how sizes drift.";
        return vec![Block::Words(words.to_owned())];
    }
    let rows = own.iter().map(|size| {
        let station = station(said, size);
        vec![
            size.number.to_string(),
            format!("{} {}", size.words, said.figure(size.nominal)),
            size.limits.map_or(String::new(), |(least, most)| {
                format!("{} to {}", said.figure(least), said.figure(most))
            }),
            station.map_or("not known".to_owned(), |it| it.to_string()),
            when(said, station),
            more_often(said, station),
        ]
    });
    let table = Table {
        name: "gauging",
        title: "Gauge plan for the sizes with a tolerance of their own",
        columns: vec![
            Column::figures("No.", 5),
            Column::words("Size", 17),
            Column::words("Limits", 19),
            Column::words("Cut by station", 10),
            Column::words("Measure", 37),
            Column::words("More often?", 12),
        ],
        rows: rows.collect(),
    };
    let why = match said.job.file.walk_away.gauge_within {
        Some(_) => {
            "More often? is what the chart of gauged sizes said when `gauge_within` was written into the job. Go on writing down what you measure, with the part's number: the chart holds for wear that goes on as it did."
        }
        None => {
            "More often? is what the wear of the edge asks for, from the middle of the tolerance on and by the low end of its life. How a size drifts by heat is not known: write down what you measure, with the part's number."
        }
    };
    vec![Block::Table(table), Block::Words(why.to_owned())]
}

/// The station whose cut leaves a size.
fn station(said: &Said<'_>, size: &Size) -> Option<u32> {
    let cut = match size.of {
        SizeOf::Diameter(index) => said.job.file.part.features.get(index)?.cut(),
        SizeOf::End(_) => return None,
        SizeOf::Length => return Some(said.job.tools.first(ToolKind::Parting)?.number),
    };
    let mut cuts = said.answer.mechanics.of_each_part();
    let finishes = |(_, it): &(u32, &plan::mechanics::CutLoads)| {
        it.finishes.is_some_and(|step| step.diameter == cut)
    };
    cuts.find(finishes).map(|(station, _)| station)
}

/// How often a size may have drifted to a limit: as its chart says, else as the edge that leaves it wears.
fn more_often(said: &Said<'_>, station: Option<u32>) -> String {
    if let Some(parts) = said.job.file.walk_away.gauge_within {
        return format!("every {}", counted(parts, "part"));
    }
    let edge = station.and_then(|it| said.answer.edges.iter().find(|edge| edge.station == it));
    let Some(edge) = edge else { return "not known".to_owned() };
    match (&edge.drift, edge.keeps_size) {
        (Some(Ok(_)), Some(parts)) => format!("every {}", counted(parts, "part")),
        (Some(Ok(_)), None) => "with each edge".to_owned(),
        _ => "not known".to_owned(),
    }
}

fn when(said: &Said<'_>, station: Option<u32>) -> String {
    let bar = said.answer.bar.parts_per_bar;
    let mut words = vec![format!("first and last part of each bar ({})", counted(bar, "part"))];
    let edge = station.and_then(|it| said.answer.edges.iter().find(|edge| edge.station == it));
    let inside = edge.map_or(0, EdgeUse::inside);
    if inside > 0 {
        words.push("first part after each edge change inside a bar".to_owned());
    }
    if let Some(first) = said.answer.walk_away.first().filter(|it| it.parts > 0 && it.parts < bar) {
        words.push(format!("at each visit, at the latest after {}", counted(first.parts, "part")));
    }
    words.join("; ")
}
