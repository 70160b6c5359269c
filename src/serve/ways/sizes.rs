//! What gauged sizes say, from the shop's log.

use super::device::Device;
use super::job::svg;
use super::lathe::{new_id, shop_units, teller, units, who};
use super::price::csv;
use super::{Asker, Shared, at_log, no_log};
use crate::commands::{SOUND, Series, gather_sizes};
use crate::serve::book::Asked;
use crate::term::log::{fault_lines, reviewed_lines, why_nothing};
use axum::extract::{Query, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{Html, IntoResponse as _, Response};
use calc::sizes::offset::Advice;
use calc::sizes::review::Review;
use calc::sizes::summary::SizeSummary;
use model::record::Name;
use model::{Length, Units};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;
use view::pages::Frame;
use view::pages::marks::State as Mark;
use view::pages::sizes::{self as sizes_page, Answer, Feature, File, Listed, Shown};
use view::pictures::size_spread::SizeSpread;
use view::sheet;

/// One feature at one lathe, with what its sizes say.
struct Known {
    series: Series,
    job: Name,
    review: Result<Option<Review>, String>,
}

impl Known {
    fn of(series: Series, job: &Name) -> Known {
        let review = series.review().map_err(|why| why.to_string());
        Known { series, job: job.clone(), review }
    }

    fn reviewed(&self) -> Option<&Review> {
        self.review.as_ref().ok().and_then(Option::as_ref)
    }

    /// What stands behind `/sizes` for this one.
    fn query(&self, station: Option<u32>) -> String {
        let mut query = form_urlencoded::Serializer::new(String::new());
        query
            .append_pair("lathe", &self.series.lathe)
            .append_pair("job", &self.job)
            .append_pair("feature", &self.series.feature);
        if let Some(station) = station {
            query.append_pair("station", &station.to_string());
        }
        format!("?{}", query.finish())
    }

    fn listed(&self, station: Option<u32>, units: Units) -> Listed {
        Listed {
            lathe: self.series.lathe.clone(),
            job: self.job.clone(),
            feature: self.series.feature.clone(),
            query: self.query(station),
            readings: self.series.readings.len() as u32,
            seen: self.seen(units),
        }
    }

    /// What matters most, in a few words.
    fn seen(&self, units: Units) -> (Mark, String) {
        let series = &self.series;
        let last = series.readings.last();
        if let Some((last, band)) = last.zip(series.band)
            && !band.holds(last.size)
        {
            let words =
                format!("part {} is outside of its limits: {}", last.part, last.size.shown(units));
            return (Mark::Stop, words);
        }
        let review = match &self.review {
            Err(why) => return (Mark::Unproven, why.clone()),
            Ok(None) => return (Mark::Unproven, nothing(series)),
            Ok(Some(review)) => review,
        };
        if review.limit.is_some_and(|limit| limit.parts == 0) {
            return (Mark::Caution, "gauge the next part".to_owned());
        }
        if let Some(Advice::Move { by, .. }) = review.advice {
            return (Mark::Caution, format!("move the size by {}", by.shown(units)));
        }
        if let Some(seen) = review.seen.last() {
            let part = review.chart.points.get(seen.at).map_or(0, |it| it.part);
            return (Mark::Caution, format!("at part {part}: {}", seen.rule.sees()));
        }
        let gauge = review.limit.map_or(String::new(), |limit| {
            format!("; gauge by part {}", series.last().saturating_add(limit.parts))
        });
        match (review.drifts, series.readings.len() < SOUND) {
            (true, _) => (Mark::Note, format!("it surely drifts{gauge}")),
            (false, true) => {
                (Mark::Note, format!("no run rule sees more than chance in few readings{gauge}"))
            }
            (false, false) => (Mark::Clear, format!("no run rule sees more than chance{gauge}")),
        }
    }

    /// Every question with its answer.
    fn answers(&self, units: Units) -> Vec<Answer> {
        let mut answers = self.of_sizes(units);
        answers.extend(self.good_and_bad());
        answers
    }

    /// What gauges say that show no size; none where there was none.
    fn good_and_bad(&self) -> Option<Answer> {
        let faults = self.series.faults().ok().flatten()?;
        let last = self.series.judged.last().map_or(0, |it| it.part);
        let mut lines = fault_lines(&faults, last).into_iter();
        Some(Answer {
            id: "good-and-bad",
            asked: "What do good and bad parts say?",
            state: if faults.seen.is_empty() { Mark::Note } else { Mark::Caution },
            answer: lines.next().map(|(_, words)| words)?,
            more: lines.map(|(what, words)| format!("{what}: {words}")).collect(),
        })
    }

    fn of_sizes(&self, units: Units) -> Vec<Answer> {
        let Ok(review) = &self.review else { return Vec::new() };
        let lines = reviewed_lines(&self.series, review.as_ref(), None, units);
        let of = |what: &str| -> Vec<String> {
            lines
                .iter()
                .filter(|(about, _)| *about == what)
                .map(|(_, words)| words.clone())
                .collect()
        };
        let Some(review) = review else {
            return vec![Answer {
                id: "chance",
                asked: "Is it only chance?",
                state: Mark::Unproven,
                answer: nothing(&self.series),
                more: ["gauged again", "left out", "caution"]
                    .iter()
                    .flat_map(|what| of(what))
                    .collect(),
            }];
        };
        let quiet = review.seen.is_empty() && !review.drifts;
        let rules = of("run rules").join("; ");
        let chance = match (review.seen.is_empty(), review.drifts) {
            (true, false) => "as far as run rules see".to_owned(),
            (true, true) => "no: it surely drifts; beside that run rules see nothing".to_owned(),
            (false, drifts) => {
                format!("no: {rules}{}", if drifts { ", about the line of its drift" } else { "" })
            }
        };
        let mut more: Vec<String> =
            of("chance").into_iter().map(|words| format!("chance {words}")).collect();
        more.extend(of("set apart").into_iter().map(|words| format!("set apart: {words}")));
        more.extend(["gauged again", "left out", "caution"].iter().flat_map(|what| of(what)));
        let few = self.series.readings.len() < SOUND;
        let answer = |id, asked, state, what: &str| Answer {
            id,
            asked,
            state,
            answer: of(what).join("; "),
            more: Vec::new(),
        };
        vec![
            Answer {
                id: "chance",
                asked: "Is it only chance?",
                state: match (quiet, few) {
                    (false, _) => Mark::Caution,
                    (true, true) => Mark::Note,
                    (true, false) => Mark::Clear,
                },
                answer: chance,
                more,
            },
            answer(
                "drift",
                "Does it drift?",
                match (review.drifts, review.trend) {
                    (true, _) => Mark::Caution,
                    (false, Some(_)) => Mark::Note,
                    (false, None) => Mark::Unproven,
                },
                "drift",
            ),
            answer(
                "offset",
                "Is the offset to be moved?",
                match review.advice {
                    Some(Advice::Move { .. }) => Mark::Caution,
                    Some(Advice::Leave { .. }) => Mark::Clear,
                    Some(Advice::TooFew { .. }) | None => Mark::Unproven,
                },
                "offset",
            ),
            answer(
                "gauge",
                "When must it be gauged again?",
                match review.limit {
                    Some(limit) if limit.parts == 0 => Mark::Caution,
                    Some(_) => Mark::Note,
                    None => Mark::Unproven,
                },
                "gauge next",
            ),
            answer(
                "fit",
                "How well does it fit its limits?",
                match review.fit {
                    Some(fit) if fit.cpk.low >= 1.0 => Mark::Clear,
                    Some(_) => Mark::Caution,
                    None => Mark::Unproven,
                },
                "fit",
            ),
        ]
    }
}

/// Why nothing is told, in the words of a page.
fn nothing(series: &Series) -> String {
    if series.unclear.is_empty() {
        return why_nothing(series);
    }
    let all: Vec<String> = series.unclear.iter().map(u32::to_string).collect();
    format!(
        "edges or offsets of stations {} were changed: say which of them turns it",
        all.join(", ")
    )
}

/// The series of a job since its last set-up at each lathe.
fn series(
    asked: Asked<'_>,
    job: &Name,
    station: Option<u32>,
    units: Units,
) -> Result<Vec<Series>, runlog::Error> {
    let of_job =
        runlog::Query { job: Some(job.clone()), kind: Some("set-up"), ..runlog::Query::default() };
    let mut set_up = asked.log.events(&of_job)?;
    set_up.retain(|it| asked.corrections().effective(it).is_some());
    let last: BTreeMap<_, _> = set_up.iter().map(|it| (&it.event.lathe, it.order.time)).collect();
    let query = runlog::Query { since: last.into_values().min(), ..runlog::Query::default() };
    let all = asked.log.events(&query)?;
    Ok(gather_sizes(&all, asked.corrections(), job, station, units))
}

/// What the page is asked for.
#[derive(Default)]
struct Wanted {
    lathe: Option<Name>,
    job: Option<Name>,
    feature: Option<Name>,
    station: Option<u32>,
}

impl Wanted {
    fn of(query: &BTreeMap<String, String>) -> Wanted {
        let name = |key: &str| query.get(key).and_then(|text| Name::parse(text));
        Wanted {
            lathe: name("lathe"),
            job: name("job"),
            feature: name("feature"),
            station: query.get("station").and_then(|text| text.parse().ok()),
        }
    }

    fn is(&self, known: &Known) -> bool {
        self.lathe.as_ref() == Some(&known.series.lathe)
            && self.job.as_ref() == Some(&known.job)
            && self.feature.as_ref() == Some(&known.series.feature)
    }
}

/// Every feature of the jobs that are on a lathe, and of the one that is asked for.
fn all(asked: Asked<'_>, wanted: &Wanted, units: Units) -> Result<Vec<Known>, runlog::Error> {
    let mut jobs: BTreeSet<&Name> =
        asked.state().lathes.values().filter_map(|it| it.job.as_ref()).collect();
    let named = wanted.job.as_ref().filter(|job| asked.state().orders.contains_key(*job));
    jobs.extend(named);
    let mut known = Vec::new();
    for job in jobs {
        let on = |lathe: &Name| {
            asked.state().lathes.get(lathe).is_some_and(|it| it.job.as_ref() == Some(job))
        };
        let all = series(asked, job, None, units)?.into_iter();
        // Of a job that is elsewhere now only what is asked for.
        known.extend(
            all.filter(|it| on(&it.lathe) || named == Some(job)).map(|it| Known::of(it, job)),
        );
    }
    Ok(known)
}

/// The one that is asked for, judged by the station that is said; and the stations that may be.
fn chosen(
    asked: Asked<'_>,
    wanted: &Wanted,
    known: &[Known],
    units: Units,
) -> Result<Option<(Known, Vec<u32>)>, runlog::Error> {
    let Some(found) = known.iter().find(|it| wanted.is(it)) else { return Ok(None) };
    let stations: Vec<u32> = found.series.unclear.iter().copied().collect();
    let station = wanted.station.filter(|station| stations.contains(station));
    let again = series(asked, &found.job, station, units)?;
    let found = again.into_iter().map(|it| Known::of(it, &found.job)).find(|it| wanted.is(it));
    Ok(found.map(|found| (found, stations)))
}

/// A feature in full.
fn feature<'l>(known: &Known, stations: Vec<u32>, listed: &'l Listed, units: Units) -> Feature<'l> {
    let series = &known.series;
    let name = format!("feature {} of {}, {}", series.feature, known.job, series.lathe);
    let review = known.reviewed();
    let sizes: Vec<Length> =
        review.iter().flat_map(|review| review.chart.points.iter().map(|it| it.size)).collect();
    let summary = SizeSummary::of(&sizes).ok().filter(|summary| summary.deviation.is_positive());
    let spread = review.zip(summary).map(|(review, summary)| {
        let fit = series.band.zip(review.fit);
        sizes_page::of_spread(&SizeSpread { name: &name, sizes: &sizes, summary, fit, units })
    });
    Feature {
        listed,
        station: series.station,
        stations,
        chart: review.map(|review| sizes_page::of_chart(&series.chart(&name, review))),
        spread,
        answers: known.answers(units),
        limits: (
            series.band.and_then(calc::sizes::Band::least),
            series.band.and_then(calc::sizes::Band::most),
        ),
        to_move: review.and_then(|review| match review.advice {
            Some(Advice::Move { by, .. }) => Some(by),
            _ => None,
        }),
    }
}

