//! The page of the folder, new jobs, and the pages of findings.

use super::super::desk::Desk;
use super::{Asker, Shared, form, locked, refused, see};
use crate::commands;
use axum::body::Bytes;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse as _, Response};
use model::files::FileKind;
use model::{Source, Units};
use outline::{Drawn, Format, Front, Refused, Told};
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;
use view::pages::Frame;
use view::pages::folder::{self as folder_page, Listed, Open};
use view::pages::frame::address;
use view::pages::ruler;

pub(super) async fn page(State(shared): State<Arc<Shared>>, by: Asker) -> Response {
    let listed = tokio::task::spawn_blocking(move || {
        let jobs: Vec<Listed> = shared
            .shelf
            .jobs()
            .into_iter()
            .map(|(name, path)| listed(&shared, name, path))
            .collect();
        let frame = Frame { here: "", ..by.frame("Jobs") };
        Html(folder_page::page(&frame, &shared.shelf.name(), &jobs, None)).into_response()
    });
    listed.await.unwrap_or_else(|_| StatusCode::INTERNAL_SERVER_ERROR.into_response())
}

/// The first way through, on a job of the folder.
pub(super) async fn tour(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Query(asked): Query<BTreeMap<String, String>>,
) -> Response {
    let told = tokio::task::spawn_blocking(move || {
        let jobs: Vec<String> = shared.shelf.jobs().into_keys().collect();
        let wanted = asked.get("job").filter(|job| jobs.contains(job));
        let job = wanted.or(jobs.first()).map(String::as_str);
        let frame = by.frame("A first way through");
        Html(view::pages::tour::page(&frame, &jobs, job)).into_response()
    });
    told.await.unwrap_or_else(|_| StatusCode::INTERNAL_SERVER_ERROR.into_response())
}

/// A job of the list. Its bar is arithmetic; its verdict is shown only where its desk has it already, since a
/// plan of each would take long.
fn listed(shared: &Shared, name: String, path: PathBuf) -> Listed {
    let open = locked(&shared.desks).get(&name).cloned();
    let state = open.and_then(|desk| locked(&desk).known().and_then(|laid| laid.state));
    let desk = Desk::open(&shared.shelf, &name, path);
    let job = desk.job(&shared.shelf).ok();
    let text = desk.file(FileKind::Job).map(|file| file.text.as_str()).unwrap_or_default();
    let part = part_name(text);
    let bar = job.map(|job| ruler::low(&job, &plan::bar::divide(&job)));
    Listed { name, part, state, bar }
}

fn part_name(text: &str) -> Option<String> {
    let document = super::super::edit::document(text).ok()?;
    super::super::edit::value(&document, "name")
}

pub(super) async fn new(State(shared): State<Arc<Shared>>, by: Asker, body: Bytes) -> Response {
    let mut form = form(&body);
    let mut text = |key: &str| form.remove(key).unwrap_or_default();
    let wish = Wish {
        name: text("name").trim().to_owned(),
        drawing: text("drawing"),
        drawing_name: text("drawing-name"),
        said: text("said"),
    };
    let made = tokio::task::spawn_blocking(move || wish.made(&shared, &by));
    made.await.unwrap_or_else(|_| StatusCode::INTERNAL_SERVER_ERROR.into_response())
}

/// What a new job is to be.
struct Wish {
    name: String,
    /// The text of a drawing; empty for none.
    drawing: String,
    drawing_name: String,
    /// What was said of the drawing, as on the command line.
    said: String,
}

impl Wish {
    fn made(&self, shared: &Shared, by: &Asker) -> Response {
        let title = "This job was not made";
        let Some(folder) = shared.shelf.place_for(&self.name) else {
            let message = "No folder can have this name here.";
            let help = "Take letters, digits, spaces, - and _, at most 60, and no name that is there already.";
            return refused(by, StatusCode::UNPROCESSABLE_ENTITY, title, message, help);
        };
        let outline = match self.outline(by) {
            Ok(outline) => outline,
            Err(response) => return *response,
        };
        let drawn = outline.as_ref().map(|outline| (outline, self.drawing_name.as_str()));
        match commands::new_job(&folder, drawn) {
            // What is to be made is said first; a drawing has said it already.
            Ok(()) => {
                let page = if outline.is_some() { "job" } else { "part" };
                see(&format!("/{page}/{}", address(&format!("{0}/{0}", self.name))))
            }
            Err(trouble) => {
                let why = crate::term::plainly(&trouble);
                refused(by, StatusCode::INTERNAL_SERVER_ERROR, title, &why, "")
            }
        }
    }

    /// The part of the drawing, where there is one; else the page that asks or refuses.
    fn outline(&self, by: &Asker) -> Result<Option<outline::Outline>, Box<Response>> {
        if self.drawing.trim().is_empty() {
            return Ok(None);
        }
        let title = "This drawing was not taken";
        let refuse = |message: &str, help: &str| {
            Box::new(refused(by, StatusCode::UNPROCESSABLE_ENTITY, title, message, help))
        };
        let Some(format) = Format::of_name(&self.drawing_name) else {
            let help = "Save the drawing as DXF text or as SVG, and give its name with its ending.";
            return Err(refuse("Its name ends neither in .dxf nor in .svg.", help));
        };
        let source = Source::new(self.drawing_name.as_str(), self.drawing.as_bytes());
        match outline::read(&source, format, &told(&self.said)) {
            Ok(outline) => Ok(Some(outline)),
            Err(Refused::Troubles(list)) => {
                let first = list.first();
                let (message, help) = first.map_or(("", ""), |one| (&one.message, &one.help));
                Err(refuse(message, help))
            }
            Err(Refused::Asked(questions)) => {
                let Some(question) = questions.first() else { return Ok(None) };
                Err(Box::new(self.asked(by, question)))
            }
        }
    }

    fn asked(&self, by: &Asker, question: &outline::Question) -> Response {
        let open = Open {
            job: &self.name,
            name: &self.drawing_name,
            text: &self.drawing,
            said: &self.said,
            about: &question.about,
            answers: &question.answers,
        };
        let title = "The drawing leaves this open";
        Html(folder_page::asked(&by.frame(title), &open)).into_response()
    }
}

/// What a person said of a drawing, in the words of the command line.
fn told(said: &str) -> Told {
    let mut told = Told::default();
    for option in format!(" {said}").split(" --").map(str::trim) {
        let (key, value) = option.split_once(' ').unwrap_or((option, ""));
        match (key, value) {
            ("units", "mm") => told.units = Some(Units::Mm),
            ("units", "inch") => told.units = Some(Units::Inch),
            ("layer", layer) => told.layer = Some(layer.trim_matches('"').to_owned()),
            ("front", word) => told.front = Front::ALL.into_iter().find(|one| one.word() == word),
            ("drawn", "half") => told.drawn = Some(Drawn::Half),
            ("drawn", "full") => told.drawn = Some(Drawn::Full),
            ("axis-at", figure) => told.axis_at = figure.parse().ok(),
            _ => {}
        }
    }
    told
}

/// The headings that a finding's page shows, in this order.
const HEADINGS: [&str; 5] = ["What it sees", "Why it hurts", "Limit", "Remedy", "Source"];

pub(super) async fn finding(by: Asker, Path(id): Path<String>) -> Response {
    let Some(page) = crate::pages::all().find(|page| page.id == id) else {
        return refused(
            &by,
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
    Html(folder_page::finding(&by.frame(page.title()), page.level, &sections)).into_response()
}
