//! Who asks: put with every request by the guard, taken by every handler.

use super::access::devices::Device;
use super::names::Line;
use super::{Shared, access};
use axum::extract::FromRequestParts;
use axum::http::request::Parts;
use axum::http::{HeaderMap, StatusCode, header};
use view::pages::{Frame, Role};

/// How long a device keeps its secret: as long as browsers do at most, 400 days (RFC 6265bis).
const KEPT: u32 = 400 * 24 * 3600;

/// Who asks, and what they may.
#[derive(Debug, Clone)]
pub(super) struct Asker {
    pub(super) role: Role,
    /// What a change of theirs must carry: whoever cannot read a page cannot send one.
    pub(super) token: String,
    /// The device that was let in; none for this computer itself.
    pub(super) device: Option<Device>,
}

impl Asker {
    /// Who sent these heads over this line; none for a stranger.
    pub(super) fn of(shared: &Shared, line: &Line, headers: &HeaderMap) -> Option<Asker> {
        if line.is_of_this_computer(headers) {
            let token = shared.token.clone();
            return Some(Asker { role: Role::Change, token, device: None });
        }
        let (name, mut held) = (cookie_name(line), None);
        for cookies in headers.get_all(header::COOKIE) {
            for cookie in cookies.to_str().unwrap_or_default().split(';') {
                held = cookie
                    .trim()
                    .strip_prefix(&name)
                    .and_then(|rest| rest.strip_prefix('='))
                    .or(held);
            }
        }
        let held = held?;
        let device = shared.access.known(held)?;
        Some(Asker { role: device.role, token: access::token(held), device: Some(device) })
    }

    /// What every document for them has; not about a job.
    pub(super) fn frame<'a>(&'a self, title: &'a str) -> Frame<'a> {
        Frame {
            title,
            token: &self.token,
            role: Some(self.role),
            job: None,
            here: "elsewhere",
            revision: 0,
        }
    }
}

/// The name under which a device keeps its secret. Browsers do not tell ports apart; with TLS the beginning
/// of the name says that it is of this very host (RFC 6265bis).
fn cookie_name(line: &Line) -> String {
    let host = if line.tls { "__Host-" } else { "" };
    format!("{host}barwright-{}", line.to.port())
}

/// The line of a head that gives a device its secret: no script reads it, no other site sends it.
pub(super) fn cookie(line: &Line, secret: &str) -> String {
    let secure = if line.tls { "; Secure" } else { "" };
    let name = cookie_name(line);
    format!("{name}={secret}; Path=/; Max-Age={KEPT}; HttpOnly; SameSite=Strict{secure}")
}

impl<S: Sync> FromRequestParts<S> for Asker {
    type Rejection = StatusCode;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Asker, StatusCode> {
        parts.extensions.get::<Asker>().cloned().ok_or(StatusCode::FORBIDDEN)
    }
}
