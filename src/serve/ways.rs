//! What each address does.

mod change;
mod folder;
mod job;
mod playback;
mod price;
mod program;
mod told;

use super::desk::Desk;
use super::{Shared, guard, locked};
use axum::extract::{DefaultBodyLimit, Path, State};
use axum::http::{StatusCode, header};
use axum::response::{Html, IntoResponse as _, Response};
use axum::routing::{get, post};
use axum::{Router, middleware};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};
use view::pages::{Frame, assets, folder as folder_page};

/// Bytes of a change at most.
const CHANGE: usize = 64 * 1024;
/// Bytes of a program at most, as a form sends it.
const PROGRAM: usize = 3 * 1024 * 1024;

/// Everything that may be asked.
pub(super) fn router(shared: &Arc<Shared>) -> Router {
    let changes = Router::new()
        .route("/change/{*job}", post(change::change))
        .route("/undo/{*job}", post(change::undo))
        .route("/redo/{*job}", post(change::redo))
        .layer(DefaultBodyLimit::max(CHANGE));
    Router::new()
        .route("/", get(folder::page))
        .route("/assets/{name}", get(asset))
        .route("/job/{*job}", get(job::page))
        .route("/given/{kind}/{*job}", get(job::given))
        .route("/pieces/{*job}", get(job::pieces))
        .route("/picture/{which}/{*job}", get(job::picture))
        .route("/loading/{*job}", get(price::loading))
        .route("/price/{*job}", get(price::page))
        .route("/table/{of}/{*job}", get(price::table))
        .route("/paper/{which}/{*job}", get(price::paper))
        .route("/program/{*job}", get(program::page))
        .route("/playback/{*job}", get(playback::data))
        .route("/told/{*job}", get(told::events))
        .route("/finding/{id}", get(folder::finding))
        .route("/prove/{*job}", post(program::prove).layer(DefaultBodyLimit::max(PROGRAM)))
        .route("/new", post(folder::new).layer(DefaultBodyLimit::max(PROGRAM)))
        .merge(changes)
        .fallback(nowhere)
        .layer(middleware::from_fn_with_state(Arc::clone(shared), guard::watch))
        .with_state(Arc::clone(shared))
}

async fn asset(Path(name): Path<String>) -> Response {
    match assets::named(&name) {
        Some(asset) => ([(header::CONTENT_TYPE, asset.kind)], asset.text).into_response(),
        None => StatusCode::NOT_FOUND.into_response(),
    }
}

async fn nowhere(State(shared): State<Arc<Shared>>) -> Response {
    refused(
        &shared,
        StatusCode::NOT_FOUND,
        "There is no such page",
        "The address may have been typed wrongly.",
        "",
    )
}

/// A page that says why something was not done.
fn refused(shared: &Shared, code: StatusCode, title: &str, message: &str, help: &str) -> Response {
    let frame = Frame { title, token: &shared.token, job: None, here: "", revision: 0 };
    (code, Html(folder_page::refused(&frame, message, help))).into_response()
}

/// Does something with the desk of a job, away from what waits for the network.
async fn at_desk(
    shared: Arc<Shared>,
    name: String,
    work: impl FnOnce(&Shared, &mut Desk) -> Response + Send + 'static,
) -> Response {
    beside_desk(shared, name, |shared, desk| work(shared, &mut locked(desk))).await
}

/// As [`at_desk`], with the desk free for others but while it is looked at.
async fn beside_desk(
    shared: Arc<Shared>,
    name: String,
    work: impl FnOnce(&Shared, &Mutex<Desk>) -> Response + Send + 'static,
) -> Response {
    let done = tokio::task::spawn_blocking(move || match shared.desk(&name) {
        Some(desk) => work(&shared, &desk),
        None => no_such_job(&shared),
    });
    done.await.unwrap_or_else(|_| StatusCode::INTERNAL_SERVER_ERROR.into_response())
}

fn no_such_job(shared: &Shared) -> Response {
    let message = "The folder has no job of this name.";
    refused(shared, StatusCode::NOT_FOUND, "There is no such job", message, "")
}

/// The fields of a form.
fn form(body: &[u8]) -> BTreeMap<String, String> {
    form_urlencoded::parse(body).into_owned().collect()
}

/// Sends the browser to a page; its address is one of ours.
fn see(address: &str) -> Response {
    (StatusCode::SEE_OTHER, [(header::LOCATION, address.to_owned())]).into_response()
}
