//! What the gauged sizes of a feature say: its chart, and plain questions about it. Sizes are entered in place.

use super::chart::chart;
use super::floor::{Teller, units_word};
use super::frame::Frame;
use super::marks::State;
use super::questions::said;
use super::say::{counted, sentence};
use super::sheets;
use crate::pictures::{size_chart, size_spread};
use crate::scene::Scene;
use crate::sheet::Table;
use maud::{Markup, html};
use model::record::Name;
use model::{Length, Units};

/// One feature that was gauged, as a line of the list.
#[derive(Debug, Clone)]
pub struct Listed {
    /// The lathe.
    pub lathe: Name,
    /// The job.
    pub job: Name,
    /// The feature.
    pub feature: Name,
    /// Its page: what stands behind `/sizes`.
    pub query: String,
    /// How many readings count.
    pub readings: u32,
    /// What is to be seen, and how it stands.
    pub seen: (State, String),
}

/// One question about the sizes of a feature, with its answer.
#[derive(Debug, Clone)]
pub struct Answer {
    /// Its id on the page.
    pub id: &'static str,
    /// What is asked.
    pub asked: &'static str,
    /// How it stands.
    pub state: State,
    /// The answer, one sentence.
    pub answer: String,
    /// What else is to be said.
    pub more: Vec<String>,
}

/// One feature in full.
#[derive(Debug)]
pub struct Feature<'a> {
    /// Where it stands in the list.
    pub listed: &'a Listed,
    /// The station that is taken to turn it.
    pub station: Option<u32>,
    /// Stations of which one must be said to turn it.
    pub stations: Vec<u32>,
    /// Readings in a point of the chart that is asked for.
    pub group: u32,
    /// Where its files are, to which the name of one is added.
    pub files: String,
    /// Its chart with the same data as a table; none where too little is known.
    pub chart: Option<(Scene, Table)>,
    /// How its sizes lie between the limits, with the same data.
    pub spread: Option<(Scene, Table)>,
    /// The questions.
    pub answers: Vec<Answer>,
    /// The limits that were recorded with its sizes.
    pub limits: (Option<Length>, Option<Length>),
    /// The offset move that is told.
    pub to_move: Option<Length>,
}

/// What the page shows.
#[derive(Clone, Copy)]
pub struct Shown<'a> {
    /// Every feature of the jobs that are looked at.
    pub list: &'a [Listed],
    /// The one that is shown in full.
    pub feature: Option<&'a Feature<'a>>,
    /// Jobs with sizes that are not on a lathe now, to look back at.
    pub earlier: &'a [(Name, String)],
    /// The lathes of the log, each with the job that is on it.
    pub lathes: &'a [(Name, Option<Name>)],
    /// Who tells.
    pub teller: Teller<'a>,
}

/// The page; `who` chooses the person.
pub fn page(frame: &Frame<'_>, shown: &Shown<'_>, who: &Markup) -> String {
    let body = html! {
        main id="content" class="questions plain" {
            h1 { (frame.title) }
            (who)
            section class="question" id="features" aria-labelledby="features-asked" {
                h2 id="features-asked" { "What was gauged?" }
                div class="told" {
                    div data-piece="list" { (list(shown)) }
                    (earlier(shown.earlier))
                }
            }
            @if let Some(feature) = shown.feature { (full(feature, shown.teller)) }
            section class="question" id="another" aria-labelledby="another-asked" {
                h2 id="another-asked" { "Another size" }
                div class="told" { (another(shown)) }
            }
        }
    };
    frame.page(&["sizes.js"], &body)
}

fn list(shown: &Shown<'_>) -> Markup {
    let here = shown.feature.map(|feature| feature.listed.query.as_str());
    html! {
        @if shown.list.is_empty() {
            p class="answer" { "Nothing yet." }
            @if shown.lathes.is_empty() {
                p { "The log knows no lathe. Set one up first, " a href="/lathe" { "at the lathe" } "." }
            } @else {
                p { "No size of a job on a lathe was recorded. Gauge a part, and write its size below: from four readings of one edge on, the page says what they say." }
            }
        } @else {
            ul class="features" {
                @for one in shown.list {
                    li {
                        a href={ "/sizes" (one.query) } aria-current=[(Some(one.query.as_str()) == here).then_some("true")] {
                            strong { "Feature " (one.feature) } span class="where" { (one.job) ", " (one.lathe) ", " (counted(one.readings, "reading")) }
                        }
                        p { (super::marks::mark(one.seen.0)) " " (sentence(&one.seen.1)) }
                    }
                }
            }
        }
    }
}

