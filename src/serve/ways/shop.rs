//! The pages of the shop: what they ask for, and what they are while it is not there.

use super::super::NoShop;
use super::super::book::Asked;
use super::super::standing::Standing;
use super::super::timetables::{self, Found, Made, Wish};
use super::pieces::told;
use super::{Asker, Shared, refused, see};
use crate::attend::{self, Gathered, WhatIf};
use crate::commands::Trouble;
use axum::Json;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{Html, IntoResponse as _, Response};
use futures_util::stream;
use model::files::shop::Runs;
use model::record::{self, Name};
use std::collections::BTreeMap;
use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::broadcast::error::RecvError;
use view::pages::attended::{AtLathe, Floor, Logged, Why};
use view::pages::job::Piece;
use view::pages::{Frame, shop as shop_page};

/// How long a page waits for a timetable before it is shown without.
pub(super) const PATIENCE: Duration = Duration::from_millis(1500);

/// Does something away from what waits for the network.
pub(super) async fn away(
    shared: Arc<Shared>,
    work: impl FnOnce(&Arc<Shared>) -> Response + Send + 'static,
) -> Response {
    super::away(move || work(&shared)).await
}

/// What is asked behind the `?` of an address; what is empty is not asked.
pub(super) type Wanted = BTreeMap<String, String>;

pub(super) fn given(wanted: &Wanted, key: &str) -> Option<String> {
    wanted.get(key).map(|text| text.trim().to_owned()).filter(|text| !text.is_empty())
}

/// The pieces that the asking page has.
pub(super) fn has(wanted: &Wanted) -> Option<&str> {
    wanted.get("has").map(String::as_str)
}

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
        let pieces = pieces(shared, &standing, &wanted);
        let name = name(&standing);
        let frame = frame(&by, &name, "shop");
        let from = given(&wanted, "from");
        let text = shop_page::page(&frame, &name, &pieces, hours(&wanted), from.as_deref());
        Html(text).into_response()
    })
    .await
}

/// The pieces as they are now.
pub(super) async fn pieces_now(
    State(shared): State<Arc<Shared>>,
    Query(wanted): Query<Wanted>,
) -> Response {
    away(shared, move |shared| match shared.standing() {
        Ok(standing) => {
            Json(told(pieces(shared, &standing, &wanted).iter(), has(&wanted))).into_response()
        }
        Err(_) => StatusCode::NOT_FOUND.into_response(),
    })
    .await
}

pub(super) fn frame<'a>(by: &'a Asker, title: &'a str, here: &'a str) -> Frame<'a> {
    Frame { here, ..by.frame(title) }
}

pub(super) fn name(standing: &Standing) -> String {
    let name = standing.read.as_ref().map(|gathered| gathered.shop.name.clone());
    name.ok().filter(|name| !name.is_empty()).unwrap_or_else(|| "The shop".to_owned())
}

fn hours(wanted: &Wanted) -> u32 {
    let asked = given(wanted, "hours").and_then(|text| text.parse().ok());
    asked.filter(|hours| shop_page::HOURS.contains(hours)).unwrap_or(shop_page::HOURS[0])
}

fn pieces(shared: &Arc<Shared>, standing: &Standing, wanted: &Wanted) -> Vec<Piece> {
    match (found(shared, standing, given(wanted, "from")), &standing.read) {
        (Ok(Some(found)), Ok(gathered)) => {
            let lathes = lathes(shared, standing, gathered);
            shop_page::pieces(&floor(gathered, &found, &lathes, 1), hours(wanted))
        }
        (Ok(_), _) => shop_page::without(Why::Looks),
        (Err(trouble), _) => shop_page::without(in_the_way(&trouble)),
    }
}

/// The timetable that the shop goes by; none while it is looked for.
fn found(
    shared: &Arc<Shared>,
    standing: &Standing,
    from: Option<String>,
) -> Result<Option<Arc<Found>>, Arc<Trouble>> {
    let gathered = standing.read.as_ref().map_err(Arc::clone)?;
    let from = from.map_or_else(|| shared.timetables.begins(&shared.book, gathered), Ok)?;
    let wish = Wish { from, days: 1, what_if: WhatIf::default() };
    match shared.timetables.made_within(&shared.shelf, standing, &wish, PATIENCE) {
        Made::Found(found) => Ok(Some(found)),
        Made::Waits => Ok(None),
        Made::Refused(trouble) => Err(trouble),
    }
}

