//! Who may ask what. Every request passes here: what is not allowed by name is refused.

use super::Shared;
use super::access::{self, devices::Device};
use super::asker::Asker;
use super::names::{Line, host};
use super::ways::{Need, Way, devices, refused};
use axum::body::{Body, to_bytes};
use axum::extract::{MatchedPath, Request, State};
use axum::http::request::Parts;
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};
use futures_util::StreamExt as _;
use std::sync::Arc;
use std::time::Duration;
use tokio::time::timeout;
use view::pages::Role;

/// Scripts, styles and pictures only from here; nothing inline, no frames, no other site.
const CONTENT: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; \
     connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

const HEADERS: [(HeaderName, &str); 6] = [
    (header::CONTENT_SECURITY_POLICY, CONTENT),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "same-origin"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    (header::CACHE_CONTROL, "no-store"),
];

/// How long a body may take to come, and an answer to be made.
const BODY: Duration = Duration::from_secs(20);
const ANSWER: Duration = Duration::from_mins(1);

/// What the guard goes by.
#[derive(Clone)]
pub(super) struct Watch {
    pub(super) shared: Arc<Shared>,
    pub(super) table: Arc<[Way]>,
}

/// Lets through what the table allows, and gives every answer its headers.
pub(super) async fn watch(State(watch): State<Watch>, request: Request, next: Next) -> Response {
    let mut response = match watch.let_in(request).await {
        Ok((request, guest)) => {
            let answered = timeout(ANSWER, next.run(request)).await;
            let response = answered.unwrap_or_else(|_| {
                plain(StatusCode::SERVICE_UNAVAILABLE, "This took too long: try again later.\n")
            });
            watch.until_out(response, guest)
        }
        Err(response) => *response,
    };
    for (name, value) in HEADERS {
        response.headers_mut().entry(name).or_insert(HeaderValue::from_static(value));
    }
    response
}

/// A device that was let through, with the role that was needed.
type Guest = Option<(Device, Role)>;

impl Watch {
    /// The request with its asker and with its whole body, or why it is refused.
    async fn let_in(&self, request: Request) -> Result<(Request, Guest), Box<Response>> {
        let shared = &self.shared;
        let (mut parts, body) = request.into_parts();
        // What came over no line is for nobody.
        let Some(line) = parts.extensions.get::<Line>().copied() else {
            return Err(Box::new(StatusCode::FORBIDDEN.into_response()));
        };
        if let Some(why) = elsewhere(shared, &line, &parts) {
            return Err(Box::new(plain(StatusCode::FORBIDDEN, why)));
        }
        let asker = Asker::of(shared, &line, &parts.headers);
        if !may_ask_now(shared, &line, asker.as_ref()) {
            let words = "This device asks too often: wait a little.\n";
            return Err(Box::new(plain(StatusCode::TOO_MANY_REQUESTS, words)));
        }
        let way = self.way(&parts)?;
        let need = way.map_or(Need::Role(Role::Look), |way| way.need);
        if let Need::Role(role) = need {
            match &asker {
                None => return Err(Box::new(devices::unknown(shared, &line, &parts))),
                Some(asker) if asker.role < role => {
                    return Err(Box::new(too_little(asker, role)));
                }
                Some(_) => {}
            }
        }
        let body = whole(body, way.map_or(0, |way| way.most)).await?;
        if let (Need::Role(role), Some(asker)) = (need, &asker) {
            let sent = parts.method != Method::GET && parts.method != Method::HEAD;
            if sent && !access::same(&asker.token, &token(&parts.headers, &body)) {
                return Err(Box::new(without_token(asker)));
            }
            parts.extensions.insert(asker.clone());
            let guest = asker.device.clone().map(|device| (device, role));
            return Ok((Request::from_parts(parts, Body::from(body)), guest));
        }
        Ok((Request::from_parts(parts, Body::from(body)), None))
    }

    /// The line of the table for a request; none where no handler has its path.
    fn way(&self, parts: &Parts) -> Result<Option<&Way>, Box<Response>> {
        let Some(path) = parts.extensions.get::<MatchedPath>() else { return Ok(None) };
        let of_path = || self.table.iter().filter(|way| way.path == path.as_str());
        let method = if parts.method == Method::HEAD { &Method::GET } else { &parts.method };
        match of_path().find(|way| way.method == *method).or_else(|| of_path().next()) {
            Some(way) => Ok(Some(way)),
            // A handler that stands in no table is for nobody.
            None => Err(Box::new(StatusCode::FORBIDDEN.into_response())),
        }
    }

