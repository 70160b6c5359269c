//! What simulated runs say: how far a shop's running time scatters.

use super::otherwise::percent;
use super::{Changed, Shown, of};
use maud::{Markup, html};
use visits::figures::Simulated;
use visits::simulate::Figure;

/// Simulated runs, which take a while.
#[derive(Debug, Clone, Copy)]
pub enum Runs<'a> {
    /// Nobody asked for them.
    None,
    /// They are being run.
    Running,
    /// They are there.
    There(&'a Simulated),
}

fn spread(figure: &Figure) -> String {
    format!("{:.1} ± {:.2} %", 100.0 * figure.mean, 100.0 * figure.half)
}

/// The runs of the shop that is shown.
pub(super) fn scatter(shown: &Shown<'_>) -> Markup {
    let runs = &shown.runs[usize::from(matches!(shown.changed, Changed::There(..)))];
    match runs {
        Runs::There(runs) => there(shown, runs),
        Runs::Running => html! {
            p class="none" { "The shop is being run many times. The figures stand here as soon as they are there." }
        },
        Runs::None => html! { p class="none" { "Not run." } },
    }
}

fn there(shown: &Shown<'_>, simulated: &Simulated) -> Markup {
    let (floor, figures) = (of(shown), simulated.figures());
    let all = &figures.running;
    html! {
        p class="answer" {
            "In " (simulated.runs.len()) " simulated runs of " (simulated.days) " days spindles run "
            strong { (spread(all)) } " of all time."
        }
        p {
            "One run of ten is below " (percent(all.low)) ", one above " (percent(all.high)) ". ± is half of the range that holds the "
            "true mean 95 times of 100. In these runs nobody looks ahead: a timetable does better than these people."
        }
        div class="scroll" tabindex="0" role="region" aria-label="Simulated runs" {
            table {
                thead { tr { @for head in ["Lathe", "Runs", "One of ten below", "One of ten above", "Waits", "Attended", "Visits a day"] { th scope="col" { (head) } } } }
                tbody {
                    @for (lathe, of) in figures.lathes.iter().enumerate() {
                        tr {
                            th scope="row" { (floor.lathe(lathe)) }
                            td class="figures" { (spread(&of.running)) }
                            td class="figures" { (percent(of.running.low)) }
                            td class="figures" { (percent(of.running.high)) }
                            td class="figures" { (percent(of.waiting.mean)) }
                            td class="figures" { (percent(of.attended.mean)) }
                            td class="figures" { (format!("{:.1}", of.visits.mean)) }
                        }
                    }
                }
            }
        }
        ul {
            @for (person, busy) in figures.people.iter().enumerate() {
                li {
                    @match busy {
                        Some(busy) => { (floor.person(person)) " walks and attends " (spread(busy)) " of the hours there." }
                        None => { (floor.person(person)) " is not there." }
                    }
                }
            }
        }
    }
}
