//! What each address does.

mod change;
mod device;
pub(in crate::serve) mod devices;
mod file;
mod folder;
mod job;
mod lathe;
mod part;
mod pieces;
mod playback;
mod price;
mod program;
mod rack;
mod record;
mod shop;
mod sizes;
mod table;
mod told;
mod visits;

pub(in crate::serve) use lathe::times;
pub use table::{Need, Way};

use super::asker::Asker;
use super::book::Asked;
use super::desk::Desk;
use super::{Shared, guard, locked};
use axum::extract::{DefaultBodyLimit, Path};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{Html, IntoResponse as _, Response};
use axum::{Router, middleware};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};
use table::Ways;
use view::pages::{Role, assets, floor, folder as folder_page};

/// Bytes of what is said about a device at most.
const SHORT: usize = 4 * 1024;
/// Bytes of a change at most.
const CHANGE: usize = 64 * 1024;
/// Bytes of a program at most, as a form sends it.
const PROGRAM: usize = 3 * 1024 * 1024;

/// Every address with the role that it needs.
fn ways() -> Ways {
    use Role::{Change, Look, Record};
    Ways::default()
        .read(Need::Anyone, "/assets/{name}", asset)
        .read(Look, "/", folder::page)
        .read(Look, "/job/{*job}", job::page)
        .read(Look, "/part/{*job}", part::page)
        .read(Look, "/given/{kind}/{*job}", job::given)
        .read(Look, "/pieces/{*job}", job::pieces_now)
        .read(Look, "/picture/{which}/{*job}", job::picture)
        .read(Look, "/loading/{*job}", price::loading)
        .read(Look, "/price/{*job}", price::page)
        .read(Look, "/table/{of}/{*job}", price::table)
        .read(Look, "/paper/{which}/{*job}", price::paper)
        .read(Look, "/file/{*path}", file::file)
        .read(Look, "/program/{*job}", program::page)
        .read(Look, "/playback/{*job}", playback::data)
        .read(Look, "/told", told::of_shop)
        .read(Look, "/told/{*job}", told::events)
        .read(Need::Anyone, "/worker.js", worker)
        .read(Look, "/lathe", lathe::list)
        .read(Look, "/lathe/", lathe::typed)
        .read(Look, "/lathe/{name}", lathe::page)
        .read(Look, "/sizes", sizes::page)
        .read(Look, "/sizes/table", sizes::table)
        .read(Look, "/rack", rack::page)
        .read(Look, "/rack/table", rack::table)
        .read(Look, "/rack/labels", rack::label_pages)
        .read(Look, "/rack/sheet", rack::sheet)
        .read(Look, "/shop", shop::page)
        .read(Look, "/shop/pieces", shop::pieces_now)
        .read(Look, "/shop/told", shop::events)
        .read(Look, "/visits", visits::page)
        .read(Look, "/visits/pieces", visits::pieces_now)
        .read(Look, "/visits/stretches", visits::stretches)
        .read(Look, "/visits.ics", visits::ics)
        .read(Look, "/visits.csv", visits::csv)
        .read(Look, "/visits.svg", visits::svg)
        .read(Look, "/finding/{id}", folder::finding)
        .read(Look, "/tour", folder::tour)
        .sent(Look, "/device", SHORT, device::remember)
        .sent(Record, "/record", CHANGE, record::record)
        .sent(Change, "/shop/new", SHORT, shop::new)
        .sent(Change, "/log", SHORT, record::begin)
        .sent(Change, "/change/{*job}", CHANGE, change::change)
        .sent(Change, "/undo/{*job}", CHANGE, change::undo)
        .sent(Change, "/redo/{*job}", CHANGE, change::redo)
        .sent(Change, "/feature/{*job}", CHANGE, part::put)
        .sent(Change, "/feature-out/{*job}", CHANGE, part::take)
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
    guarded(router, table, shared)
}