/// What stands beside each lathe of the timetable.
pub(super) fn lathes(shared: &Shared, standing: &Standing, gathered: &Gathered) -> Vec<AtLathe> {
    let each = gathered.shop.lathes.iter().zip(&gathered.jobs);
    let mut all: Vec<AtLathe> = each
        .map(|(lathe, job)| AtLathe {
            job: match &lathe.runs {
                Runs::Job(file) => shared.shelf.name_of(&standing.path, file),
                _ => None,
            },
            part: job.as_ref().map(|job| job.part.clone()),
            logged: Logged::NoLog,
        })
        .collect();
    // A log that cannot be read tells nothing; the lathes' own page says why.
    let _ = shared.book.ask(|asked| {
        for (lathe, beside) in gathered.shop.lathes.iter().zip(&mut all) {
            beside.logged = logged(asked, &lathe.name);
        }
    });
    all
}

/// What the log says of the lathe of this name.
fn logged(asked: Asked<'_>, name: &str) -> Logged {
    let (state, now) = (asked.state(), asked.now());
    let lathe = Name::parse(name).and_then(|name| state.lathes.get(&name));
    let Some(lathe) = lathe else { return Logged::NotSaid { known: false } };
    match &lathe.runs {
        record::Runs::NotKnown => Logged::NotSaid { known: true },
        record::Runs::Stopped(since, stopped) => Logged::Stopped {
            since: now.since(*since),
            why: stopped.why,
            block: stopped.block.as_ref().map(Name::to_string),
        },
        record::Runs::Since(since) => {
            let order = lathe.job.as_ref().and_then(|job| state.order(job));
            let due = record::visits(lathe, order);
            let first = due.first();
            Logged::Runs {
                since: now.since(*since),
                bar: lathe.bar.as_ref().map(|bar| (bar.made, lathe.left_in_bar())),
                order_left: order.and_then(record::Tally::left),
                next: first.map(|due| due.reason.to_string()),
                // A time that has gone by is due now.
                at: first.and_then(|due| due.at).map(|at| (at.since(now).ms() / 1000).max(0)),
            }
        }
    }
}

/// A timetable as pages show it.
pub(super) fn floor<'a>(
    gathered: &'a Gathered,
    found: &'a Found,
    lathes: &'a [AtLathe],
    days: u32,
) -> Floor<'a> {
    let attended = &found.attended;
    Floor {
        name: &gathered.shop.name,
        from: &found.from,
        days,
        now: timetables::now(gathered, &attended.setting.clock),
        by_log: found.by_log,
        setting: &attended.setting,
        timetable: &attended.timetable,
        not_known: &attended.not_known,
        learned: &attended.learned,
        lathes,
    }
}

/// What stands in the way of a timetable.
pub(super) fn in_the_way(trouble: &Trouble) -> Why<'_> {
    match trouble {
        Trouble::Files(diagnostics) => Why::Files(diagnostics),
        Trouble::Open(name, _) => Why::Outside(name, ""),
        Trouble::Outside(message, help) => Why::Outside(message, help),
    }
}

/// The page of a folder that has no shop file: what to write, and a button that does it.
pub(super) fn without_shop(shared: &Shared, by: &Asker, why: &NoShop) -> Response {
    if let NoShop::Several(_) = why {
        let help = "Start the server with --shop and the one that is meant.";
        return refused(by, StatusCode::CONFLICT, "Which shop file?", &why.to_string(), help);
    }
    let jobs = jobs(shared);
    let text = shop_page::without_shop(&frame(by, "The shop", "shop"), &attend::example(&jobs));
    Html(text).into_response()
}

/// Job files by path from the folder.
fn jobs(shared: &Shared) -> Vec<String> {
    shared.shelf.jobs().into_keys().map(|name| format!("{name}.job.toml")).collect()
}

/// Writes a shop file to begin with.
pub(super) async fn new(State(shared): State<Arc<Shared>>, by: Asker) -> Response {
    away(shared, move |shared| {
        let title = "No shop file was written";
        if shared.shelf.shop().is_ok() {
            return see("/shop");
        }
        match shared.shelf.write_shop(&attend::example(&jobs(shared))) {
            Ok(()) => see("/shop"),
            Err(trouble) => {
                let why = crate::term::plainly(&trouble);
                refused(&by, StatusCode::INTERNAL_SERVER_ERROR, title, &why, "")
            }
        }
    })
    .await
}

/// Tells a page that a timetable is there, or that something was changed.
pub(super) async fn events(State(shared): State<Arc<Shared>>) -> Response {
    let heard = shared.timetables.listen();
    let events = stream::unfold(heard, |mut heard| async move {
        match heard.recv().await {
            // Where some were missed, the next look brings all of it.
            Ok(()) | Err(RecvError::Lagged(_)) => {
                // An event without data is none to a browser.
                let event = Event::default().event("changed").data("timetables");
                Some((Ok::<_, Infallible>(event), heard))
            }
            Err(RecvError::Closed) => None,
        }
    });
    Sse::new(events).keep_alive(KeepAlive::default()).into_response()
}
