//! The page of the visits, and its files.

use super::super::standing::Standing;
use super::super::timetables::{Found, Made, Ran, Wish};
use super::pieces::told;
use super::shop::{
    PATIENCE, Wanted, away, floor, frame, given, has, in_the_way, lathes, name, without_shop,
};
use super::{Asker, Shared};
use crate::attend::{Gathered, WhatIf};
use crate::commands::Trouble;
use axum::Json;
use axum::extract::{Query, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{Html, IntoResponse as _, Response};
use std::sync::Arc;
use view::pages::attended::{Floor, Why};
use view::pages::job::Piece;
use view::pages::visits::{self as visits_page, Asked, Changed, Offered, Runs, Shown};
use visits::calendar;

pub(super) async fn page(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Query(wanted): Query<Wanted>,
) -> Response {
    away(shared, move |shared| {
        let standing = match shared.standing() {
            Ok(standing) => standing,
            Err(why) => return without_shop(shared, &by, &why),
        };
        let asked = asked(shared, &standing, &wanted);
        let pieces = pieces(shared, &standing, &asked);
        let (name, gathered) = (name(&standing), standing.read.as_ref().ok());
        let offered = gathered.map(|gathered| offered(gathered)).unwrap_or_default();
        let title = format!("Visits: {name}");
        Html(visits_page::page(&frame(&by, &title, "visits"), &name, &pieces, &asked, &offered))
            .into_response()
    })
    .await
}

pub(super) async fn pieces_now(
    State(shared): State<Arc<Shared>>,
    Query(wanted): Query<Wanted>,
) -> Response {
    away(shared, move |shared| match shared.standing() {
        Ok(standing) => {
            let asked = asked(shared, &standing, &wanted);
            Json(told(pieces(shared, &standing, &asked).iter(), has(&wanted))).into_response()
        }
        Err(_) => StatusCode::NOT_FOUND.into_response(),
    })
    .await
}

/// What an address asks for; where it does not say from when on, that is filled in.
fn asked(shared: &Shared, standing: &Standing, wanted: &Wanted) -> Asked {
    let pair = |name: &str, value: &str| given(wanted, name).zip(given(wanted, value));
    let begins = || shared.timetables.begins(&shared.book, standing.read.as_ref().ok()?).ok();
    let days = given(wanted, "days").and_then(|text| text.parse().ok());
    Asked {
        from: given(wanted, "from"),
        begins: given(wanted, "from").or_else(begins),
        days: days.filter(|days| (1..=7).contains(days)).unwrap_or(1),
        one_more: given(wanted, "one_more"),
        without: given(wanted, "without"),
        bar: pair("lathe", "bar"),
        hours: pair("hours", "spans"),
        start: given(wanted, "start"),
    }
}

fn offered(gathered: &Gathered) -> Offered<'_> {
    let spans = |hours: &model::files::shop::Hours| {
        hours.spans.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
    };
    let shop = &gathered.shop;
    let lathes = shop.lathes.iter().zip(&gathered.jobs);
    Offered {
        hours: shop.hours.iter().map(|hours| (hours.name.as_str(), spans(hours))).collect(),
        people: shop.people.iter().map(|person| person.name.as_str()).collect(),
        bars: lathes
            .filter_map(|(lathe, job)| Some((lathe.name.as_str(), job.as_ref()?.bar.clone())))
            .collect(),
    }
}

/// The shop as it is, and as it would be where something is to be otherwise.
fn wishes(asked: &Asked, from: String) -> (Wish, Option<Wish>) {
    let what_if = WhatIf {
        one_more: asked.one_more.clone(),
        without: asked.without.clone(),
        bar: asked.bar.clone(),
        hours: asked.hours.clone(),
    };
    let start = asked.start.clone().unwrap_or_else(|| from.clone());
    let is = Wish { from, days: asked.days, what_if: WhatIf::default() };
    let would = Wish { from: start, days: asked.days, what_if };
    (is, asked.is_otherwise().then_some(would))
}

