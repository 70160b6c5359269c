//! Changes of a job: from a script as JSON, or from a form without one.

use super::super::desk::{Desk, Done, Wish};
use super::super::fields;
use super::job::{told, whole};
use super::{Asker, Shared, at_desk, form, own_page, refused, see};
use axum::Json;
use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use serde_json::{Value, json};
use std::sync::Arc;

/// What a change says.
pub(super) struct Asked {
    file: String,
    key: String,
    value: String,
    was: Option<String>,
    save: bool,
    from: Page,
}

/// The page that asks.
#[derive(Default)]
pub(super) struct Page {
    /// Whether its script asks, which wants pieces and no page.
    pub(super) script: bool,
    /// Where its form stood.
    pub(super) address: String,
    /// Which one it is: the first part of its address, as its script tells it.
    pub(super) here: String,
    /// The pieces that it has, as its script tells them.
    pub(super) has: Option<String>,
}

impl Asked {
    /// A change that is not about one key.
    pub(super) fn whole(save: bool, from: Page) -> Asked {
        let none = String::new;
        Asked { file: none(), key: none(), value: none(), was: None, save, from }
    }
}

/// Whether a script asks, which wants pieces and no page.
pub(super) fn is_script(headers: &HeaderMap) -> bool {
    let kind = headers.get(header::CONTENT_TYPE).and_then(|value| value.to_str().ok());
    kind.is_some_and(|kind| kind.starts_with("application/json"))
}

fn asked(headers: &HeaderMap, body: &[u8]) -> Asked {
    let script = is_script(headers);
    let page = own_page(headers);
    if script {
        let value: Value = serde_json::from_slice(body).unwrap_or_default();
        let given = |key: &str| value[key].as_str().map(str::to_owned);
        let text = |key: &str| given(key).unwrap_or_default();
        return Asked {
            file: text("file"),
            key: text("key"),
            value: text("value"),
            was: given("was"),
            save: value["save"].as_bool().unwrap_or(false),
            from: Page { script, address: page, here: text("here"), has: given("has") },
        };
    }
    let mut form = form(body);
    // A blank says token, file and key in one.
    if let Some(of) = form.remove("of") {
        for (name, value) in ["token", "file", "key"].into_iter().zip(of.splitn(3, ':')) {
            form.insert(name.to_owned(), value.to_owned());
        }
    }
    let mut text = |key: &str| form.remove(key).unwrap_or_default();
    Asked {
        file: text("file"),
        key: text("key"),
        value: text("value"),
        was: None,
        save: true,
        from: Page { address: page, ..Page::default() },
    }
}

pub(super) async fn change(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Path(name): Path<String>,
    headers: HeaderMap,
    body: Bytes,
) -> Response {
    let asked = asked(&headers, &body);
    at_desk(shared, by, name, move |shared, by, desk| {
        let Some(kind) = fields::kind(&asked.file) else {
            return answer(
                shared,
                by,
                desk,
                &Done::Refused("there is no such file".to_owned(), String::new()),
                &asked,
            );
        };
        let wish = Wish { kind, key: &asked.key, typed: &asked.value, was: asked.was.as_deref() };
        let before = desk.revision;
        let done = if asked.save {
            desk.change(&shared.shelf, wish)
        } else {
            desk.try_out(&shared.shelf, wish)
        };
        if desk.revision != before {
            shared.tell(desk);
        }
        answer(shared, by, desk, &done, &asked)
    })
    .await
}

pub(super) async fn undo(
    state: State<Arc<Shared>>,
    by: Asker,
    name: Path<String>,
    headers: HeaderMap,
    body: Bytes,
) -> Response {
    turn(state, by, name, headers, body, true).await
}

pub(super) async fn redo(
    state: State<Arc<Shared>>,
    by: Asker,
    name: Path<String>,
    headers: HeaderMap,
    body: Bytes,
) -> Response {
    turn(state, by, name, headers, body, false).await
}

async fn turn(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Path(name): Path<String>,
    headers: HeaderMap,
    body: Bytes,
    back: bool,
) -> Response {
    let asked = asked(&headers, &body);
    at_desk(shared, by, name, move |shared, by, desk| {
        let done = desk.turn(&shared.shelf, back);
        if matches!(done, Done::Shown(_)) {
            shared.tell(desk);
        }
        answer(shared, by, desk, &done, &Asked { save: true, ..asked })
    })
    .await
}

pub(super) fn answer(
    shared: &Shared,
    by: &Asker,
    desk: &Desk,
    done: &Done,
    asked: &Asked,
) -> Response {
    let Page { script, address, here, has } = &asked.from;
    let whole = |laid| whole(shared, desk, laid, here, has.as_deref());
    match (done, *script) {
        (Done::Shown(laid), true) if asked.save => Json(whole(laid)).into_response(),
        (Done::Shown(laid), true) => {
            let mut value = told(shared, &desk.name, laid, here, has.as_deref());
            value["trial"] = true.into();
            Json(value).into_response()
        }
        (Done::Merged(laid, file), true) => {
            let mut value = whole(laid);
            value["news"] =
                json!(format!("{file} was changed on the disk too: both changes are in it now."));
            Json(value).into_response()
        }
        (Done::Conflict { disk, file }, true) => {
            Json(json!({ "conflict": { "disk": disk, "file": file }, "revision": desk.revision }))
                .into_response()
        }
        (Done::Refused(why, mend), true) => {
            Json(json!({ "refused": why, "mend": mend })).into_response()
        }
        (Done::Shown(_) | Done::Merged(..), false) => see(address),
        (Done::Conflict { disk, file }, false) => {
            let now = disk.as_deref().unwrap_or("nothing");
            let message = format!(
                "{file} was changed on the disk: `{}` says {now} now, and you wrote {}.",
                asked.key, asked.value
            );
            refused(
                by,
                StatusCode::CONFLICT,
                "Two changes of one figure",
                &message,
                "Nothing was written. Go back, load the page anew, and decide.",
            )
        }
        (Done::Refused(why, mend), false) => {
            refused(by, StatusCode::UNPROCESSABLE_ENTITY, "This cannot be", why, mend)
        }
    }
}
