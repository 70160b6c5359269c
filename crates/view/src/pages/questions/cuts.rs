//! How is each cut made?

use super::{Question, Shown, over, said, troubles};
use crate::pages::frame::address;
use crate::pages::say::{counted, sentence};
use crate::pages::working::checks;
use maud::{Markup, html};
use model::quantity::FeedPerRev;
use model::{Length, Units};
use plan::choice::Told;
use plan::cuts::Speed;

const CHECKS: [&str; 7] = [
    "power-too-small",
    "torque-too-small",
    "power-opinions-differ",
    "part-bends",
    "surface-too-rough",
    "edge-speed-outside",
    "edge-wears-in-bar",
];

pub(super) const QUESTION: Question = Question {
    id: "cuts",
    asked: "How is each cut made?",
    blanks: &[
        ("job", "cutting.choose", "who chooses the data"),
        ("tools", "station[turning].speed", "turning: speed"),
        ("tools", "station[turning].feed", "turning: feed"),
        ("tools", "station[turning].finish_feed", "turning: finishing feed"),
        ("tools", "station[turning].depth", "turning: depth"),
        ("tools", "station[parting].speed", "parting: speed"),
        ("tools", "station[parting].feed", "parting: feed"),
    ],
    answer,
    working,
};

fn answer(shown: &Shown<'_>) -> Markup {
    let answer = shown.answer;
    let mut stations: Vec<u32> = answer.data.iter().map(|told| told.station).collect();
    stations.sort_unstable();
    stations.dedup();
    html! {
        (said(over(answer, &CHECKS), &format!(
            "{} with {}; a cycle takes {:.1} s, {:.1} s of it the advance.",
            counted(answer.data.len() as u32, "operation"),
            counted(stations.len() as u32, "tool"),
            answer.times.cycle.s(),
            answer.times.advance.s(),
        )))
        (troubles(answer, &CHECKS))
        (table(shown))
    }
}

fn table(shown: &Shown<'_>) -> Markup {
    let units = shown.job.file.units;
    html! {
        div class="scroll" tabindex="0" role="region" aria-label="Cuts" {
            table {
                thead { tr {
                    th scope="col" { "Operation" } th scope="col" { "Station" } th scope="col" { "Speed" } th scope="col" { "Feed a turn" }
                    th scope="col" { "Layers up to" } th scope="col" { "Nearest to its limit" }
                } }
                tbody { @for told in &shown.answer.data { (row(told, units)) } }
            }
        }
    }
}

fn row(told: &Told, units: Units) -> Markup {
    let nearest = told.nearest.filter(|nearest| nearest.used.is_finite());
    html! {
        tr {
            th scope="row" { (sentence(told.name)) }
            td class="figures" { (told.station) }
            td class="figures" { (speed(told.speed, units)) }
            td class="figures" { @if let Some(given) = told.feed { (feed(given, units)) } }
            td class="figures" { @if let Some(depth) = told.depth { (depth.shown(units)) } }
            td { @if let Some(nearest) = nearest { (nearest.limit.words()) ", " (format!("{:.0} %", 100.0 * nearest.used)) } }
        }
    }
}

/// Surface speed in m/min or ft/min, as shops say it.
fn speed(speed: Speed, units: Units) -> String {
    match (speed, units) {
        (Speed::Surface(speed), Units::Mm) => format!("{:.0} m/min", speed.m_per_min()),
        (Speed::Surface(speed), Units::Inch) => format!("{:.0} ft/min", speed.m_per_min() / 0.3048),
        (Speed::Spindle(speed), _) => format!("{:.0} rev/min", speed.rpm()),
    }
}

fn feed(feed: FeedPerRev, units: Units) -> String {
    Length::nearest_mm(feed.mm()).shown(units)
}

fn working(shown: &Shown<'_>) -> Markup {
    html! {
        figure class="picture" {
            img src={ "/picture/part/" (address(shown.name)) } alt={ "Drawing of " (shown.job.file.name) } loading="lazy";
            figcaption { "The part, with the numbers by which it is gauged" }
        }
        (checks(QUESTION.asked, &shown.answer.checks, &CHECKS, shown.job.file.units))
    }
}