struct Answer {
    gathered: Arc<Gathered>,
    wishes: (Wish, Option<Wish>),
    is: Arc<Found>,
    /// Where something is to be otherwise.
    would: Option<Made>,
}

impl Answer {
    /// The timetable that is asked for; else why there is none.
    fn shown(&self) -> Result<&Found, Option<&Trouble>> {
        match &self.would {
            None => Ok(&self.is),
            Some(Made::Found(would)) => Ok(would),
            Some(Made::Waits) => Err(None),
            Some(Made::Refused(trouble)) => Err(Some(trouble)),
        }
    }
}

/// Both timetables; none while that of the shop as it is is looked for.
fn answer(
    shared: &Arc<Shared>,
    standing: &Standing,
    asked: &Asked,
) -> Result<Option<Answer>, Arc<Trouble>> {
    let gathered = standing.read.clone()?;
    let from =
        asked.from.clone().map_or_else(|| shared.timetables.begins(&shared.book, &gathered), Ok)?;
    let wishes = wishes(asked, from);
    let made = |wish: &Wish| shared.timetables.made_within(&shared.shelf, standing, wish, PATIENCE);
    let is = match made(&wishes.0) {
        Made::Found(found) => found,
        Made::Waits => return Ok(None),
        Made::Refused(trouble) => return Err(trouble),
    };
    let would = wishes.1.as_ref().map(made);
    Ok(Some(Answer { gathered, wishes, is, would }))
}

fn pieces(shared: &Arc<Shared>, standing: &Standing, asked: &Asked) -> Vec<Piece> {
    let mut pieces = answers(shared, standing, asked);
    let gathered = standing.read.as_ref().ok();
    pieces.extend(gathered.map(|gathered| visits_page::offered(&offered(gathered))));
    pieces
}

fn answers(shared: &Arc<Shared>, standing: &Standing, asked: &Asked) -> Vec<Piece> {
    let answer = match answer(shared, standing, asked) {
        Ok(Some(answer)) => answer,
        Ok(None) => return visits_page::without(Why::Looks),
        Err(trouble) => return visits_page::without(in_the_way(&trouble)),
    };
    let lathes = lathes(shared, standing, &answer.gathered);
    let floor = |found| floor(&answer.gathered, found, &lathes, asked.days);
    let ran = |wish: Option<&Wish>| wish.map_or(Ran::No, |wish| shared.timetables.ran(wish));
    let ran = [ran(Some(&answer.wishes.0)), ran(answer.wishes.1.as_ref())];
    let words;
    let changed = match &answer.would {
        None => Changed::No,
        Some(Made::Waits) => Changed::Not(Why::Looks),
        Some(Made::Refused(trouble)) => Changed::Not(in_the_way(trouble)),
        Some(Made::Found(would)) => {
            words = otherwise(asked, would);
            Changed::There(&words, floor(would))
        }
    };
    let runs = [runs(&ran[0]), runs(&ran[1])];
    visits_page::pieces(&Shown { floor: floor(&answer.is), changed, runs, asked })
}

fn runs(ran: &Ran) -> Runs<'_> {
    match ran {
        Ran::No => Runs::None,
        Ran::Runs => Runs::Running,
        Ran::Done(simulated) => Runs::There(simulated),
    }
}

/// In words, what is otherwise.
fn otherwise(asked: &Asked, would: &Found) -> String {
    let start = asked.start.as_ref().map(|start| format!("a start at {}", start.replace('T', " ")));
    let all: Vec<String> = would.otherwise.clone().into_iter().chain(start).collect();
    all.join(" and ")
}

/// What a file is written of.
struct Shows<'a> {
    found: &'a Found,
    floor: Floor<'a>,
    asked: &'a Asked,
}