fn earlier(jobs: &[(Name, String)]) -> Markup {
    html! {
        @if !jobs.is_empty() {
            details id="earlier" {
                summary { "Jobs that are not on a lathe now" }
                ul class="earlier" { @for (job, query) in jobs { li { a href={ "/sizes" (query) } { (job) } } } }
            }
        }
    }
}

fn full(feature: &Feature<'_>, teller: Teller<'_>) -> Markup {
    let listed = feature.listed;
    let files = &feature.files;
    html! {
        section class="feature" aria-labelledby="feature-name" {
            h2 id="feature-name" { "Feature " (listed.feature) " of " (listed.job) ", " (listed.lathe) }
            (judged(feature))
            div data-piece="chart" {
                @if let Some((scene, _)) = &feature.chart { (chart("sizes", scene, None)) }
            }
            (gauged(feature, teller))
            p class="take" {
                @if feature.chart.is_some() {
                    a download="sizes.svg" href={ (files) "&of=sizes.svg" } { "The chart as SVG" }
                    a download="sizes.csv" href={ (files) "&of=sizes" } { "The sizes as CSV" }
                }
                @if feature.spread.is_some() { a download="size-spread.svg" href={ (files) "&of=size-spread.svg" } { "How they lie, as SVG" } }
            }
            div data-piece="table" {
                @if let Some((_, table)) = &feature.chart {
                    details id="all-sizes" { summary { "The same as a table" } (sheets::table(table)) }
                }
            }
        }
        @for answer in &feature.answers {
            section class="question" id=(answer.id) aria-labelledby={ (answer.id) "-asked" } {
                h2 id={ (answer.id) "-asked" } { (answer.asked) }
                div class="told" {
                    div data-piece={ (answer.id) "-said" } {
                        (said(answer.state, &format!("{}.", answer.answer.trim_end_matches('.'))))
                        @for line in &answer.more { p class="more" { (sentence(line)) "." } }
                        @if answer.id == "fit" { @if let Some((scene, table)) = &feature.spread {
                            (chart("size-spread", scene, None))
                            details id="all-spread" { summary { "The same as a table" } (sheets::table(table)) }
                        } }
                    }
                    @if answer.id == "offset" { (moved(feature, teller)) }
                }
            }
        }
    }
}

/// Readings that may make a point of a chart.
pub const GROUPS: std::ops::RangeInclusive<u32> = 1..=25;

/// Which station turns the feature, where that is open or may be said otherwise, and how it is charted.
fn judged(feature: &Feature<'_>) -> Markup {
    let listed = feature.listed;
    html! {
        @if feature.chart.is_some() || !feature.stations.is_empty() {
            form class="ask" method="get" action="/sizes" {
                @for (key, value) in [("lathe", &listed.lathe), ("job", &listed.job), ("feature", &listed.feature)] {
                    input type="hidden" name=(key) value=(value);
                }
                @if !feature.stations.is_empty() {
                    label for="station" { "Turned by station" }
                    select id="station" name="station" {
                        @if feature.station.is_none() { option value="" { "not said" } }
                        @for station in &feature.stations {
                            option value=(station) selected[feature.station == Some(*station)] { (station) }
                        }
                    }
                    small { "Its edges and offset moves are those that count." }
                }
                @if feature.chart.is_some() {
                    label for="group" { "A point is" }
                    select id="group" name="group" aria-describedby="group-says" {
                        @for group in GROUPS {
                            option value=(group) selected[feature.group == group] {
                                @if group == 1 { "one size" } @else { "the mean of " (group) }
                            }
                        }
                    }
                    small id="group-says" { "A mean is of parts gauged close together. It changes the chart and its run rules alone." }
                }
                button type="submit" { "Show it so" }
            }
        }
    }
}

/// A length that comes back exactly, whatever the device's units are.
fn exact(length: Length) -> String {
    format!("{} mm", length.shortest(Units::Mm))
}

