//! The part of a job: its page, and features put in and taken out.

use super::super::desk::Desk;
use super::super::desk::shape::Reshape;
use super::super::fields;
use super::change::{self, Asked, Page};
use super::{Asker, Shared, at_desk, form};
use axum::body::Bytes;
use axum::extract::{Path, Query, State};
use axum::http::HeaderMap;
use axum::response::{Html, IntoResponse as _, Response};
use model::files::FileKind;
use std::collections::BTreeMap;
use std::sync::Arc;
use view::pages::Frame;
use view::pages::part::{self, New};

pub(super) async fn page(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Path(name): Path<String>,
    Query(asked): Query<BTreeMap<String, String>>,
) -> Response {
    at_desk(shared, by, name, move |shared, by, desk| {
        let (laid, fields) = (desk.laid(&shared.shelf), desk.fields(by));
        let new = new(desk, &asked);
        let frame = Frame {
            job: Some(&desk.name),
            here: "part",
            revision: desk.revision,
            ..by.frame(&laid.title)
        };
        let pieces = shared.pieces_of(&desk.name, &laid, "part");
        Html(part::page(&frame, &desk.name, &pieces, &fields, new.as_ref())).into_response()
    })
    .await
}

/// The feature that is about to be put in, where the address says one.
fn new(desk: &Desk, asked: &BTreeMap<String, String>) -> Option<New> {
    let file = desk.file(FileKind::Job)?;
    let at: usize = asked.get("at")?.parse().ok()?;
    Some(New {
        at: at.min(fields::features(&file.text)),
        kind: asked.get("kind").and_then(|word| part::kind(word)),
        keys: fields::of_new_feature(&file.text),
    })
}

/// A feature comes in: from a form, or tried by a script.
pub(super) async fn put(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Path(name): Path<String>,
    headers: HeaderMap,
    body: Bytes,
) -> Response {
    shaped(shared, by, name, headers, body, Reshape::Put).await
}

/// A feature goes.
pub(super) async fn take(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Path(name): Path<String>,
    headers: HeaderMap,
    body: Bytes,
) -> Response {
    shaped(shared, by, name, headers, body, |at, _| Reshape::Take(at)).await
}

async fn shaped(
    shared: Arc<Shared>,
    by: Asker,
    name: String,
    headers: HeaderMap,
    body: Bytes,
    wish: impl FnOnce(usize, Vec<(String, String)>) -> Reshape + Send + 'static,
) -> Response {
    let script = change::is_script(&headers);
    let mut said = if script { said(&body) } else { form(&body) };
    let save = said.remove("save").is_none_or(|word| word == "true");
    said.remove("token");
    // What the page says of itself is no key of a feature.
    let from = Page {
        script,
        address: format!("/part/{}", view::pages::frame::address(&name)),
        here: said.remove("here").unwrap_or_default(),
        has: said.remove("has"),
    };
    let at = said.remove("at").and_then(|at| at.parse().ok()).unwrap_or(usize::MAX);
    let was = said.remove("was").and_then(|was| was.parse().ok());
    let keys = said.into_iter().filter(|(_, typed)| !typed.trim().is_empty());
    let wish = wish(at, kind_first(keys.collect()));
    at_desk(shared, by, name, move |shared, by, desk| {
        let before = desk.revision;
        let done = if save {
            desk.reshape(&shared.shelf, &wish, was)
        } else {
            desk.try_shape(&shared.shelf, &wish)
        };
        if desk.revision != before {
            shared.tell(desk);
        }
        change::answer(shared, by, desk, &done, &Asked::whole(save, from))
    })
    .await
}

/// A feature's kind stands first in a file.
fn kind_first(mut keys: Vec<(String, String)>) -> Vec<(String, String)> {
    keys.sort_by_key(|(key, _)| key != "kind");
    keys
}

/// The words of a script's request.
fn said(body: &[u8]) -> BTreeMap<String, String> {
    let value: serde_json::Value = serde_json::from_slice(body).unwrap_or_default();
    let pairs = value.as_object().into_iter().flatten();
    pairs
        .map(|(key, value)| {
            (key.clone(), value.as_str().map_or_else(|| value.to_string(), str::to_owned))
        })
        .collect()
}
