//! The files of a plan, as they would be written into its folder.

use super::{Asker, Shared, at_desk, refused};
use crate::commands;
use axum::extract::{Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use std::sync::Arc;

/// `/file/JOB/NAME`, where NAME is `sheet.pdf`, a program, `answer.json`, a picture or `tables/NAME.csv`.
pub(super) async fn file(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Path(asked): Path<String>,
) -> Response {
    let Some((job, name)) = split(&shared, &asked) else {
        return StatusCode::NOT_FOUND.into_response();
    };
    at_desk(shared, by, job, move |shared, by, desk| {
        let title = "This file cannot be had";
        let Ok(job) = desk.job(&shared.shelf) else {
            let message = "The files of this job cannot be used as they stand.";
            return refused(by, StatusCode::CONFLICT, title, message, "Mend them first.");
        };
        let mut answer = plan::plan(&job);
        // What the page does not leave open is not open here either: the cost, where a shop gives it.
        if let Some(known) = &desk.laid(&shared.shelf).known {
            let shown = &known.answer.unproven;
            answer.unproven.retain(|it| it.what != "cost" || shown.iter().any(|it| it.what == "cost"));
        }
        match commands::planned_file(&job, &answer, &name) {
            Ok(Some(file)) => sent(&name, file.bytes),
            Ok(None) => {
                let message = "The plan gives no such file: a stop may stand, or this program has no typesetter.";
                refused(by, StatusCode::NOT_FOUND, title, message, "")
            }
            Err(trouble) => {
                let why = crate::term::plainly(&trouble);
                refused(by, StatusCode::INTERNAL_SERVER_ERROR, title, &why, "")
            }
        }
    })
    .await
}

/// The job's name and that of the file: the longest start that is a job of the folder.
fn split(shared: &Shared, asked: &str) -> Option<(String, String)> {
    let mut places: Vec<usize> = asked.match_indices('/').map(|(at, _)| at).collect();
    places.reverse();
    let parts = places.into_iter().map(|at| (&asked[..at], &asked[at + 1..]));
    let mut jobs = parts.filter(|(job, _)| shared.shelf.job(job).is_some());
    jobs.next().map(|(job, file)| (job.to_owned(), file.to_owned()))
}

/// The file, to be kept and not shown: what is in it stays a text.
fn sent(name: &str, bytes: Vec<u8>) -> Response {
    let kind = match name.rsplit_once('.').map(|(_, end)| end) {
        Some("pdf") => "application/pdf",
        Some("svg") => "image/svg+xml",
        Some("csv") => "text/csv; charset=utf-8; header=present",
        Some("json") => "application/json",
        _ => "text/plain; charset=utf-8",
    };
    let short = name.rsplit('/').next().unwrap_or(name);
    let safe: String =
        short
            .chars()
            .map(|letter| {
                if letter.is_ascii_alphanumeric() || "-_.".contains(letter) { letter } else { '-' }
            })
            .collect();
    let kept = format!("attachment; filename=\"{safe}\"");
    ([(header::CONTENT_TYPE, kind.to_owned()), (header::CONTENT_DISPOSITION, kept)], bytes)
        .into_response()
}
