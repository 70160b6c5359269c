//! The page of the folder, new jobs, and the pages of findings.

use super::super::guard;
use super::{Shared, form, locked, refused, see};
use crate::commands;
use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse as _, Response};
use std::sync::Arc;
use view::pages::Frame;
use view::pages::folder::{self as folder_page, Listed};
use view::pages::frame::address;

pub(super) async fn page(State(shared): State<Arc<Shared>>) -> Response {
    let listed = tokio::task::spawn_blocking(move || {
        let jobs: Vec<Listed> =
            shared.shelf.jobs().into_keys().map(|name| listed(&shared, name)).collect();
        let frame = Frame { title: "Jobs", token: &shared.token, job: None, here: "", revision: 0 };
        Html(folder_page::page(&frame, &shared.shelf.name(), &jobs, None)).into_response()
    });
    listed.await.unwrap_or_else(|_| StatusCode::INTERNAL_SERVER_ERROR.into_response())
}

/// A job of the list; its verdict only where its desk has it already, since a plan of each would take long.
fn listed(shared: &Shared, name: String) -> Listed {
    let open = locked(&shared.desks).get(&name).cloned();
    if let Some(desk) = open {
        let laid = locked(&desk).laid(&shared.shelf);
        return Listed { name, part: laid.state.map(|_| laid.title.clone()), state: laid.state };
    }
    let text = shared.shelf.job(&name).and_then(|path| shared.shelf.read(&path).ok());
    let part = text.and_then(|text| part_name(&String::from_utf8_lossy(&text)));
    Listed { name, part, state: None }
}

fn part_name(text: &str) -> Option<String> {
    let document = super::super::edit::document(text).ok()?;
    super::super::edit::value(&document, "name")
}

pub(super) async fn new(State(shared): State<Arc<Shared>>, body: Bytes) -> Response {
    let mut form = form(&body);
    let (token, name) =
        (form.remove("token").unwrap_or_default(), form.remove("name").unwrap_or_default());
    if !guard::carries(&shared, &token) {
        return refused(
            &shared,
            StatusCode::FORBIDDEN,
            "This job was not made",
            "The page is older than this server.",
            "Load it anew and try again.",
        );
    }
    let name = name.trim().to_owned();
    let Some(folder) = shared.shelf.place_for(&name) else {
        let help =
            "Take letters, digits, spaces, - and _, at most 60, and no name that is there already.";
        return refused(
            &shared,
            StatusCode::UNPROCESSABLE_ENTITY,
            "This name cannot be",
            "No folder can have this name here.",
            help,
        );
    };
    let made = tokio::task::spawn_blocking(move || commands::new_job(&folder)).await;
    match made {
        Ok(Ok(())) => see(&format!("/job/{}", address(&format!("{name}/{name}")))),
        Ok(Err(trouble)) => refused(
            &shared,
            StatusCode::INTERNAL_SERVER_ERROR,
            "This job was not made",
            &crate::term::plainly(&trouble),
            "",
        ),
        Err(_) => StatusCode::INTERNAL_SERVER_ERROR.into_response(),
    }
}

/// The headings that a finding's page shows, in this order.
const HEADINGS: [&str; 5] = ["What it sees", "Why it hurts", "Limit", "Remedy", "Source"];

pub(super) async fn finding(State(shared): State<Arc<Shared>>, Path(id): Path<String>) -> Response {
    let Some(page) = crate::pages::all().find(|page| page.id == id) else {
        return refused(
            &shared,
            StatusCode::NOT_FOUND,
            "There is no such finding",
            "No check has this name.",
            "",
        );
    };
    let sections: Vec<(&str, String)> = HEADINGS
        .iter()
        .map(|heading| (*heading, page.section(heading)))
        .filter(|(_, text)| !text.is_empty())
        .collect();
    let frame =
        Frame { title: page.title(), token: &shared.token, job: None, here: "", revision: 0 };
    Html(folder_page::finding(&frame, page.level, &sections)).into_response()
}
