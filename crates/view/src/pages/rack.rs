//! What lies on the rack, drawn as it lies there; what comes and goes; where a heat number is and went.

mod paper;

pub use paper::{label_pages, labels, sheet};

use super::chart::chart;
use super::floor::{Teller, Times, units_word};
use super::frame::{Frame, address};
use super::say::counted;
use crate::pictures::rack_bars;
use maud::{Markup, html};
use model::files::keys::Choice as _;
use model::record::{BarRun, Name, Racked, RackedKind};
use model::{Length, Units};

/// What a label stands for, and how it came there.
#[derive(Debug, Clone)]
pub struct Item<'a> {
    /// What lies there now.
    pub racked: &'a Racked,
    /// Its entries that count, the newest first.
    pub put: Vec<Put>,
}

/// One time that bars were put on the rack.
#[derive(Debug, Clone)]
pub struct Put {
    /// The id of its entry.
    pub id: String,
    /// When it was.
    pub when: String,
    /// What was put there.
    pub racked: Racked,
}

/// A heat number that is looked for.
#[derive(Clone, Copy)]
pub struct Sought<'a> {
    /// The number, as it was typed.
    pub heat: &'a str,
    /// Every bar of it that was in a spindle.
    pub runs: &'a [BarRun],
}

/// What the page shows.
#[derive(Clone, Copy)]
pub struct Shown<'a> {
    /// Everything on the rack.
    pub items: &'a [Item<'a>],
    /// Which of its pages is shown, from 1.
    pub page: usize,
    /// The label of which something may be recorded.
    pub open: Option<&'a str>,
    /// How short a remnant may be and still be of use, where the shop's file says so.
    pub least_useful: Option<Length>,
    /// A heat number that is looked for.
    pub sought: Option<Sought<'a>>,
    /// Points in time.
    pub times: Times<'a>,
    /// Who tells.
    pub teller: Teller<'a>,
}

/// The page; `who` chooses the person.
pub fn page(frame: &Frame<'_>, shown: &Shown<'_>, who: &Markup) -> String {
    let body = html! {
        main id="content" class="questions plain" {
            h1 { (frame.title) }
            (who)
            section class="question" id="lies" aria-labelledby="lies-asked" {
                h2 id="lies-asked" { "What lies on it?" }
                div class="told" { div data-piece="rack" { (lies(shown)) } }
            }
            section class="question" id="heat" aria-labelledby="heat-asked" {
                h2 id="heat-asked" { "Where is this heat number?" }
                div class="told" { (sought(shown)) }
            }
            section class="question" id="put" aria-labelledby="put-asked" {
                h2 id="put-asked" { "What comes on it?" }
                div class="told" { (put(shown.teller)) }
            }
        }
    };
    frame.page(&["sizes.js"], &body)
}

fn lies(shown: &Shown<'_>) -> Markup {
    let units = shown.teller.units;
    let all: Vec<&Racked> = shown.items.iter().map(|item| item.racked).collect();
    let drawn: Vec<&Racked> = on_page(shown.items, shown.page).map(|item| item.racked).collect();
    html! {
        @if all.is_empty() {
            p class="answer" { "Nothing that the log knows of." }
            p { "Write below what lies there: label, length and, where it is known, heat number and place. What is left of a bar comes by itself when the end of the bar is recorded with a label." }
        } @else {
            p class="answer" { (counted(all.iter().map(|it| it.count).sum(), "bar")) ", " (counted(all.len() as u32, "label")) "." }
            @if drawn.len() < all.len() { (pages(all.len(), shown.page)) }
            (chart("rack", &rack_bars::scene(&drawn, shown.least_useful, units), None))
            p class="take" {
                a download="rack.svg" href="/rack/table?of=rack.svg" { "rack.svg" }
                a download="rack.csv" href="/rack/table?of=rack" { "rack.csv" }
                a href="/rack/sheet" { "All of it, to print" }
                a href="/rack/labels" { "Labels to stick on" }
            }
            (table(shown))
        }
    }
}

/// Labels of one page; more would only be scrolled over.
const A_PAGE: usize = 60;

/// How many pages so many labels take.
pub const fn pages_of(labels: usize) -> usize {
    labels.div_ceil(A_PAGE)
}

/// What stands on a page, from 1.
pub fn on_page<T>(all: &[T], page: usize) -> impl Iterator<Item = &T> {
    all.iter().skip(page.saturating_sub(1).saturating_mul(A_PAGE)).take(A_PAGE)
}

