//! What each address does.

mod change;
pub(in crate::serve) mod devices;
mod folder;
mod job;
mod playback;
mod program;
mod table;
mod told;

pub use table::{Need, Way};

use super::asker::Asker;
use super::desk::Desk;
use super::{Shared, guard, locked};
use axum::extract::{DefaultBodyLimit, Path};
use axum::http::{StatusCode, header};
use axum::response::{Html, IntoResponse as _, Response};
use axum::{Router, middleware};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};
use table::Ways;
use view::pages::{Role, assets, folder as folder_page};

/// Bytes of what is said about a device at most.
const SHORT: usize = 4 * 1024;
/// Bytes of a change at most.
const CHANGE: usize = 64 * 1024;
/// Bytes of a program at most, as a form sends it.
const PROGRAM: usize = 3 * 1024 * 1024;

/// Every address with the role that it needs.
fn ways() -> Ways {
    use Role::{Change, Look};
    Ways::default()
        .read(Need::Anyone, "/assets/{name}", asset)
        .read(Look, "/", folder::page)
        .read(Look, "/job/{*job}", job::page)
        .read(Look, "/given/{kind}/{*job}", job::given)
        .read(Look, "/pieces/{*job}", job::pieces)
        .read(Look, "/picture/{which}/{*job}", job::picture)
        .read(Look, "/program/{*job}", program::page)
        .read(Look, "/playback/{*job}", playback::data)
        .read(Look, "/told/{*job}", told::events)
        .read(Look, "/finding/{id}", folder::finding)
        .sent(Change, "/change/{*job}", CHANGE, change::change)
        .sent(Change, "/undo/{*job}", CHANGE, change::undo)
        .sent(Change, "/redo/{*job}", CHANGE, change::redo)
        .sent(Change, "/prove/{*job}", PROGRAM, program::prove)
        .sent(Change, "/new", PROGRAM, folder::new)
        .read(Need::Anyone, "/pair", devices::ask)
        .sent(Need::Anyone, "/pair", SHORT, devices::pair)
        .read(Change, "/devices", devices::list)
        .sent(Change, "/devices/code", SHORT, devices::code)
        .sent(Change, "/devices/{id}", SHORT, devices::change)
        .sent(Change, "/devices/{id}/out", SHORT, devices::out)
}

/// The table of all addresses.
pub fn table() -> Vec<Way> {
    ways().parts().1
}

/// Everything that may be asked, behind the guard.
pub(super) fn router(shared: &Arc<Shared>) -> Router {
    let (router, table) = ways().parts();
    let watch = guard::Watch { shared: Arc::clone(shared), table: table.into() };
    router
        .fallback(nowhere)
        // The guard reads every body, as large as its way allows.
        .layer(DefaultBodyLimit::disable())
        .layer(middleware::from_fn_with_state(watch, guard::watch))
        .with_state(Arc::clone(shared))
}

async fn asset(Path(name): Path<String>) -> Response {
    match assets::named(&name) {
        Some(asset) => ([(header::CONTENT_TYPE, asset.kind)], asset.text).into_response(),
        None => StatusCode::NOT_FOUND.into_response(),
    }
}

async fn nowhere(asker: Asker) -> Response {
    refused(
        &asker,
        StatusCode::NOT_FOUND,
        "There is no such page",
        "The address may have been typed wrongly.",
        "",
    )
}

/// A page that says why something was not done.
pub(super) fn refused(
    asker: &Asker,
    code: StatusCode,
    title: &str,
    message: &str,
    help: &str,
) -> Response {
    (code, Html(folder_page::refused(&asker.frame(title), message, help))).into_response()
}

/// Does something with the desk of a job, away from what waits for the network.
async fn at_desk(
    shared: Arc<Shared>,
    asker: Asker,
    name: String,
    work: impl FnOnce(&Shared, &Asker, &mut Desk) -> Response + Send + 'static,
) -> Response {
    let work =
        |shared: &Shared, asker: &Asker, desk: &Mutex<Desk>| work(shared, asker, &mut locked(desk));
    beside_desk(shared, asker, name, work).await
}

/// As [`at_desk`], with the desk free for others but while it is looked at.
async fn beside_desk(
    shared: Arc<Shared>,
    asker: Asker,
    name: String,
    work: impl FnOnce(&Shared, &Asker, &Mutex<Desk>) -> Response + Send + 'static,
) -> Response {
    let done = tokio::task::spawn_blocking(move || match shared.desk(&name) {
        Some(desk) => work(&shared, &asker, &desk),
        None => no_such_job(&asker),
    });
    done.await.unwrap_or_else(|_| StatusCode::INTERNAL_SERVER_ERROR.into_response())
}

fn no_such_job(asker: &Asker) -> Response {
    let message = "The folder has no job of this name.";
    refused(asker, StatusCode::NOT_FOUND, "There is no such job", message, "")
}

/// The fields of a form.
fn form(body: &[u8]) -> BTreeMap<String, String> {
    form_urlencoded::parse(body).into_owned().collect()
}

/// Sends the browser to a page; its address is one of ours.
fn see(address: &str) -> Response {
    (StatusCode::SEE_OTHER, [(header::LOCATION, address.to_owned())]).into_response()
}
