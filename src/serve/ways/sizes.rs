//! What gauged sizes say, from the shop's log.

mod answers;

use super::device::Device;
use super::job::svg;
use super::lathe::{new_id, shop_units, teller, units, who};
use super::price::csv;
use super::{Asker, Shared, at_log, no_log};
use crate::commands::{Judging, Series, gather_sizes};
use crate::serve::book::Asked;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse as _, Response};
use calc::sizes::offset::Advice;
use calc::sizes::review::Review;
use calc::sizes::summary::SizeSummary;
use model::record::Name;
use model::{Length, Units};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;
use view::pages::Frame;
use view::pages::sizes::{self as sizes_page, Feature, File, Listed, Shown};
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
    fn query(&self, station: Option<u32>, group: u32) -> String {
        let mut query = form_urlencoded::Serializer::new(String::new());
        query
            .append_pair("lathe", &self.series.lathe)
            .append_pair("job", &self.job)
            .append_pair("feature", &self.series.feature);
        if let Some(station) = station {
            query.append_pair("station", &station.to_string());
        }
        if group > 1 {
            query.append_pair("group", &group.to_string());
        }
        format!("?{}", query.finish())
    }

    fn listed(&self, units: Units) -> Listed {
        Listed {
            lathe: self.series.lathe.clone(),
            job: self.job.clone(),
            feature: self.series.feature.clone(),
            query: self.query(None, 1),
            readings: self.series.readings.len() as u32,
            seen: self.seen(units),
        }
    }
}

/// The series of a job since its last set-up at each lathe.
fn series(asked: Asked<'_>, job: &Name, by: Judging) -> Result<Vec<Series>, runlog::Error> {
    let of_job =
        runlog::Query { job: Some(job.clone()), kind: Some("set-up"), ..runlog::Query::default() };
    let mut set_up = asked.log.events(&of_job)?;
    set_up.retain(|it| asked.corrections().effective(it).is_some());
    let last: BTreeMap<_, _> = set_up.iter().map(|it| (&it.event.lathe, it.order.time)).collect();
    let query = runlog::Query { since: last.into_values().min(), ..runlog::Query::default() };
    let all = asked.log.events(&query)?;
    Ok(gather_sizes(&all, asked.corrections(), job, by))
}

/// What the page is asked for.
#[derive(Default)]
struct Wanted {
    lathe: Option<Name>,
    job: Option<Name>,
    feature: Option<Name>,
    station: Option<u32>,
    group: u32,
}

impl Wanted {
    fn of(query: &BTreeMap<String, String>) -> Wanted {
        let name = |key: &str| query.get(key).and_then(|text| Name::parse(text));
        Wanted {
            lathe: name("lathe"),
            job: name("job"),
            feature: name("feature"),
            station: query.get("station").and_then(|text| text.parse().ok()),
            group: query
                .get("group")
                .and_then(|text| text.parse().ok())
                .filter(|group| sizes_page::GROUPS.contains(group))
                .unwrap_or(1),
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
        let by = Judging { station: None, group: 1, units };
        let all = series(asked, job, by)?.into_iter();
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
    let by = Judging { station, group: wanted.group, units };
    let again = series(asked, &found.job, by)?;
    let found = again.into_iter().map(|it| Known::of(it, &found.job)).find(|it| wanted.is(it));
    Ok(found.map(|found| (found, stations)))
}

/// A feature in full.
fn feature<'l>(
    known: &Known,
    stations: &[u32],
    listed: &'l Listed,
    wanted: &Wanted,
    units: Units,
) -> Feature<'l> {
    let series = &known.series;
    let said = series.station.filter(|_| wanted.station.is_some());
    let name = format!("feature {} of {}, {}", series.feature, known.job, series.lathe);
    let review = known.reviewed();
    let sizes: Vec<Length> =
        review.iter().flat_map(|review| review.kept.iter().map(|it| it.size)).collect();
    let summary = SizeSummary::of(&sizes).ok().filter(|summary| summary.deviation.is_positive());
    let spread = review.zip(summary).map(|(review, summary)| {
        let fit = series.band.zip(review.fit);
        sizes_page::of_spread(&SizeSpread { name: &name, sizes: &sizes, summary, fit, units })
    });
    Feature {
        listed,
        station: series.station,
        stations: stations.to_vec(),
        group: series.group,
        files: format!("/sizes/table{}", known.query(said, series.group)),
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
    device: Device,
    Query(query): Query<BTreeMap<String, String>>,
) -> Response {
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
        let list: Vec<Listed> = known.iter().map(|it| it.listed(units)).collect();
        let listed = chosen.as_ref().map(|(it, _)| it.listed(units));
        let feature = chosen
            .as_ref()
            .zip(listed.as_ref())
            .map(|((known, stations), listed)| feature(known, stations, listed, &wanted, units));
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
    device: Device,
    Query(query): Query<BTreeMap<String, String>>,
) -> Response {
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
        let listed = known.listed(units);
        let feature = feature(&known, &stations, &listed, &wanted, units);
        match feature.file(query.get("of").map_or("", String::as_str)) {
            Some(File::Picture(scene)) => svg(&scene),
            Some(File::Rows(rows)) => csv(sheet::rows(rows.into_iter())),
            None => StatusCode::NOT_FOUND.into_response(),
        }
    })
    .await
}