/// From the first to the last label of a page.
fn span(all: usize, page: usize) -> String {
    let first = (page - 1) * A_PAGE;
    format!("{} to {}", first + 1, (first + A_PAGE).min(all))
}

/// The ways to the other pages.
fn pages(all: usize, page: usize) -> Markup {
    html! {
        nav class="rack-pages" aria-label="Labels by their names" {
            @for one in 1..=pages_of(all) {
                a href={ "/rack?page=" (one) } aria-current=[(one == page).then_some("page")] { (span(all, one)) }
            }
        }
        p class="on-paper" { "These are labels " (span(all, page)) " of " (all) ". All of them are printed from the page “All of it, to print”." }
    }
}

const HEADS: [&str; 8] =
    ["Label", "What it is", "Material", "Across", "Length", "How many", "Heat number", "Place"];

fn table(shown: &Shown<'_>) -> Markup {
    let units = shown.teller.units;
    html! {
        div class="scroll" tabindex="0" role="region" aria-label="What lies on the rack" {
            table {
                thead { tr { @for head in HEADS { th scope="col" { (head) } } th scope="col" { "Something to record" } } }
                tbody {
                    @for item in on_page(shown.items, shown.page) {
                        tr {
                            (cells(item.racked, shown.least_useful, units))
                            td { (actions(item, shown)) }
                        }
                    }
                }
            }
        }
    }
}

fn cells(it: &Racked, least_useful: Option<Length>, units: Units) -> Markup {
    html! {
        th scope="row" { (it.item) }
        td { (kind(it, least_useful)) }
        td { (text(it.material.as_ref())) }
        td class="figures" { (it.size.map_or("not recorded".to_owned(), |size| size.shown(units))) }
        td class="figures" { (it.length.shown(units)) }
        td class="figures" { (it.count) }
        td { (text(it.heat.as_ref())) }
        td { (text(it.place.as_ref())) }
    }
}

fn kind(it: &Racked, least_useful: Option<Length>) -> String {
    let short = least_useful.is_some_and(|least| it.length < least);
    let kind = match it.kind {
        RackedKind::Stock => "stock",
        RackedKind::Remnant => "remnant",
    };
    if short { format!("{kind}, shorter than is useful") } else { kind.to_owned() }
}

fn text(name: Option<&Name>) -> &str {
    name.map_or("not recorded", Name::text)
}

/// What may be told of one label. The blanks of all of them together would weigh more than the rest of the page.
fn actions(item: &Item<'_>, shown: &Shown<'_>) -> Markup {
    let (it, teller) = (item.racked, shown.teller);
    let label = it.item.text();
    if shown.open != Some(label) {
        let way =
            format!("/rack?page={}&item={}#of-{}", shown.page, address(label), address(label));
        return html! { a class="record" id={ "of-" (address(label)) } href=(way) { "Take off, correct" } };
    }
    html! {
        details id={ "of-" (address(label)) } open {
            summary { "Take off, correct" }
            form class="ask" method="post" action="/record" {
                (teller.hidden("off-rack", &[("item", label)]))
                label for={ "off-" (address(label)) } { "Gone, without going into a spindle here" }
                input id={ "off-" (address(label)) } name="count" inputmode="numeric" autocomplete="off" size="4" value="1";
                button type="submit" { "Take off" }
            }
            @for (index, put) in item.put.iter().enumerate() {
                p class="more" { "Put there " (put.when) ": " (put.racked.count) " of " (put.racked.length.shown(teller.units)) ". It was otherwise:" }
                (correct(put, teller, &format!("{}-{index}", address(label))))
                form class="ask" method="post" action="/record" {
                    (teller.hidden("corrected", &[("of", put.id.as_str())]))
                    button type="submit" { "Take this entry back" }
                }
            }
        }
    }
}

/// What an entry should have said.
fn correct(put: &Put, teller: Teller<'_>, id: &str) -> Markup {
    html! {
        form class="ask" method="post" action="/record" {
            (teller.hidden("corrected", &[("of", put.id.as_str()), ("instead", "put-on-rack"), ("item", put.racked.item.text())]))
            (blanks(Some(&put.racked), teller.units, id))
            button type="submit" { "Correct it" }
        }
    }
}

