//! How many from a bar?

use super::{Question, Shown, named, said};
use crate::pages::marks::{self, State};
use crate::pages::say::{counted, figure};
use crate::pages::working::{Line, lines};
use maud::{Markup, html};

pub(super) const QUESTION: Question = Question {
    id: "many",
    asked: "How many from a bar?",
    blanks: &[
        ("job", "order.quantity", "parts ordered"),
        ("job", "part.length", "finished length"),
        ("tools", "station[parting].width", "part-off width"),
        ("job", "advance.face_stock", "face stock"),
        ("job", "advance.first_face", "first-face stock"),
        ("job", "advance.jaw_clearance", "jaw clearance"),
        ("job", "advance.parts", "parts to an advance"),
        ("lathe", "chuck.least_grip", "least grip"),
        ("job", "bar.stock_length", "stock bar"),
    ],
    answer,
    working,
};

fn answer(shown: &Shown<'_>) -> Markup {
    let (job, bar) = (shown.job, &shown.answer.bar);
    let units = job.file.units;
    let Some(blanks) = bar.blanks else {
        return said(State::Stop, "none: the bar is too short for one part.");
    };
    let from = match bar.stock.and_then(|stock| Some((stock, stock.bars?))) {
        Some((stock, bars)) => {
            format!(", sawn from {} of {}", counted(bars, "stock bar"), stock.length.shown(units))
        }
        None => String::new(),
    };
    said(
        State::Clear,
        &format!(
            "{} from each bar, {} left over. The order of {} takes {}{from}; the last one gives {}.",
            counted(bar.parts_per_bar, "part"),
            bar.remnant.shown(units),
            job.file.order.quantity,
            counted(blanks, "blank"),
            bar.parts_in_last,
        ),
    )
}

fn working(shown: &Shown<'_>) -> Markup {
    let bar = &shown.answer.bar;
    let units = shown.job.file.units;
    let division = &bar.division;
    let short = |length: model::Length| length.shortest(units);
    let (m, shortest) = (division.parts_per_advance, bar.blank - bar.tolerance);
    html! {
        (lines(&[
            Line {
                name: "Pitch",
                formula: "p = f + Lₚ + w",
                numbers: format!("{} + {} + {} = {}", short(division.face_stock), short(division.finished), short(division.part_off), division.pitch().shown(units)),
                source: "f face stock, Lₚ finished length, w part-off width",
            },
            Line {
                name: "Advance",
                formula: "A = m · p",
                numbers: format!("{m} · {} = {}", short(division.pitch()), division.advance().shown(units)),
                source: "m parts to an advance",
            },
            Line {
                name: "Parts from a bar",
                formula: "n = m · (1 + ⌊(L − x₁ − s − g) / A⌋)",
                numbers: format!(
                    "{m} · (1 + ⌊({} − {} − {} − {}) / {}⌋) = {}",
                    short(shortest), short(division.first_face), short(division.stick_out()), short(division.least_grip), short(division.advance()), bar.parts_per_bar
                ),
                source: "counted in whole nanometers on the shortest blank that may come; g least grip, ⌊ ⌋ rounded down",
            },
            Line {
                name: "Left over",
                formula: "L − x₁ − n · p",
                numbers: format!("{} − {} − {} · {} = {}", short(bar.blank), short(division.first_face), bar.parts_per_bar, short(division.pitch()), bar.remnant.shown(units)),
                source: "of a blank of nominal length; never less than jaw clearance and least grip together",
            },
        ]))
        (compared(shown))
    }
}

/// One to four parts to an advance, side by side.
fn compared(shown: &Shown<'_>) -> Markup {
    let units = shown.job.file.units;
    html! {
        @if !shown.advances.is_empty() {
            h3 { "More parts to an advance, compared by arithmetic" }
            p class="more" { "Only this job's own number is proven; as last saved." }
            div class="scroll" tabindex="0" role="region" aria-label="Parts to an advance" {
                table {
                    thead { tr {
                        th scope="col" { "Parts" } th scope="col" { "A part takes" } th scope="col" { "From a bar" }
                        th scope="col" { "Left" } th scope="col" { "Sticks out" } th scope="col" { "Checks" } th scope="col" { "Nearest to its limit" }
                    } }
                    tbody {
                        @for one in shown.advances {
                            tr {
                                th scope="row" { (one.parts) @if one.parts == shown.answer.bar.division.parts_per_advance { " (this job)" } }
                                td class="figures" { (format!("{:.1} s", one.part.s())) }
                                td class="figures" { (one.parts_per_bar) }
                                td class="figures" { (one.remnant.shown(units)) }
                                td class="figures" { (one.stick_out.shown(units)) }
                                td { (marks::mark(State::from(one.verdict))) }
                                td { @if let Some(worst) = one.worst { (named(worst.id)) " " (figure((100.0 * worst.used).round())) " %" } }
                            }
                        }
                    }
                }
            }
        }
    }
}
