//! Pages and pieces of a job.

use super::super::desk::Desk;
use super::super::fields;
use super::super::lay::Laid;
use super::{Asker, Shared, at_desk, pieces, refused};
use axum::extract::{Path, Query, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{Html, IntoResponse as _, Response};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::sync::Arc;
use view::pages::job::Piece;
use view::pages::{Frame, given as given_page, job as job_page};
use view::pictures::{bar_ruler, part_drawing};
use view::scene::Scene;
use view::sizes::sizes;

pub(super) async fn page(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Path(name): Path<String>,
) -> Response {
    at_desk(shared, by, name, |shared, by, desk| {
        let (laid, fields) = (desk.laid(&shared.shelf), desk.fields(by));
        let frame = Frame {
            job: Some(&desk.name),
            here: "job",
            revision: desk.revision,
            ..by.frame(&laid.title)
        };
        let pieces = shared.pieces_of(&desk.name, &laid, "job");
        Html(job_page::page(&frame, &desk.name, &pieces, &fields)).into_response()
    })
    .await
}

pub(super) async fn given(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Path((kind, name)): Path<(String, String)>,
) -> Response {
    at_desk(shared, by, name, move |shared, by, desk| {
        let (laid, fields) = (desk.laid(&shared.shelf), desk.fields(by));
        let Some(file) = fields::kind(&kind).and_then(|kind| desk.file(kind)) else {
            let message = "The job names no such file, or it cannot be read inside the folder.";
            return refused(by, StatusCode::NOT_FOUND, "There is no such file", message, "");
        };
        let here = format!("given/{kind}");
        let pieces = shared.pieces_of(&desk.name, &laid, "given");
        let frame = Frame {
            job: Some(&desk.name),
            here: &here,
            revision: desk.revision,
            ..by.frame(&laid.title)
        };
        Html(given_page::page(&frame, &desk.name, &kind, &file.name, &pieces, &fields))
            .into_response()
    })
    .await
}

impl Shared {
    /// Every piece of a page of a job. `here` is the first part of its address.
    pub(super) fn pieces_of(&self, name: &str, laid: &Laid, here: &str) -> Vec<Piece> {
        let mut pieces = vec![laid.ruler(name, &self.bars_of(name))];
        pieces.extend(laid.pieces.iter().cloned());
        pieces.extend(laid.beside(name, here));
        pieces
    }
}

/// The pieces as they are now, for a page that was told it is behind.
pub(super) async fn pieces_now(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Path(name): Path<String>,
    Query(asked): Query<BTreeMap<String, String>>,
) -> Response {
    at_desk(shared, by, name, move |shared, _, desk| {
        let laid = desk.laid(&shared.shelf);
        let here = asked.get("here").map_or("", String::as_str);
        let has = asked.get("has").map(String::as_str);
        axum::Json(whole(shared, desk, &laid, here, has)).into_response()
    })
    .await
}

/// Pieces of this page that it has not as they are, with the values of every field.
pub(super) fn whole(
    shared: &Shared,
    desk: &Desk,
    laid: &Laid,
    here: &str,
    has: Option<&str>,
) -> Value {
    let values: Vec<Value> = desk
        .every_field()
        .iter()
        .map(|field| json!([field.file, field.key, field.value]))
        .collect();
    let mut value = told(shared, &desk.name, laid, here, has);
    value["revision"] = desk.revision.into();
    value["values"] = values.into();
    value
}

/// Pieces that this page has not as they are, also those that only such a page has.
pub(super) fn told(
    shared: &Shared,
    name: &str,
    laid: &Laid,
    here: &str,
    has: Option<&str>,
) -> Value {
    pieces::told(shared.pieces_of(name, laid, here).iter(), has)
}

/// A picture as a file of its own.
pub(super) async fn picture(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Path((which, name)): Path<(String, String)>,
) -> Response {
    const WIDTH: f64 = 900.0;
    at_desk(shared, by, name, move |shared, _, desk| {
        let Some(known) = desk.laid(&shared.shelf).known.clone() else {
            return StatusCode::NOT_FOUND.into_response();
        };
        let file = &known.job.file;
        let scene = match which.as_str() {
            "part" => part_drawing::scene(file, &sizes(file), WIDTH),
            "bar" => Some(bar_ruler::scene(&known.job, &known.answer)),
            _ => None,
        };
        let Some(scene) = scene else { return StatusCode::NOT_FOUND.into_response() };
        svg(&scene)
    })
    .await
}

/// A scene as a file of its own.
pub(super) fn svg(scene: &Scene) -> Response {
    let mut response =
        ([(header::CONTENT_TYPE, "image/svg+xml")], view::svg::write(scene)).into_response();
    // A picture has its own colors inside, and nothing else.
    let policy = HeaderValue::from_static(
        "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'",
    );
    response.headers_mut().insert(header::CONTENT_SECURITY_POLICY, policy);
    response
}
