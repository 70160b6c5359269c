//! The lathes, and the page at one of them.

use super::device::Device;
use super::{Shared, at_log, no_log, refused};
use crate::serve::book::Asked;
use crate::term::{self, log::time};
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{Html, IntoResponse as _, Response};
use model::Units;
use model::record::{Name, Recorded, Stamp, What};
use runlog::Query;
use std::sync::Arc;
use view::Markup;
use view::pages::Frame;
use view::pages::floor::{self, Teller, Times};
use view::pages::lathe::{self as lathe_page, Entry, Shown};

/// Entries that are shown of a lathe.
const LAST: u32 = 12;

pub(super) async fn list(State(shared): State<Arc<Shared>>, headers: HeaderMap) -> Response {
    let device = Device::of(&headers);
    at_log(shared, move |shared, asked| {
        let title = "At the lathe";
        let revision = asked.revision();
        let frame = Frame { title, token: &shared.token, job: None, here: "lathe", revision };
        let id = new_id;
        let teller = teller(shared, &device, &id);
        let all: Vec<Shown<'_>> =
            asked.state().lathes.keys().filter_map(|name| shown(asked, name, teller)).collect();
        Html(lathe_page::list(&frame, &all)).into_response()
    })
    .await
}

pub(super) async fn page(
    State(shared): State<Arc<Shared>>,
    Path(name): Path<String>,
    headers: HeaderMap,
) -> Response {
    let device = Device::of(&headers);
    at_log(shared, move |shared, asked| {
        let id = new_id;
        let teller = teller(shared, &device, &id);
        let lathe = Name::parse(&name).and_then(|name| shown_of(asked, &name, teller));
        let Some(lathe) = lathe else {
            let message = "The log has no lathe of this name.";
            let help = "A lathe begins with its first set-up.";
            return refused(shared, StatusCode::NOT_FOUND, "There is no such lathe", message, help);
        };
        let (title, revision) = (lathe.name.text(), asked.revision());
        let frame = Frame { title, token: &shared.token, job: None, here: "lathe", revision };
        let entries = match entries(asked, lathe.name, teller.units) {
            Ok(entries) => entries,
            Err(error) => return no_log(shared, &error),
        };
        Html(lathe_page::page(&frame, &lathe, &who(shared, &teller), &entries)).into_response()
    })
    .await
}

fn shown_of<'a>(asked: Asked<'a>, name: &Name, teller: Teller<'a>) -> Option<Shown<'a>> {
    let (name, _) = asked.state().lathes.get_key_value(name)?;
    shown(asked, name, teller)
}

fn shown<'a>(asked: Asked<'a>, name: &'a Name, teller: Teller<'a>) -> Option<Shown<'a>> {
    let now = asked.state().lathes.get(name)?;
    let order = now.job.as_ref().and_then(|job| asked.state().order(job));
    Some(Shown { name, now, order, times: times(asked), teller })
}

/// The newest entries of a lathe, the last first.
fn entries(asked: Asked<'_>, lathe: &Name, units: Units) -> Result<Vec<Entry>, runlog::Error> {
    let query = Query { lathe: Some(lathe.clone()), last: Some(LAST), ..Query::default() };
    let mut all = asked.log.events(&query)?;
    all.reverse();
    let times = times(asked);
    let told = all.iter().filter(|one| !matches!(one.event.what, What::Corrected { .. }));
    let entry = |recorded: &Recorded| {
        let counts = asked.corrections().effective(recorded);
        let words =
            term::log::event(counts.as_ref().map_or(&recorded.event, |it| &it.event), units);
        let corrected = counts.is_none();
        let words = if corrected { format!("{words}, taken back") } else { words };
        let (id, when) = (recorded.event.id.to_string(), times.near(recorded.order.time));
        Entry { id, when, words, corrected }
    };
    Ok(told.map(entry).collect())
}

/// Who may be chosen on a device.
pub(super) fn who(shared: &Shared, teller: &Teller<'_>) -> Markup {
    let shop = shared.shop();
    let people = shop.as_ref().map(|shop| shop.people.iter().map(|one| one.name.clone()).collect());
    floor::device(
        teller,
        &people.unwrap_or_else(|_| Vec::new()),
        shop.as_ref().err().map(String::as_str),
    )
}

/// Points in time as this place writes them.
pub(super) fn times(asked: Asked<'_>) -> Times<'static> {
    Times { now: asked.now(), shown: &|stamp: Stamp| time::shown(stamp) }
}

/// Who tells on this device.
pub(super) fn teller<'a>(
    shared: &'a Shared,
    device: &'a Device,
    id: &'a dyn Fn() -> String,
) -> Teller<'a> {
    let units = device.units.unwrap_or(Units::Mm);
    Teller { token: &shared.token, person: device.person.as_ref(), units, id }
}

/// An id for an entry of a form.
pub(super) fn new_id() -> String {
    crate::commands::new_event_id().text().to_owned()
}