/// A file of the timetable that is shown.
async fn file(
    shared: Arc<Shared>,
    wanted: Wanted,
    kind: &'static str,
    write: impl FnOnce(Shows<'_>) -> Option<(String, String)> + Send + 'static,
) -> Response {
    of_shown(shared, wanted, move |shows| {
        let Some((name, text)) = write(shows) else {
            return StatusCode::NOT_FOUND.into_response();
        };
        let saved = format!("attachment; filename=\"{name}\"");
        ([(header::CONTENT_TYPE, kind), (header::CONTENT_DISPOSITION, saved.as_str())], text)
            .into_response()
    })
    .await
}

/// Something made of the timetable that is shown.
async fn of_shown(
    shared: Arc<Shared>,
    wanted: Wanted,
    make: impl FnOnce(Shows<'_>) -> Response + Send + 'static,
) -> Response {
    away(shared, move |shared| {
        let Ok(standing) = shared.standing() else {
            return StatusCode::NOT_FOUND.into_response();
        };
        let asked = asked(shared, &standing, &wanted);
        let answer = answer(shared, &standing, &asked);
        let refused = |trouble: &Trouble| {
            (StatusCode::UNPROCESSABLE_ENTITY, crate::term::plainly(trouble)).into_response()
        };
        // Whoever asked comes again; a page leads here only once its timetable is there.
        let looks =
            || (StatusCode::SERVICE_UNAVAILABLE, [(header::RETRY_AFTER, "2")]).into_response();
        let answer = match &answer {
            Ok(Some(answer)) => answer,
            Ok(None) => return looks(),
            Err(trouble) => return refused(trouble),
        };
        let found = match answer.shown() {
            Ok(found) => found,
            Err(why) => return why.map_or_else(looks, refused),
        };
        let lathes = lathes(shared, &standing, &answer.gathered);
        let floor = floor(&answer.gathered, found, &lathes, answer.wishes.0.days);
        make(Shows { found, floor, asked: &asked })
    })
    .await
}

/// Every stretch of the picture as a table.
pub(super) async fn stretches(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Query(wanted): Query<Wanted>,
) -> Response {
    of_shown(shared, wanted, move |shows| {
        let title = format!("Stretches of the lanes: {}", shows.floor.name);
        let frame = frame(&by, &title, "visits");
        Html(visits_page::stretches(&frame, &shows.floor, shows.asked)).into_response()
    })
    .await
}

pub(super) async fn ics(
    State(shared): State<Arc<Shared>>,
    Query(wanted): Query<Wanted>,
) -> Response {
    let person = given(&wanted, "person");
    file(shared, wanted, "text/calendar; charset=utf-8", move |shows| {
        let attended = &shows.found.attended;
        let (person, name) = match person {
            Some(text) => {
                let person: usize = text.parse().ok()?;
                attended.setting.people.get(person)?;
                (Some(person), format!("visits-{}.ics", person + 1))
            }
            None => (None, "visits.ics".to_owned()),
        };
        let text =
            calendar::write(&attended.setting, &attended.timetable, shows.floor.name, person);
        Some((name, text))
    })
    .await
}

pub(super) async fn csv(
    State(shared): State<Arc<Shared>>,
    Query(wanted): Query<Wanted>,
) -> Response {
    file(shared, wanted, "text/csv; charset=utf-8; header=present", |shows| {
        Some(("visits.csv".to_owned(), visits_page::csv(&shows.floor)))
    })
    .await
}

pub(super) async fn svg(
    State(shared): State<Arc<Shared>>,
    Query(wanted): Query<Wanted>,
) -> Response {
    let mut response = file(shared, wanted, "image/svg+xml", |shows| {
        let attended = &shows.found.attended;
        let scene = view::pictures::lanes::scene(&attended.setting, &attended.timetable);
        Some(("visits.svg".to_owned(), view::svg::write(&scene)))
    })
    .await;
    // A picture has its own colors inside, and nothing else.
    let policy = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'";
    response
        .headers_mut()
        .insert(header::CONTENT_SECURITY_POLICY, HeaderValue::from_static(policy));
    response
}
