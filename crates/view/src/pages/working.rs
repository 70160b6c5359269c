//! The working of an answer: formulas with their numbers, and checks with value, range, limit, source.

use super::marks::{self, State};
use super::say::{figure, spaced, words};
use crate::sheet::in_units;
use maud::{Markup, html};
use model::Units;
use plan::checks::{self, CheckLine};

/// One step of a working.
#[derive(Debug, Clone)]
pub struct Line {
    /// What it gives.
    pub name: &'static str,
    /// The formula in letters.
    pub formula: &'static str,
    /// The same with its numbers, and the result.
    pub numbers: String,
    /// Where it comes from, or what its letters mean.
    pub source: &'static str,
}

/// What opens under an answer. `id` is kept while the page lives, so that it stays open.
pub fn working(id: &str, inside: &Markup) -> Markup {
    html! {
        details class="working" id={ (id) "-working" } {
            summary { "How this is known" }
            div class="inside" { (inside) }
        }
    }
}

/// Formulas, one below the other.
pub fn lines(lines: &[Line]) -> Markup {
    html! {
        dl class="lines" {
            @for line in lines {
                div {
                    dt { (line.name) }
                    dd {
                        span class="formula" { (line.formula) }
                        span class="numbers" { "= " (line.numbers) }
                        small { (line.source) }
                    }
                }
            }
        }
    }
}

/// The checks of these ids, each with its range drawn against its limit; `about` says to what question.
pub fn checks(about: &str, all: &[CheckLine], ids: &[&str], units: Units) -> Markup {
    let shown: Vec<&CheckLine> =
        ids.iter().flat_map(|id| all.iter().filter(move |line| line.id == *id)).collect();
    html! {
        @if !shown.is_empty() {
            div class="scroll" tabindex="0" role="region" aria-label={ "Checks: " (about) } {
                table class="checks" {
                    thead {
                        tr {
                            th scope="col" { "Check" }
                            th scope="col" { "State" }
                            th scope="col" { "Value and range" }
                            th scope="col" { "Limit" }
                            th scope="col" { "Range against limit" }
                        }
                    }
                    tbody { @for line in shown { (row(line, units)) } }
                }
            }
        }
    }
}

fn row(line: &CheckLine, units: Units) -> Markup {
    let (scale, unit) = in_units(line.unit, units);
    // A thousandth of an inch is much.
    let figure = |value: f64| match unit {
        "in" => format!("{:.4}", value / scale),
        _ => figure(value / scale),
    };
    let limit = checks::ALL
        .iter()
        .find(|check| check.id == line.id)
        .map(|check| check.section("Limit"))
        .unwrap_or_default();
    html! {
        tr {
            th scope="row" {
                (spaced(line.id)) @if !line.about.is_empty() { " (" (line.about) ")" }
                details class="why" {
                    summary { "why" }
                    // The message of a check that holds tells of the trouble that is none.
                    @if line.level.is_some() { p { (words(&line.message)) } }
                    @if !limit.is_empty() { p { (words(&limit)) } }
                    p { "Source: " (words(line.source)) "." }
                    @if line.level.is_some() { p { (words(line.remedy)) } }
                }
            }
            td { (marks::mark(State::from(line.level))) }
            td class="figures" { (figure(line.value)) (range(&figure(line.low), &figure(line.high))) " " (unit) }
            td class="figures" { (if line.at_least { "≥ " } else { "≤ " }) (figure(line.limit)) }
            td { (gauge(line)) }
        }
    }
}

fn range(low: &str, high: &str) -> String {
    if low == high { String::new() } else { format!(" ({low}–{high})") }
}

/// The range as a bar and the likely value as a tick; the limit in the middle and the side that is allowed stand in
/// the style, since a page has many of them.
fn gauge(line: &CheckLine) -> Markup {
    const WIDTH: f64 = 120.0;
    let place = |value: f64| {
        let share = if line.limit.abs() > 0.0 { value / line.limit } else { value.signum() + 1.0 };
        (share / 2.0).clamp(0.02, 0.98) * WIDTH
    };
    let (low, high, likely) = (place(line.low), place(line.high), place(line.value));
    let least = if line.at_least { " least" } else { "" };
    html! {
        svg class={ "gauge " (State::from(line.level).word()) (least) } aria-hidden="true" {
            rect x=(format!("{low:.1}")) width=(format!("{:.1}", (high - low).max(1.5))) {}
            path d=(format!("M{likely:.1} 1V11")) {}
        }
    }
}