/// The blanks of bars; with what is known of them.
fn blanks(known: Option<&Racked>, units: Units, id: &str) -> Markup {
    let name = |of: Option<&Name>| of.map(|name| name.text().to_owned()).unwrap_or_default();
    let length = |of: Option<Length>| of.map(|it| it.shortest(units)).unwrap_or_default();
    let unit = units_word(units);
    let all = [
        ("length", format!("length, {unit}"), length(known.map(|it| it.length)), true),
        (
            "count",
            "how many".to_owned(),
            known.map_or("1".to_owned(), |it| it.count.to_string()),
            true,
        ),
        ("material", "material".to_owned(), name(known.and_then(|it| it.material.as_ref())), false),
        ("size", format!("across, {unit}"), length(known.and_then(|it| it.size)), false),
        ("heat", "heat number".to_owned(), name(known.and_then(|it| it.heat.as_ref())), false),
        ("place", "place".to_owned(), name(known.and_then(|it| it.place.as_ref())), false),
    ];
    let kind = known.map_or(RackedKind::Stock, |it| it.kind);
    html! {
        @for (key, words, value, needed) in all {
            label { (words)
                input id={ (id) "-" (key) } name=(key) value=(value) required[needed] autocomplete="off" size="10" maxlength="100";
            }
        }
        label { "it is"
            select name="kind" {
                @for (word, one, _) in RackedKind::words() { option value=(word) selected[*one == kind] { (word) } }
            }
        }
    }
}

fn put(teller: Teller<'_>) -> Markup {
    html! {
        form class="ask" method="post" action="/record" {
            (teller.hidden("put-on-rack", &[]))
            label { "label" input id="put-item" name="item" required autocomplete="off" size="10" maxlength="100"; }
            (blanks(None, teller.units, "put"))
            button type="submit" { "Put it on the rack" }
        }
        p class="more" { "More bars under a label that is there already are added to it; they must be of the same length." }
    }
}

fn sought(shown: &Shown<'_>) -> Markup {
    let heat = shown.sought.map_or("", |sought| sought.heat);
    html! {
        form class="ask" method="get" action="/rack" {
            label for="sought" { "Heat number" }
            input id="sought" name="heat" value=(heat) autocomplete="off" size="14" maxlength="100" required;
            button type="submit" { "Look for it" }
        }
        @if let Some(sought) = shown.sought { (found(shown, sought)) }
    }
}

fn found(shown: &Shown<'_>, sought: Sought<'_>) -> Markup {
    let here: Vec<&Racked> = shown
        .items
        .iter()
        .map(|item| item.racked)
        .filter(|it| it.heat.as_ref().is_some_and(|heat| heat.text() == sought.heat))
        .collect();
    let bars: u32 = here.iter().map(|it| it.count).sum();
    let parts: u32 = sought.runs.iter().map(|run| run.made).sum();
    html! {
        p class="answer" {
            @if here.is_empty() && sought.runs.is_empty() { "Nothing of heat number " (sought.heat) " was recorded." }
            @else { "On the rack: " (counted(bars, "bar")) ". In spindles: " (counted(sought.runs.len() as u32, "bar")) ", " (counted(parts, "part")) "." }
        }
        @if !here.is_empty() {
            ul { @for it in here { li { (rack_bars::words(it, shown.teller.units)) } } }
        }
        @if !sought.runs.is_empty() {
            div class="scroll" tabindex="0" role="region" aria-label={ "Bars of heat number " (sought.heat) } {
                table {
                    caption { "Bars of heat number " (sought.heat) " and their parts" }
                    thead { tr { @for head in ["Lathe", "Job", "In the spindle from", "until", "Parts", "Loaded by"] { th scope="col" { (head) } } } }
                    tbody { @for run in sought.runs { tr {
                        th scope="row" { (run.lathe) }
                        td { (text(run.job.as_ref())) }
                        td { ((shown.times.shown)(run.from)) }
                        td { (run.until.map_or("now".to_owned(), shown.times.shown)) }
                        td class="figures" { (run.made) }
                        td { (text(run.person.as_ref())) }
                    } } }
                }
            }
        }
    }
}

/// What lies on the rack as rows, the head first; lengths in mm.
pub fn rows(items: &[Item<'_>]) -> Vec<Vec<String>> {
    let head = ["label", "kind", "material", "size_mm", "length_mm", "count", "heat", "place"];
    let name = |of: Option<&Name>| of.map(|name| name.text().to_owned()).unwrap_or_default();
    let row = |item: &Item<'_>| {
        let it = item.racked;
        vec![
            it.item.text().to_owned(),
            it.kind.word().to_owned(),
            name(it.material.as_ref()),
            it.size.map(|size| size.shortest(Units::Mm)).unwrap_or_default(),
            it.length.shortest(Units::Mm),
            it.count.to_string(),
            name(it.heat.as_ref()),
            name(it.place.as_ref()),
        ]
    };
    std::iter::once(head.map(str::to_owned).to_vec()).chain(items.iter().map(row)).collect()
}
