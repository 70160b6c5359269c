//! Tables of a timetable: what its pictures show, in words and figures.

use super::super::attended::Floor;
use super::super::lane::{self, Stretch};
use crate::sheet::rows as written;
use maud::{Markup, html};
use visits::timetable::Doing;
use visits::words;

fn scroll(label: &str, table: &Markup) -> Markup {
    html! { div class="scroll" tabindex="0" role="region" aria-label=(label) { (table) } }
}

/// What each lathe does, in sums.
pub(super) fn lathes(floor: &Floor<'_>) -> Markup {
    let sum = |lathe: usize, is: fn(Doing) -> bool| words::span(floor.timetable.time_of(lathe, is));
    scroll(
        "Lathes",
        &html! {
            table {
                thead { tr { @for head in ["Lathe", "Runs", "Attended", "Stands", "Visits"] { th scope="col" { (head) } } } }
                tbody {
                    @for lathe in 0..floor.setting.lathes.len() {
                        tr {
                            th scope="row" { (floor.lathe(lathe)) }
                            td class="figures" { (sum(lathe, |doing| doing == Doing::Runs)) }
                            td class="figures" { (sum(lathe, |doing| matches!(doing, Doing::Attended(_)))) }
                            td class="figures" { (sum(lathe, |doing| doing == Doing::Stands)) }
                            td class="figures" { (floor.timetable.visits.iter().filter(|visit| visit.lathe == lathe).count()) }
                        }
                    }
                }
            }
        },
    )
}

/// Every visit of one person.
pub(super) fn of_person(floor: &Floor<'_>, person: usize) -> Markup {
    let visits = floor.timetable.visits.iter().filter(|visit| visit.person == person);
    let name = floor.person(person);
    html! {
        details class="working" id={ "visits-of-" (person) } {
            summary { "Every visit of " (name) }
            div class="inside" {
                (scroll(&format!("Visits of {name}"), &html! {
                    table class="times" {
                        thead { tr { @for head in ["From", "To", "Lathe", "What is done", "Why then"] { th scope="col" { (head) } } } }
                        tbody {
                            @for visit in visits {
                                tr {
                                    td { (floor.time(visit.start)) }
                                    td { (floor.time(visit.end)) }
                                    td { a href=(floor.way(visit.lathe)) { (floor.lathe(visit.lathe)) } }
                                    td { (words::works(&visit.works)) @if visit.last { "; completes the order" } }
                                    td { (words::why(floor.setting, visit)) }
                                }
                            }
                        }
                    }
                }))
            }
        }
    }
}

fn does(doing: Doing) -> &'static str {
    match doing {
        Doing::Runs => "runs",
        Doing::Stands => "stands",
        Doing::Attended(_) => "attended",
        Doing::Done => "order complete",
    }
}

fn of_bar(it: &Stretch) -> String {
    match it.doing {
        Doing::Runs => format!("{:.0} to {:.0}", 100.0 * it.left.0, 100.0 * it.left.1),
        _ => String::new(),
    }
}

/// Every stretch of every lane.
pub(super) fn stretches(floor: &Floor<'_>) -> Markup {
    scroll(
        "Stretches of the lanes",
        &html! {
            table {
                thead { tr { @for head in ["Lathe", "From", "To", "Does", "Who", "Bar left, %"] { th scope="col" { (head) } } } }
                tbody {
                    @for lathe in 0..floor.setting.lathes.len() {
                        @for it in lane::stretches(floor, lathe) {
                            tr {
                                th scope="row" { (floor.lathe(lathe)) }
                                td class="figures" { (floor.time(it.from)) }
                                td class="figures" { (floor.time(it.to)) }
                                td { (does(it.doing)) }
                                td {
                                    @if let Doing::Attended(index) = it.doing {
                                        @let visit = &floor.timetable.visits[index];
                                        (floor.person(visit.person)) ": " (words::works(&visit.works))
                                    }
                                }
                                td class="figures" { (of_bar(&it)) }
                            }
                        }
                    }
                }
            }
        },
    )
}

/// The timetable as CSV (RFC 4180): times of the wall clock, spans in s.
pub fn csv(floor: &Floor<'_>) -> String {
    let head = [
        "person",
        "lathe",
        "leaves",
        "start",
        "end",
        "what",
        "runs_until",
        "parts",
        "order_complete",
        "stood_s",
        "why",
    ];
    let shown = |seconds: i64| floor.setting.clock.at(seconds).to_string();
    let rows = floor.timetable.visits.iter().map(|visit| {
        vec![
            floor.person(visit.person).to_owned(),
            floor.lathe(visit.lathe).to_owned(),
            shown(visit.leaves),
            shown(visit.start),
            shown(visit.end),
            words::works(&visit.works),
            shown(visit.runs_until),
            visit.parts.to_string(),
            visit.last.to_string(),
            (visit.start - visit.stands_at).to_string(),
            words::why(floor.setting, visit),
        ]
    });
    written(std::iter::once(head.map(str::to_owned).to_vec()).chain(rows))
}
