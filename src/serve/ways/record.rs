//! What happened, from a form or from a script that waited for the network; and the beginning of a log.

use super::super::entry::{Became, Filled, record as record_entry};
use super::{Asker, Shared, away, form, own_page, refused, see};
use axum::Json;
use axum::body::Bytes;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use serde_json::{Value, json};
use std::sync::Arc;

/// Most entries that one request may bring.
const MOST_ENTRIES: usize = 100;
const TITLE: &str = "This was not recorded";

/// Begins the log of the shop.
pub(super) async fn begin(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    headers: HeaderMap,
) -> Response {
    let page = own_page(&headers);
    away(move || {
        match shared.book.begin() {
            // Somebody else was faster.
            Err(error) if error.kind != runlog::Kind::Taken => {
                let code = StatusCode::INTERNAL_SERVER_ERROR;
                refused(&by, code, "The log was not begun", &error.to_string(), &error.mend)
            }
            _ => see(&page),
        }
    })
    .await
}

/// Records one entry of a form, or several of a script.
pub(super) async fn record(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    headers: HeaderMap,
    body: Bytes,
) -> Response {
    let kind = headers.get(header::CONTENT_TYPE).and_then(|kind| kind.to_str().ok());
    let script = kind.is_some_and(|kind| kind.starts_with("application/json"));
    let page = own_page(&headers);
    away(
        move || {
            if script { of_script(&shared, &body) } else { of_form(&shared, &by, &body, &page) }
        },
    )
    .await
}

fn of_form(shared: &Shared, by: &Asker, body: &[u8], page: &str) -> Response {
    let entry = Filled::of(form(body));
    match record_entry(shared, &entry, None, None) {
        Became::Recorded(_) | Became::Known => see(page),
        Became::Refused(why) => {
            refused(by, StatusCode::UNPROCESSABLE_ENTITY, TITLE, &why.why, &why.mend)
        }
    }
}

/// `{token, sent, behind, entries: [{id, at, event, lathe, …}]}`: one answer for each entry, in their order. An
/// entry is recorded although the one before it was refused.
fn of_script(shared: &Shared, body: &[u8]) -> Response {
    let asked: Value = serde_json::from_slice(body).unwrap_or_default();
    let entries = asked["entries"].as_array().map(Vec::as_slice).unwrap_or_default();
    if entries.is_empty() || entries.len() > MOST_ENTRIES {
        let why = format!("one to {MOST_ENTRIES} entries can be told at once");
        let code = StatusCode::UNPROCESSABLE_ENTITY;
        return (code, Json(json!({ "refused": why }))).into_response();
    }
    let head = Filled::of(texts(&asked));
    let sent = head.stamp("sent").ok().flatten();
    let mut behind = head.text("behind").map(str::to_owned);
    let mut answers = Vec::with_capacity(entries.len());
    let mut barred: Option<Became> = None;
    for entry in entries {
        let entry = Filled::of(texts(entry));
        // Where the log's file stands in the way, none may come to stand before an earlier one.
        let became =
            barred.clone().unwrap_or_else(|| record_entry(shared, &entry, sent, behind.as_deref()));
        if matches!(&became, Became::Refused(why) if why.later) {
            barred = Some(became.clone());
        }
        if !matches!(became, Became::Refused(_)) {
            behind = entry.text("id").map(str::to_owned);
        }
        answers.push(answer(&entry, &became));
    }
    Json(json!({ "answers": answers })).into_response()
}

fn answer(entry: &Filled, became: &Became) -> Value {
    let id = entry.text("id");
    match became {
        Became::Recorded(kept) => {
            json!({ "id": kept.recorded.event.id.text(), "became": "recorded" })
        }
        Became::Known => json!({ "id": id, "became": "known" }),
        Became::Refused(why) => {
            json!({ "id": id, "became": "refused", "why": why.why, "mend": why.mend, "later": why.later })
        }
    }
}

/// The texts and numbers of an object.
fn texts(value: &Value) -> Vec<(String, String)> {
    let all = value.as_object().into_iter().flatten();
    all.filter_map(|(key, value)| match value {
        Value::String(text) => Some((key.clone(), text.clone())),
        Value::Number(number) => Some((key.clone(), number.to_string())),
        _ => None,
    })
    .collect()
}
