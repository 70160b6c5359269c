//! What the picture of sizes says in words.

use super::{DRIFT_OVER, SizeChart};
use crate::sheet::counted;
use calc::sizes::Reading;
use calc::sizes::chart::{Chart, Point};
use calc::sizes::outliers::Outlier;
use model::quantity::Probability;
use model::{Length, Units};

/// The picture in words.
pub fn description(shown: &SizeChart<'_>) -> String {
    let told = |length: Length| told(length, shown.units);
    let chart = shown.chart;
    let (what, sigma, them) = match chart.group {
        1 => ("readings".to_owned(), "sigma", "them"),
        group => (format!("groups of {group}"), "sigma within a group", "their means"),
    };
    let mut words = format!(
        "{} {what}, center {}, {sigma} {}; chance keeps {them} from {} to {}.",
        chart.points.len(),
        told(chart.sizes.center),
        told(chart.sigma),
        told(chart.sizes.low),
        told(chart.sizes.high),
    );
    if let Some(drift) = shown.drift {
        words += &format!(" It surely drifts, {} in {DRIFT_OVER} parts.", told(drift));
    }
    match shown.seen.last() {
        Some(last) => {
            words += &format!(
                " Seen {}, last at {}: {}.",
                times(shown.seen.len()),
                at(chart, last.at),
                last.rule.sees()
            );
        }
        None if shown.drift.is_some() => words += " Beside that no run rule sees anything.",
        None => words += " No run rule sees anything.",
    }
    if !shown.outliers.is_empty() {
        words += &format!(" Set apart: {}.", outlier_words(shown));
    }
    words + &ahead_words(shown)
}

fn ahead_words(shown: &SizeChart<'_>) -> String {
    let Some(ahead) = shown.ahead else { return String::new() };
    if ahead.limit.parts == 0 {
        return " Gauge the next part: the limit is too near for any risk so small.".to_owned();
    }
    let next = ahead.last.saturating_add(ahead.limit.parts);
    let why =
        if ahead.limit.by_drift { "the drift" } else { "no limit is near; the longest asked for" };
    format!(
        " Gauge again after {}, at part {next}, with a risk of {} ({why}).",
        counted(ahead.limit.parts, "part"),
        percent(ahead.limit.chance)
    )
}

fn outlier_words(shown: &SizeChart<'_>) -> String {
    let one = |it: &Outlier| {
        format!("part {} at {}", it.reading.part, told(it.reading.size, shown.units))
    };
    shown.outliers.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// What is seen, in one line: drift, run rules, what is set apart.
pub(super) fn seen(shown: &SizeChart<'_>) -> String {
    let rule =
        shown.seen.last().map(|last| format!("{}: {}", at(shown.chart, last.at), last.rule.sees()));
    let drift = shown.drift.map(|drift| {
        format!("It surely drifts, {} in {DRIFT_OVER} parts", told(drift, shown.units))
    });
    let mut words = match (drift, rule) {
        (Some(drift), Some(rule)) => format!("{drift}; {rule}"),
        (Some(drift), None) => format!("{drift}; beside that no run rule sees anything"),
        (None, Some(rule)) => format!("Seen at {rule}"),
        (None, None) => "No run rule sees more than chance".to_owned(),
    };
    match shown.outliers.len() {
        0 => {}
        1 => words += &format!("; set apart: {}", outlier_words(shown)),
        many => words += &format!("; set apart: {many} readings"),
    }
    words
}

/// What happened just before a point, and which of its parts are outside of their limits.
pub(super) fn noted(shown: &SizeChart<'_>, point: &Point) -> Vec<String> {
    let before = shown.kept.iter().map(|it| it.part).filter(|it| *it < point.first);
    let before = before.max().unwrap_or(0);
    let moved = shown.moves.iter().filter(|it| before < it.before && it.before <= point.part);
    let mut words: Vec<String> =
        moved.map(|it| format!("offset moved by {}", told(it.by, shown.units))).collect();
    let Some(band) = shown.band else { return words };
    let of_point = |it: &&Reading| (point.first..=point.part).contains(&it.part);
    let outside: Vec<&Reading> =
        shown.kept.iter().filter(of_point).filter(|it| !band.holds(it.size)).collect();
    if shown.chart.group == 1 && !outside.is_empty() {
        words.push("outside of the drawing's limits".to_owned());
    } else {
        words.extend(outside.into_iter().map(|it| {
            let size = told(it.size, shown.units);
            format!("part {} at {size} is outside of the drawing's limits", it.part)
        }));
    }
    words
}

/// A length with one decimal more than a shop writes: limits of chance are finer than sizes.
pub(super) fn told(length: Length, units: Units) -> String {
    format!("{} {}", length.text(units, units.decimals() + 1), units.symbol())
}

pub(super) fn percent(chance: Probability) -> String {
    format!("{:.1} %", 100.0 * chance.ratio())
}

fn times(count: usize) -> String {
    if count == 1 { "once".to_owned() } else { format!("{count} times") }
}

fn at(chart: &Chart, index: usize) -> String {
    chart.points.get(index).map_or_else(String::new, named)
}

/// The part of a point, or its parts.
pub(super) fn named(point: &Point) -> String {
    if point.first == point.part {
        format!("part {}", point.part)
    } else {
        format!("parts {}", parts_of(point, " to "))
    }
}

/// Their numbers.
pub(super) fn parts_of(point: &Point, to: &str) -> String {
    if point.first == point.part {
        point.part.to_string()
    } else {
        format!("{}{to}{}", point.first, point.part)
    }
}
