//! Letting devices in, and out again.

use super::super::access::Tried;
use super::super::access::devices::Device;
use super::super::asker::cookie;
use super::super::names::Line;
use super::{Asker, Shared, form, own_path, refused, see};
use axum::Extension;
use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::request::Parts;
use axum::http::{HeaderValue, Method, StatusCode, header};
use axum::response::{Html, IntoResponse as _, Response};
use jiff::Timestamp;
use jiff::tz::TimeZone;
use std::sync::Arc;
use view::pages::devices::{self as page, Code, Known, Stranger};
use view::pages::{Frame, Role};

/// What somebody is shown who is not known: the page that asks for a code, or a sentence for a script.
pub(in crate::serve) fn unknown(shared: &Shared, line: &Line, parts: &Parts) -> Response {
    let says = |name: header::HeaderName, word: &str| {
        parts.headers.get(name).is_some_and(|it| it.to_str().is_ok_and(|it| it.contains(word)))
    };
    if !says(header::ACCEPT, "text/html") {
        return (StatusCode::UNAUTHORIZED, "This device is not known here.\n").into_response();
    }
    shared.knocked(line.from);
    let by_link = says(header::HeaderName::from_static("sec-fetch-site"), "cross-site");
    let asked = parts.uri.path_and_query().filter(|_| parts.method == Method::GET);
    let to = own_path(asked.map_or("/", |path| path.as_str()));
    let stranger = Stranger { to, by_link, ..Stranger::default() };
    (StatusCode::UNAUTHORIZED, Html(page::stranger(&stranger))).into_response()
}

/// The page to which a picked up address leads.
pub(super) async fn ask(
    State(shared): State<Arc<Shared>>,
    Extension(line): Extension<Line>,
) -> Response {
    shared.knocked(line.from);
    Html(page::stranger(&Stranger { to: "/", ..Stranger::default() })).into_response()
}

/// Tries a code.
pub(super) async fn pair(
    State(shared): State<Arc<Shared>>,
    Extension(line): Extension<Line>,
    body: Bytes,
) -> Response {
    let tried = tokio::task::spawn_blocking(move || tried(&shared, &line, &body));
    tried.await.unwrap_or_else(|_| StatusCode::INTERNAL_SERVER_ERROR.into_response())
}

fn tried(shared: &Shared, line: &Line, body: &[u8]) -> Response {
    let form = form(body);
    let text = |key: &str| form.get(key).map(String::as_str).unwrap_or_default();
    let to = own_path(text("to"));
    let again = |code: StatusCode, why: &str| {
        let name = text("name");
        let stranger = Stranger { to, name, refused: why, ..Stranger::default() };
        (code, Html(page::stranger(&stranger))).into_response()
    };
    match shared.access.try_code(line.from, text("code"), text("name")) {
        Tried::LetIn(secret) => {
            let mut response = see(to);
            if let Ok(cookie) = HeaderValue::from_str(&cookie(line, &secret)) {
                response.headers_mut().insert(header::SET_COOKIE, cookie);
            }
            response
        }
        Tried::Wrong => again(
            StatusCode::FORBIDDEN,
            "This code is not good: it was mistyped, was used already, or is older than 5 minutes.",
        ),
        Tried::TooOften => again(
            StatusCode::TOO_MANY_REQUESTS,
            "Too many codes were tried: wait a minute, then try again.",
        ),
        Tried::NotKept(trouble) => {
            again(StatusCode::INTERNAL_SERVER_ERROR, &crate::term::plainly(&trouble))
        }
    }
}

/// The page of all devices.
pub(super) async fn list(State(shared): State<Arc<Shared>>, by: Asker) -> Response {
    let codes: Vec<Code> = shared
        .access
        .codes_out()
        .into_iter()
        .map(|(letters, role, left)| Code { letters, role, left })
        .collect();
    let known: Vec<Known> = shared.access.all().into_iter().map(known).collect();
    let frame = Frame { here: "devices", ..by.frame("Devices") };
    Html(page::page(&frame, shared.reach.as_deref(), &codes, &known)).into_response()
}

fn known(device: Device) -> Known {
    let time =
        |at: Timestamp| TimeZone::system().to_datetime(at).strftime("%Y-%m-%d %H:%M").to_string();
    let (since, seen) = (time(device.paired), time(device.seen));
    Known { id: device.id, name: device.name, role: device.role, since, seen }
}

/// Makes a code.
pub(super) async fn code(State(shared): State<Arc<Shared>>, by: Asker, body: Bytes) -> Response {
    let form = form(&body);
    let Some(role) = form.get("role").and_then(|word| Role::of(word)) else {
        return no_such_role(&by);
    };
    match shared.access.code(role) {
        Ok(_) => see("/devices"),
        Err(trouble) => failed(&by, &crate::term::plainly(&trouble)),
    }
}

/// Gives a device another name or role.
pub(super) async fn change(
    state: State<Arc<Shared>>,
    by: Asker,
    Path(id): Path<String>,
    body: Bytes,
) -> Response {
    let form = form(&body);
    let Some(role) = form.get("role").and_then(|word| Role::of(word)) else {
        return no_such_role(&by);
    };
    let name = form.get("name").cloned().unwrap_or_default();
    changed(state, by, id, Some((name, role))).await
}

/// Shuts a device out.
pub(super) async fn out(state: State<Arc<Shared>>, by: Asker, Path(id): Path<String>) -> Response {
    changed(state, by, id, None).await
}

async fn changed(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    id: String,
    change: Option<(String, Role)>,
) -> Response {
    let done = tokio::task::spawn_blocking(move || {
        let change = change.as_ref().map(|(name, role)| (name.as_str(), *role));
        match shared.access.change(&id, change) {
            Ok(true) => see("/devices"),
            Ok(false) => {
                let title = "There is no such device";
                let message = "It was shut out before.";
                refused(&by, StatusCode::NOT_FOUND, title, message, "")
            }
            Err(trouble) => failed(&by, &crate::term::plainly(&trouble)),
        }
    });
    done.await.unwrap_or_else(|_| StatusCode::INTERNAL_SERVER_ERROR.into_response())
}

fn no_such_role(by: &Asker) -> Response {
    let title = "There is no such role";
    let message = "A device may look, record or change.";
    refused(by, StatusCode::UNPROCESSABLE_ENTITY, title, message, "")
}

fn failed(by: &Asker, why: &str) -> Response {
    let title = "This could not be written";
    let help = "A device that was shut out is out all the same, until the server is started again.";
    refused(by, StatusCode::INTERNAL_SERVER_ERROR, title, why, help)
}
