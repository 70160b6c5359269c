//! What each address does.

mod change;
mod device;
mod file;
mod folder;
mod job;
mod lathe;
mod part;
mod playback;
mod price;
mod program;
mod rack;
mod record;
mod shop;
mod sizes;
mod told;
mod visits;

use super::book::Asked;
use super::desk::Desk;
use super::{Shared, guard, locked};
use axum::extract::{DefaultBodyLimit, Path, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{Html, IntoResponse as _, Response};
use axum::routing::{get, post};
use axum::{Router, middleware};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};
use view::pages::{Frame, assets, floor, folder as folder_page};

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
        .route("/feature/{*job}", post(part::put))
        .route("/feature-out/{*job}", post(part::take))
        .route("/log", post(record::begin))
        .route("/record", post(record::record))
        .route("/device", post(device::remember))
        .layer(DefaultBodyLimit::max(CHANGE));
    Router::new()
        .route("/", get(folder::page))
        .route("/assets/{name}", get(asset))
        .route("/job/{*job}", get(job::page))
        .route("/part/{*job}", get(part::page))
        .route("/given/{kind}/{*job}", get(job::given))
        .route("/pieces/{*job}", get(job::pieces))
        .route("/picture/{which}/{*job}", get(job::picture))
        .route("/loading/{*job}", get(price::loading))
        .route("/price/{*job}", get(price::page))
        .route("/table/{of}/{*job}", get(price::table))
        .route("/paper/{which}/{*job}", get(price::paper))
        .route("/file/{*path}", get(file::file))
        .route("/program/{*job}", get(program::page))
        .route("/playback/{*job}", get(playback::data))
        .route("/told", get(told::of_shop))
        .route("/told/{*job}", get(told::events))
        .route("/worker.js", get(worker))
        .route("/lathe", get(lathe::list))
        .route("/lathe/", get(lathe::typed))
        .route("/lathe/{name}", get(lathe::page))
        .route("/sizes", get(sizes::page))
        .route("/sizes/table", get(sizes::table))
        .route("/rack", get(rack::page))
        .route("/rack/table", get(rack::table))
        .route("/rack/labels", get(rack::label_pages))
        .route("/shop", get(shop::page))
        .route("/shop/pieces", get(shop::pieces_now))
        .route("/shop/told", get(shop::events))
        .route("/shop/new", post(shop::new).layer(DefaultBodyLimit::max(CHANGE)))
        .route("/visits", get(visits::page))
        .route("/visits/pieces", get(visits::pieces_now))
        .route("/visits.ics", get(visits::ics))
        .route("/visits.csv", get(visits::csv))
        .route("/visits.svg", get(visits::svg))
        .route("/finding/{id}", get(folder::finding))
        .route("/prove/{*job}", post(program::prove).layer(DefaultBodyLimit::max(PROGRAM)))
        .route("/tour", get(folder::tour))
        .route("/new", post(folder::new).layer(DefaultBodyLimit::max(PROGRAM)))
        .merge(changes)
        .fallback(nowhere)
        .layer(middleware::from_fn_with_state(Arc::clone(shared), guard::watch))
        .with_state(Arc::clone(shared))
}

/// What keeps pages openable without a network; only from here may it answer for them.
async fn worker() -> Response {
    asset(Path("worker.js".to_owned())).await
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

/// Does something away from what waits for the network.
async fn away(work: impl FnOnce() -> Response + Send + 'static) -> Response {
    let done = tokio::task::spawn_blocking(work);
    done.await.unwrap_or_else(|_| StatusCode::INTERNAL_SERVER_ERROR.into_response())
}

/// Asks the shop's log, away from what waits for the network. Where there is none, the page offers to begin one.
async fn at_log(
    shared: Arc<Shared>,
    work: impl FnOnce(&Shared, Asked<'_>) -> Response + Send + 'static,
) -> Response {
    away(move || {
        let answered = shared.book.ask(|asked| work(&shared, asked));
        answered.unwrap_or_else(|error| no_log(&shared, &error))
    })
    .await
}

/// Why the log cannot be asked; where there is none, with what begins one.
fn no_log(shared: &Shared, error: &runlog::Error) -> Response {
    let path = shared.book.path().display().to_string();
    if error.kind == runlog::Kind::Missing {
        let frame = Frame {
            title: "There is no log yet",
            token: &shared.token,
            job: None,
            here: "",
            revision: 0,
        };
        return Html(floor::begin(&frame, &path)).into_response();
    }
    let title = "The log cannot be asked";
    let message = format!("{}: {}", error.place, error.message);
    refused(shared, StatusCode::INTERNAL_SERVER_ERROR, title, &message, &error.mend)
}

/// What is said of a change that does not carry the token.
fn without_token(shared: &Shared) -> Response {
    let message = "The page is older than this server, or the change did not come from a page.";
    refused(
        shared,
        StatusCode::FORBIDDEN,
        "This change was not made",
        message,
        "Load the page anew and make it again.",
    )
}

/// The page that a form stood on, where that is one of ours; only its path.
fn own_page(headers: &HeaderMap) -> String {
    let text = |name: header::HeaderName| {
        headers.get(name).and_then(|value| value.to_str().ok()).unwrap_or_default()
    };
    let (referer, host) = (text(header::REFERER), text(header::HOST));
    let path = referer.strip_prefix("http://").and_then(|rest| rest.strip_prefix(host));
    path.filter(|path| path.starts_with('/') && !path.starts_with("//")).unwrap_or("/").to_owned()
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