    /// The answer; a stream ends when its device may no longer see it.
    fn until_out(&self, response: Response, guest: Guest) -> Response {
        let kind = response.headers().get(header::CONTENT_TYPE);
        let streams = kind.is_some_and(|kind| kind.as_bytes().starts_with(b"text/event-stream"));
        let Some((device, role)) = guest.filter(|_| streams) else { return response };
        let (parts, body) = response.into_parts();
        let shared = Arc::clone(&self.shared);
        let out = async move { shared.access.until_out(&device.id, role).await };
        let body = body.into_data_stream().take_until(Box::pin(out));
        Response::from_parts(parts, Body::from_stream(body))
    }
}

fn plain(code: StatusCode, words: &'static str) -> Response {
    (code, words).into_response()
}

/// Whether one more request is taken now. Whoever sits at this computer is never asked to wait.
fn may_ask_now(shared: &Shared, line: &Line, asker: Option<&Asker>) -> bool {
    match asker {
        None => shared.access.unknown_may_ask(line.from),
        Some(Asker { device: Some(device), .. }) => shared.access.known_may_ask(&device.id),
        Some(Asker { device: None, .. }) => true,
    }
}

/// The whole body, where it is no larger and no slower than it may be.
async fn whole(body: Body, most: usize) -> Result<axum::body::Bytes, Box<Response>> {
    match timeout(BODY, to_bytes(body, most)).await {
        Ok(Ok(body)) => Ok(body),
        Ok(Err(_)) => {
            let words = "This is larger than anything that is taken here.\n";
            Err(Box::new(plain(StatusCode::PAYLOAD_TOO_LARGE, words)))
        }
        Err(_) => {
            let words = "This came too slowly: try again.\n";
            Err(Box::new(plain(StatusCode::REQUEST_TIMEOUT, words)))
        }
    }
}

fn too_little(asker: &Asker, role: Role) -> Response {
    let title = "This device may not do that";
    let message = format!("It may {}; this needs the role {}.", asker.role.word(), role.word());
    let help = "Who runs the computer of these pages can give it more, on the page Devices.";
    refused(asker, StatusCode::FORBIDDEN, title, &message, help)
}

fn without_token(asker: &Asker) -> Response {
    let title = "This change was not made";
    let why = "The page is older than this server, or the change did not come from a page.";
    let help = "Load the page anew and make it again.";
    refused(asker, StatusCode::FORBIDDEN, title, why, help)
}

/// Why a request is refused that comes by another name or from another site.
fn elsewhere(shared: &Shared, line: &Line, parts: &Parts) -> Option<&'static str> {
    if !line.admits(&shared.names, &parts.headers) {
        return Some(
            "These pages are at their own address only. Another name is given with --name.\n",
        );
    }
    if parts.method == Method::GET || parts.method == Method::HEAD {
        return None;
    }
    let text = |name: HeaderName| parts.headers.get(name).map(|it| it.to_str().unwrap_or("?"));
    let own = host(&parts.headers).map(|host| format!("{}://{host}", line.scheme()));
    let origin = text(header::ORIGIN);
    let site = text(HeaderName::from_static("sec-fetch-site"));
    let foreign = origin.is_some_and(|origin| Some(origin) != own.as_deref())
        || site.is_some_and(|site| !matches!(site, "same-origin" | "none"));
    foreign.then_some("A change comes from these pages only.\n")
}

/// The token that a body carries: of a script as JSON, of a form, or of a blank, which says token, file and
/// key in one.
fn token(headers: &HeaderMap, body: &[u8]) -> String {
    let kind = headers.get(header::CONTENT_TYPE).and_then(|kind| kind.to_str().ok());
    if kind.is_some_and(|kind| kind.starts_with("application/json")) {
        let said: serde_json::Value = serde_json::from_slice(body).unwrap_or_default();
        return said["token"].as_str().unwrap_or_default().to_owned();
    }
    let (mut token, mut of_blank) = (None, None);
    for (name, value) in form_urlencoded::parse(body) {
        match name.as_ref() {
            "token" => token = Some(value.into_owned()),
            "of" => of_blank = value.split_once(':').map(|(token, _)| token.to_owned()),
            _ => {}
        }
    }
    // A form that has a token may say with `of` what else it is about.
    token.or(of_blank).unwrap_or_default()
}
