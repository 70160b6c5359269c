//! What one device remembers: who taps on it, and in which units lengths are typed.

use super::{Asker, form, own_page, refused, see};
use axum::body::Bytes;
use axum::extract::FromRequestParts;
use axum::http::request::Parts;
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::Response;
use model::Units;
use model::record::Name;
use std::convert::Infallible;

/// The cookie's name.
const COOKIE: &str = "device";

/// What a device remembers.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Device {
    pub(super) person: Option<Name>,
    pub(super) units: Option<Units>,
}

impl<S: Sync> FromRequestParts<S> for Device {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Device, Infallible> {
        Ok(Device::of(&parts.headers))
    }
}

impl Device {
    fn of(headers: &HeaderMap) -> Device {
        let lines = headers.get_all(header::COOKIE).iter().filter_map(|line| line.to_str().ok());
        let cookies = lines.flat_map(|line| line.split(';')).map(str::trim);
        let value = cookies.filter_map(|one| one.split_once('=')).find(|(name, _)| *name == COOKIE);
        let mut device = Device::default();
        for (key, value) in form(value.map_or(b"", |(_, value)| value.as_bytes())) {
            match key.as_str() {
                "person" => device.person = Name::parse(&value),
                "units" => device.units = units(&value),
                _ => {}
            }
        }
        device
    }
}

fn units(word: &str) -> Option<Units> {
    match word {
        "mm" => Some(Units::Mm),
        "inch" => Some(Units::Inch),
        _ => None,
    }
}

/// Remembers what a form says, for a year.
pub(super) async fn remember(by: Asker, headers: HeaderMap, body: Bytes) -> Response {
    let mut form = form(&body);
    let mut text = |key: &str| form.remove(key).unwrap_or_default().trim().to_owned();
    let (chosen, typed, units) = (text("person"), text("other"), text("units"));
    let person = if typed.is_empty() { chosen } else { typed };
    if !person.is_empty() && Name::parse(&person).is_none() {
        let why = "This name has several lines or over 100 characters.";
        let code = StatusCode::UNPROCESSABLE_ENTITY;
        return refused(&by, code, "This is no name", why, "Write a short one.");
    }
    let kept = form_urlencoded::Serializer::new(String::new())
        .append_pair("person", &person)
        .append_pair("units", &units)
        .finish();
    let cookie = format!("{COOKIE}={kept}; Path=/; Max-Age=31536000; SameSite=Strict");
    let mut response = see(&own_page(&headers));
    if let Ok(cookie) = HeaderValue::from_str(&cookie) {
        response.headers_mut().insert(header::SET_COOKIE, cookie);
    }
    response
}