pub(super) async fn page(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    headers: HeaderMap,
    Query(query): Query<BTreeMap<String, String>>,
) -> Response {
    let device = Device::of(&headers);
    at_log(shared, by, move |shared, by, asked| {
        let id = new_id;
        let teller = teller(by, &device, shop_units(shared), &id);
        let units = teller.units;
        let wanted = Wanted::of(&query);
        let found = all(asked, &wanted, units)
            .and_then(|known| Ok((chosen(asked, &wanted, &known, units)?, known)));
        let (chosen, known) = match found {
            Ok(found) => found,
            Err(error) => return no_log(shared, by, &error),
        };
        let list: Vec<Listed> = known.iter().map(|it| it.listed(None, units)).collect();
        let listed = chosen.as_ref().map(|(it, _)| {
            it.listed(it.series.station.filter(|_| wanted.station.is_some()), units)
        });
        let feature = chosen
            .as_ref()
            .zip(listed.as_ref())
            .map(|((known, stations), listed)| feature(known, stations.clone(), listed, units));
        let lathes: Vec<(Name, Option<Name>)> = asked
            .state()
            .lathes
            .iter()
            .map(|(name, now)| (name.clone(), now.job.clone()))
            .collect();
        let frame = Frame { here: "sizes", revision: asked.revision(), ..by.frame("Sizes") };
        let earlier = earlier(asked);
        let shown = Shown {
            list: &list,
            feature: feature.as_ref(),
            earlier: &earlier,
            lathes: &lathes,
            teller,
        };
        Html(sizes_page::page(&frame, &shown, &who(shared, &teller))).into_response()
    })
    .await
}

