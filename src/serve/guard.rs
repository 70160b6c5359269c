//! Who may ask what: the pages are for browsers on this computer that read them from here.

use super::Shared;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};
use std::sync::Arc;

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

/// Refuses what comes by another name or from another site, and gives every answer its headers.
pub(super) async fn watch(
    State(shared): State<Arc<Shared>>,
    request: Request,
    next: Next,
) -> Response {
    let mut response = match refused(&shared, request.method(), request.headers()) {
        Some(why) => (StatusCode::FORBIDDEN, why).into_response(),
        None => next.run(request).await,
    };
    for (name, value) in HEADERS {
        response.headers_mut().entry(name).or_insert(HeaderValue::from_static(value));
    }
    response
}

/// Why a request is refused.
fn refused(shared: &Shared, method: &Method, headers: &HeaderMap) -> Option<&'static str> {
    let text = |name: HeaderName| headers.get(name).map(|value| value.to_str().unwrap_or("?"));
    let host = text(header::HOST).unwrap_or_default();
    // A name that leads here by somebody else's doing must not open the pages to their scripts.
    if !is_here(shared, host) {
        return Some("These pages are at their own address only.\n");
    }
    let changes = method != Method::GET && method != Method::HEAD;
    if changes && text(header::ORIGIN).is_some_and(|origin| origin != format!("http://{host}")) {
        return Some("A change comes from these pages only.\n");
    }
    let site = text(HeaderName::from_static("sec-fetch-site"));
    if changes && site.is_some_and(|site| !matches!(site, "same-origin" | "none")) {
        return Some("A change comes from these pages only.\n");
    }
    None
}

fn is_here(shared: &Shared, host: &str) -> bool {
    let Some((_, port)) = shared.host.rsplit_once(':') else { return false };
    host == shared.host
        || host.strip_suffix(port).and_then(|name| name.strip_suffix(':')) == Some("localhost")
}

/// Whether a change carries the token. As long for a wrong one as for the right one.
pub(super) fn carries(shared: &Shared, token: &str) -> bool {
    let (right, given) = (shared.token.as_bytes(), token.as_bytes());
    let differ = right.iter().zip(given).fold(0, |sum, (one, other)| sum | (one ^ other));
    right.len() == given.len() && differ == 0
}
