//! The lathes, and the page at one of them.

use super::device::Device;
use super::{Asker, Shared, at_log, away, no_log, refused, see};
use crate::serve::book::Asked;
use crate::serve::stops::Looked;
use crate::term::{self, log::time};
use axum::extract::{Path, Query as Asks, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse as _, Response};
use model::Units;
use model::files::Job;
use model::record::{LatheNow, Name, Racked, Recorded, Stamp, Tally, What};
use runlog::Query;
use std::collections::BTreeMap;
use std::sync::Arc;
use view::Markup;
use view::pages::Frame;
use view::pages::floor::{self, Teller, Times};
use view::pages::frame::address;
use view::pages::lathe::{self as lathe_page, AtLathe, Entry, Offered, Shown};
use view::sizes::sizes;

/// Entries that are shown of a lathe.
const LAST: u32 = 12;

pub(super) async fn list(State(shared): State<Arc<Shared>>, by: Asker, device: Device) -> Response {
    at_log(shared, by, move |shared, by, asked| {
        let revision = asked.revision();
        let frame = Frame { here: "lathe", revision, ..by.frame("At the lathe") };
        let teller = teller(by, &device, shop_units(shared), &new_id);
        let shown = |(name, now): (&'_ Name, &'_ LatheNow)| (name.clone(), now.clone());
        let mut all: Vec<(Name, LatheNow)> = asked.state().lathes.iter().map(shown).collect();
        all.sort_by_cached_key(|(name, _)| in_order(name.text()));
        let lathes: Vec<Shown<'_>> = all
            .iter()
            .map(|(name, now)| Shown { name, now, order: None, times: times(asked.now()), teller })
            .collect();
        let known = |name: &String| all.iter().any(|(one, _)| one.text() == name);
        let unset: Vec<String> =
            lathes_of(shared).into_iter().filter(|name| !known(name)).collect();
        Html(lathe_page::list(&frame, &lathes, &unset)).into_response()
    })
    .await
}

/// A name as people put it in order: 2 before 10.
fn in_order(name: &str) -> Vec<(String, u64)> {
    let mut key = Vec::new();
    let mut rest = name;
    while !rest.is_empty() {
        let words = rest.find(|c: char| c.is_ascii_digit()).unwrap_or(rest.len());
        let (word, more) = rest.split_at(words);
        let digits = more.find(|c: char| !c.is_ascii_digit()).unwrap_or(more.len());
        let (number, more) = more.split_at(digits);
        key.push((word.to_lowercase(), number.parse().unwrap_or_default()));
        rest = more;
    }
    key
}

/// The lathes that the shop's file names.
fn lathes_of(shared: &Shared) -> Vec<String> {
    let shop = shared.shop().ok();
    shop.map_or_else(Vec::new, |shop| shop.lathes.into_iter().map(|lathe| lathe.name).collect())
}

/// From a name that was typed to its page.
pub(super) async fn typed(Asks(mut asks): Asks<BTreeMap<String, String>>) -> Response {
    see(&format!("/lathe/{}", address(asks.remove("name").unwrap_or_default().trim())))
}

/// What the log says about one lathe, as of one moment.
struct Gathered {
    now: LatheNow,
    order: Option<Tally>,
    rack: Vec<Racked>,
    recorded: Vec<(Recorded, Option<What>)>,
    at: Stamp,
    revision: u64,
}

pub(super) async fn page(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Path(name): Path<String>,
    device: Device,
) -> Response {
    away(move || {
        let Some(name) = Name::parse(&name) else {
            let message = "No lathe can have this name.";
            return refused(&by, StatusCode::NOT_FOUND, "There is no such lathe", message, "");
        };
        match shared.book.ask(|asked| gathered(asked, &name)) {
            Ok(Ok(gathered)) => answered(&shared, &by, &name, &gathered, &device),
            Ok(Err(error)) | Err(error) => no_log(&shared, &by, &error),
        }
    })
    .await
}

fn gathered(asked: Asked<'_>, name: &Name) -> Result<Gathered, runlog::Error> {
    let state = asked.state();
    let now = state.lathes.get(name).cloned().unwrap_or_default();
    let order = now.job.as_ref().and_then(|job| state.order(job)).cloned();
    let query = Query { lathe: Some(name.clone()), last: Some(LAST), ..Query::default() };
    let mut all = asked.log.events(&query)?;
    all.reverse();
    let counts =
        |one: &Recorded| asked.corrections().effective(one).map(|it| it.event.what.clone());
    let recorded = all
        .into_iter()
        .filter(|one| !matches!(one.event.what, What::Corrected { .. }))
        .map(|one| {
            let says = counts(&one);
            (one, says)
        })
        .collect();
    let rack = state.rack.values().cloned().collect();
    Ok(Gathered { now, order, rack, recorded, at: asked.now(), revision: asked.revision() })
}