/// The next size of this feature.
fn gauged(feature: &Feature<'_>, teller: Teller<'_>) -> Markup {
    let listed = feature.listed;
    let (low, high) = feature.limits;
    let (low, high) = (low.map(exact).unwrap_or_default(), high.map(exact).unwrap_or_default());
    let known = [
        ("lathe", listed.lathe.text()),
        ("job", listed.job.text()),
        ("feature", listed.feature.text()),
        ("low", low.as_str()),
        ("high", high.as_str()),
    ];
    html! {
        form class="ask entry-of-size" method="post" action="/record" {
            (teller.hidden("size-measured", &known))
            label for="reading" { "A new size, " (teller.units.symbol()) }
            input id="reading" name="reading" inputmode="decimal" autocomplete="off" size="10" required;
            (part_and_gauge("of"))
            button type="submit" { "Record it" }
        }
    }
}

fn part_and_gauge(id: &str) -> Markup {
    html! {
        label for={ (id) "-part" } { "part of the bar" }
        input id={ (id) "-part" } name="part" inputmode="numeric" autocomplete="off" size="4" placeholder="the last";
        label for={ (id) "-gauge" } { "gauge" }
        input id={ (id) "-gauge" } name="gauge" autocomplete="off" size="12" maxlength="100";
    }
}

/// The offset was moved as it is told, or otherwise.
fn moved(feature: &Feature<'_>, teller: Teller<'_>) -> Markup {
    let listed = feature.listed;
    let Some(station) = feature.station else { return html! {} };
    let number = station.to_string();
    let known = [
        ("lathe", listed.lathe.text()),
        ("job", listed.job.text()),
        ("station", number.as_str()),
        ("axis", "x"),
    ];
    let by = feature.to_move.map(|by| by.text(teller.units, teller.units.decimals()));
    html! {
        form class="ask" method="post" action="/record" {
            (teller.hidden("offset-moved", &known))
            label for="moved-by" { "The offset of station " (station) " was moved by, on the diameter, " (units_word(teller.units)) }
            input id="moved-by" name="by" inputmode="decimal" autocomplete="off" size="10" required value=[by];
            button type="submit" { "Record the move" }
        }
    }
}

/// A size of any feature at any lathe.
fn another(shown: &Shown<'_>) -> Markup {
    html! {
        @if shown.lathes.is_empty() {
            p { "A size belongs to a lathe, and a lathe begins with its first set-up." }
        } @else {
            form class="ask" method="post" action="/record" {
                (shown.teller.hidden("size-measured", &[]))
                label for="any-lathe" { "Lathe" }
                select id="any-lathe" name="lathe" {
                    @for (lathe, job) in shown.lathes {
                        option value=(lathe) { (lathe) @if let Some(job) = job { ": " (job) } }
                    }
                }
                label for="any-feature" { "feature" }
                input id="any-feature" name="feature" required autocomplete="off" size="14" maxlength="100";
                label for="any-reading" { "size, " (shown.teller.units.symbol()) ", or good or bad" }
                input id="any-reading" name="reading" required autocomplete="off" size="10";
                label for="any-low" { "least" }
                input id="any-low" name="low" inputmode="decimal" autocomplete="off" size="10";
                label for="any-high" { "most" }
                input id="any-high" name="high" inputmode="decimal" autocomplete="off" size="10";
                (part_and_gauge("any"))
                button type="submit" { "Record it" }
            }
            p class="more" { "The feature by its number on the set-up sheet, or by a name. With the drawing's limits the page says more." }
        }
    }
}

/// The files of a feature: chart, spread, their tables.
pub enum File {
    /// A picture.
    Picture(Scene),
    /// Rows, the head first.
    Rows(Vec<Vec<String>>),
}

impl Feature<'_> {
    /// The file of this name.
    pub fn file(&self, of: &str) -> Option<File> {
        let picture = |it: &Option<(Scene, Table)>| Some(File::Picture(it.as_ref()?.0.clone()));
        let rows = |it: &Option<(Scene, Table)>| {
            let table = &it.as_ref()?.1;
            let head = table.columns.iter().map(|column| column.head.to_owned()).collect();
            Some(File::Rows(std::iter::once(head).chain(table.rows.iter().cloned()).collect()))
        };
        match of {
            "sizes.svg" => picture(&self.chart),
            "size-spread.svg" => picture(&self.spread),
            "sizes" => rows(&self.chart),
            "size-spread" => rows(&self.spread),
            _ => None,
        }
    }
}

/// A chart with its table.
pub fn of_chart(shown: &size_chart::SizeChart<'_>) -> (Scene, Table) {
    (size_chart::scene(shown), size_chart::table(shown))
}

/// How sizes lie, with the table.
pub fn of_spread(shown: &size_spread::SizeSpread<'_>) -> (Scene, Table) {
    (size_spread::scene(shown), size_spread::table(shown))
}