/// Jobs that are on no lathe now, each with its page; the one that was opened last comes first.
fn earlier(asked: Asked<'_>) -> Vec<(Name, String)> {
    let on = |job: &Name| asked.state().lathes.values().any(|it| it.job.as_ref() == Some(job));
    let opened = |job: &Name| asked.state().order(job).and_then(|order| order.opened);
    let mut jobs: Vec<&Name> = asked.state().orders.keys().filter(|job| !on(job)).collect();
    jobs.sort_by_key(|job| std::cmp::Reverse(opened(job)));
    let query = |job: &Name| {
        let mut query = form_urlencoded::Serializer::new(String::new());
        format!("?{}", query.append_pair("job", job).finish())
    };
    jobs.into_iter().take(EARLIER).map(|job| (job.clone(), query(job))).collect()
}

/// Earlier jobs that are offered.
const EARLIER: usize = 30;

/// The chart or the spread of a feature as a file, or its data.
pub(super) async fn table(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    headers: HeaderMap,
    Query(query): Query<BTreeMap<String, String>>,
) -> Response {
    let device = Device::of(&headers);
    at_log(shared, by, move |shared, by, asked| {
        let units = units(shared, &device);
        let wanted = Wanted::of(&query);
        let found =
            all(asked, &wanted, units).and_then(|known| chosen(asked, &wanted, &known, units));
        let (known, stations) = match found {
            Ok(Some(found)) => found,
            Ok(None) => return StatusCode::NOT_FOUND.into_response(),
            Err(error) => return no_log(shared, by, &error),
        };
        let listed = known.listed(None, units);
        let feature = feature(&known, stations, &listed, units);
        match feature.file(query.get("of").map_or("", String::as_str)) {
            Some(File::Picture(scene)) => svg(&scene),
            Some(File::Rows(rows)) => csv(sheet::rows(rows.into_iter())),
            None => StatusCode::NOT_FOUND.into_response(),
        }
    })
    .await
}