fn guarded(router: Router<Arc<Shared>>, table: Vec<Way>, shared: &Arc<Shared>) -> Router {
    let watch = guard::Watch { shared: Arc::clone(shared), table: table.into() };
    router
        .fallback(nowhere)
        // The guard reads every body, as large as its way allows.
        .layer(DefaultBodyLimit::disable())
        .layer(middleware::from_fn_with_state(watch, guard::watch))
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

async fn nowhere(by: Asker) -> Response {
    refused(
        &by,
        StatusCode::NOT_FOUND,
        "There is no such page",
        "The address may have been typed wrongly.",
        "",
    )
}

/// A page that says why something was not done.
pub(super) fn refused(
    by: &Asker,
    code: StatusCode,
    title: &str,
    message: &str,
    help: &str,
) -> Response {
    (code, Html(folder_page::refused(&by.frame(title), message, help))).into_response()
}

/// Does something with the desk of a job, away from what waits for the network.
async fn at_desk(
    shared: Arc<Shared>,
    by: Asker,
    name: String,
    work: impl FnOnce(&Shared, &Asker, &mut Desk) -> Response + Send + 'static,
) -> Response {
    let work =
        |shared: &Shared, by: &Asker, desk: &Mutex<Desk>| work(shared, by, &mut locked(desk));
    beside_desk(shared, by, name, work).await
}

/// As [`at_desk`], with the desk free for others but while it is looked at.
async fn beside_desk(
    shared: Arc<Shared>,
    by: Asker,
    name: String,
    work: impl FnOnce(&Shared, &Asker, &Mutex<Desk>) -> Response + Send + 'static,
) -> Response {
    let done = tokio::task::spawn_blocking(move || match shared.desk(&name) {
        Some(desk) => work(&shared, &by, &desk),
        None => no_such_job(&by),
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
    by: Asker,
    work: impl FnOnce(&Shared, &Asker, Asked<'_>) -> Response + Send + 'static,
) -> Response {
    away(move || {
        let answered = shared.book.ask(|asked| work(&shared, &by, asked));
        answered.unwrap_or_else(|error| no_log(&shared, &by, &error))
    })
    .await
}

/// Why the log cannot be asked; where there is none, with what begins one.
fn no_log(shared: &Shared, by: &Asker, error: &runlog::Error) -> Response {
    let path = shared.book.path().display().to_string();
    if error.kind == runlog::Kind::Missing {
        return Html(floor::begin(&by.frame("There is no log yet"), &path)).into_response();
    }
    let title = "The log cannot be asked";
    let message = format!("{}: {}", error.place, error.message);
    refused(by, StatusCode::INTERNAL_SERVER_ERROR, title, &message, &error.mend)
}

/// The page that a form stood on, where that is one of ours; only its path.
fn own_page(headers: &HeaderMap) -> String {
    let text = |name: header::HeaderName| {
        headers.get(name).and_then(|value| value.to_str().ok()).unwrap_or_default()
    };
    let (referer, host) = (text(header::REFERER), text(header::HOST));
    let rest = referer.strip_prefix("http://").or_else(|| referer.strip_prefix("https://"));
    let path = rest.and_then(|rest| rest.strip_prefix(host));
    own_path(path.unwrap_or("/")).to_owned()
}

/// A path of ours: nobody is sent elsewhere. Browsers leave out tabs and ends of lines, and take a stroke that leans the
/// other way for one of these (WHATWG URL, 4.4), so that two strokes may come out of more.
fn own_path(path: &str) -> &str {
    let odd = |letter: char| letter == '\\' || letter.is_control();
    if path.starts_with('/') && !path.starts_with("//") && !path.contains(odd) { path } else { "/" }
}

fn no_such_job(by: &Asker) -> Response {
    let message = "The folder has no job of this name.";
    refused(by, StatusCode::NOT_FOUND, "There is no such job", message, "")
}

/// The fields of a form.
fn form(body: &[u8]) -> BTreeMap<String, String> {
    form_urlencoded::parse(body).into_owned().collect()
}

/// Sends the browser to a page; its address is one of ours.
fn see(address: &str) -> Response {
    (StatusCode::SEE_OTHER, [(header::LOCATION, address.to_owned())]).into_response()
}

#[cfg(test)]
mod tests {
    use super::super::access::{Access, Tried};
    use super::super::book::Book;
    use super::super::names::Line;
    use super::super::shelf::Shelf;
    use super::*;
    use axum::body::Body;
    use axum::http::Request;
    use axum::routing::get;
    use tower_service::Service as _;

    fn shared(folder: &std::path::Path) -> Arc<Shared> {
        Arc::new(Shared {
            book: Book::at(folder.join("shop.barlog")),
            stops: super::super::Stops::default(),
            shelf: Shelf::of(folder).unwrap().0,
            token: "t".to_owned(),
            desks: Mutex::default(),
            timetables: Arc::default(),
            told: tokio::sync::broadcast::channel(4).0,
            access: Access::open(&folder.join("devices.toml")).unwrap(),
            names: Vec::new(),
            reach: None,
            open: super::super::Open::default(),
        })
    }

    fn own_line() -> Line {
        let to = "127.0.0.1:7127".parse().unwrap();
        Line { from: "127.0.0.1".parse().unwrap(), to, tls: false }
    }

    #[test]
    fn a_device_that_asks_on_and_on_waits() {
        let folder = tempfile::tempdir().unwrap();
        let shared = shared(folder.path());
        let (from, to) = ("192.0.2.7".parse().unwrap(), "192.0.2.2:7127".parse().unwrap());
        let code = shared.access.code(Role::Look).unwrap();
        let Tried::LetIn(secret) = shared.access.try_code(from, &code, "tablet") else {
            panic!("the code is good");
        };
        let mut router = router(&shared);
        let runtime = tokio::runtime::Builder::new_current_thread().enable_time().build().unwrap();
        let codes: Vec<u16> = (0..1000)
            .map(|_| {
                let request = Request::get("/assets/mark.svg")
                    .header("host", "192.0.2.2:7127")
                    .header("cookie", format!("barwright-7127={secret}"))
                    .extension(Line { from, to, tls: false });
                let asked = router.call(request.body(Body::empty()).unwrap());
                runtime.block_on(asked).unwrap().status().as_u16()
            })
            .collect();
        assert!(codes[..300].iter().all(|code| *code == 200) && codes.contains(&429), "{codes:?}");
    }

    #[test]
    fn an_answer_that_takes_too_long_is_given_up() {
        let folder = tempfile::tempdir().unwrap();
        let never = async || std::future::pending::<Response>().await;
        let (router, table) = Ways::default().read(Need::Anyone, "/never", never).parts();
        let mut router = guarded(router, table, &shared(folder.path()));
        let request = Request::get("/never").header("host", "localhost:7127").extension(own_line());
        // Where all wait for the clock, it goes on by itself.
        let mut runtime = tokio::runtime::Builder::new_current_thread();
        let runtime = runtime.enable_time().start_paused(true).build().unwrap();
        runtime.block_on(async {
            let begin = tokio::time::Instant::now();
            let answer = router.call(request.body(Body::empty()).unwrap()).await.unwrap();
            assert_eq!(answer.status(), 503);
            assert!(begin.elapsed().as_secs() <= 60, "{:?}", begin.elapsed());
        });
    }

    #[test]
    fn a_handler_outside_of_the_table_is_for_nobody_and_so_is_what_came_over_no_line() {
        let folder = tempfile::tempdir().unwrap();
        let shared = shared(folder.path());
        let (router, table) = ways().parts();
        let mut router = guarded(router.route("/stray", get(nowhere)), table, &shared);
        let runtime = tokio::runtime::Builder::new_current_thread().enable_time().build().unwrap();
        let mut ask = |path: &str, line: Option<Line>| {
            let mut request = Request::get(path).header("host", "localhost:7127");
            if let Some(line) = line {
                request = request.extension(line);
            }
            let asked = router.call(request.body(Body::empty()).unwrap());
            runtime.block_on(asked).unwrap().status().as_u16()
        };
        assert_eq!(ask("/", Some(own_line())), 200);
        assert_eq!(ask("/nowhere", Some(own_line())), 404);
        assert_eq!(ask("/stray", Some(own_line())), 403);
        assert_eq!(ask("/", None), 403);
        assert_eq!(ask("/assets/style.css", Some(own_line())), 200);
        assert_eq!(ask("/assets/style.css", None), 403);
    }
}
