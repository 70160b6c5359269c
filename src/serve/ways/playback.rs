//! One cycle of a program for the cross-section of the program page.

use super::super::locked;
use super::program::run;
use super::{Asker, Shared, beside_desk};
use crate::json;
use axum::Json;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Response};
use prove::playback::Playback;
use std::collections::BTreeMap;
use std::sync::Arc;

pub(super) async fn data(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Path(name): Path<String>,
    Query(asked): Query<BTreeMap<String, String>>,
) -> Response {
    beside_desk(shared, by, name, move |shared, _, desk| {
        let Some(run) = run(shared, &locked(desk), &asked) else {
            return StatusCode::NOT_FOUND.into_response();
        };
        let playback = Playback::of(&run.library, &run.setup, run.cycle(&asked, None));
        Json(json::playback(&playback, &run.sources, run.setup.units)).into_response()
    })
    .await
}