/// The page, with what files and the proof of the program say besides: the log is free for others meanwhile.
fn answered(
    shared: &Shared,
    by: &Asker,
    name: &Name,
    gathered: &Gathered,
    device: &Device,
) -> Response {
    let job = shared.job_of(&gathered.now.set_up);
    let units = job.as_ref().map_or(Units::Mm, |job| job.file.units);
    let teller = teller(by, device, units, &new_id);
    let times = times(gathered.at);
    let looked = Looked::at(shared, name, &gathered.now, &job);
    let entries: Vec<Entry> =
        gathered.recorded.iter().map(|one| entry(one, times, teller.units)).collect();
    let frame = Frame { here: "lathe", revision: gathered.revision, ..by.frame(name.text()) };
    let (now, order) = (&gathered.now, gathered.order.as_ref());
    let at = AtLathe {
        shown: Shown { name, now, order, times, teller },
        who: &who(shared, &teller),
        offered: &offered(shared, gathered, &job),
        after: &looked.after(),
        reset: not_counted_since(&gathered.recorded),
        entries: &entries,
    };
    Html(lathe_page::page(&frame, &at)).into_response()
}

/// The line of the last reset, where the lathe was started since and nobody read its count; newest events first.
fn not_counted_since(recorded: &[(Recorded, Option<What>)]) -> Option<&str> {
    let mut started = false;
    for what in recorded.iter().filter_map(|(_, counts)| counts.as_ref()) {
        match what {
            What::CountRead { .. } | What::BarLoaded(_) | What::SetUpDone(_) => return None,
            What::Started => started = true,
            What::Stopped(stopped) if started => match &stopped.block {
                Some(block) => return Some(block.text()),
                None => started = false,
            },
            _ => {}
        }
    }
    None
}

fn offered(shared: &Shared, gathered: &Gathered, job: &Result<Job, String>) -> Offered {
    let stations = job.as_ref().map_or_else(
        |_| gathered.now.set_up.edges.keys().map(|number| (*number, String::new())).collect(),
        |job| job.tools.stations.iter().map(|one| (one.number, one.name.clone())).collect(),
    );
    Offered {
        jobs: shared.shelf.jobs().into_keys().collect(),
        programs: shared.shelf.programs().into_keys().collect(),
        rack: gathered.rack.clone(),
        sizes: job.as_ref().map_or_else(|_| Vec::new(), |job| sizes(&job.file)),
        stations,
        no_job: job.as_ref().err().cloned(),
    }
}

/// One entry in words: as its corrections say, or as it was where it was taken back.
fn entry((recorded, counts): &(Recorded, Option<What>), times: Times<'_>, units: Units) -> Entry {
    let mut event = recorded.event.clone();
    // The page is about this lathe, and what it runs stands above.
    (event.lathe, event.job) = (None, None);
    if let Some(what) = counts {
        event.what = what.clone();
    }
    let by = event.person.as_ref().map_or(String::new(), |person| format!(", {person}"));
    Entry {
        id: event.id.text().to_owned(),
        when: times.near(recorded.order.time),
        words: term::log::event(&event, units) + &by,
        taken_back: counts.is_none(),
    }
}

/// Who may be chosen on a device.
pub(super) fn who(shared: &Shared, teller: &Teller<'_>) -> Markup {
    let shop = shared.shop();
    let names =
        |people: &[model::files::shop::Person]| people.iter().map(|one| one.name.clone()).collect();
    let people: Vec<String> = shop.as_ref().map_or_else(|_| Vec::new(), |shop| names(&shop.people));
    floor::device(teller, &people, shop.as_ref().err().map(String::as_str))
}

/// Points in time as this place writes them.
pub(in crate::serve) fn times(now: Stamp) -> Times<'static> {
    Times { now, shown: &|stamp: Stamp| time::shown(stamp) }
}

/// The units of the shop's file; millimeters where there is none.
pub(super) fn shop_units(shared: &Shared) -> Units {
    shared.shop().map_or(Units::Mm, |shop| shop.units)
}

/// The units of this device; those of the shop where it says nothing else.
pub(super) fn units(shared: &Shared, device: &Device) -> Units {
    device.units.unwrap_or_else(|| shop_units(shared))
}

/// Who tells on this device; lengths in these units, where the device says nothing else.
pub(super) fn teller<'a>(
    by: &'a Asker,
    device: &'a Device,
    units: Units,
    id: &'a dyn Fn() -> String,
) -> Teller<'a> {
    let units = device.units.unwrap_or(units);
    Teller { token: &by.token, person: device.person.as_ref(), units, id }
}

/// An id for an entry of a form.
pub(super) fn new_id() -> String {
    crate::commands::new_event_id().text().to_owned()
}
