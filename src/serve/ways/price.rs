//! What an order costs and how stock may be loaded: the pages, their tables, pictures and papers.

use super::super::desk::Desk;
use super::super::lay::{Known, Laid};
use super::super::locked;
use super::job::svg;
use super::{Asker, Shared, beside_desk, refused};
use crate::commands::paper;
use axum::extract::{Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{Html, IntoResponse as _, Response};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};
use view::pages::price::Reckoned;
use view::pages::{Fields, Frame, loading as loading_page, price as price_page};
use view::quote::Letter;
use view::sheet::{self, Block, Sheet};

/// Whether this program sets papers.
const PAPERS: bool = cfg!(feature = "sheets");

/// The answer of a job as it stands, with the desk free again.
fn laid(shared: &Shared, by: &Asker, desk: &Mutex<Desk>) -> (Arc<Laid>, Fields, String, u64) {
    let mut desk = locked(desk);
    (desk.laid(&shared.shelf), desk.fields(by), desk.name.clone(), desk.revision)
}

fn frame<'a>(
    by: &'a Asker,
    laid: &'a Laid,
    name: &'a str,
    here: &'a str,
    revision: u64,
) -> Frame<'a> {
    Frame { job: Some(name), here, revision, ..by.frame(&laid.title) }
}

/// The ways of loading.
pub(super) async fn loading(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Path(name): Path<String>,
) -> Response {
    beside_desk(shared, by, name, |shared, by, desk| {
        let (laid, fields, name, revision) = laid(shared, by, desk);
        let frame = frame(by, &laid, &name, "loading", revision);
        let pieces = shared.pieces_of(&name, &laid, "loading");
        Html(loading_page::page(&frame, &name, &pieces, &fields, PAPERS)).into_response()
    })
    .await
}

/// How far the price holds.
pub(super) async fn page(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Path(name): Path<String>,
) -> Response {
    beside_desk(shared, by, name, |shared, by, desk| {
        let (laid, fields, name, revision) = laid(shared, by, desk);
        let frame = frame(by, &laid, &name, "price", revision);
        let none = Reckoned::Refused(cost::Refusal::Stop);
        let quote = laid.known.as_ref().map_or(none, |known| known.quote());
        let known = match (&laid.known, &quote) {
            (Some(known), Reckoned::Known(it)) => Ok((&known.job, &known.answer, &it.0, &it.1)),
            (_, why) => Err(why),
        };
        let pieces = shared.pieces_of(&name, &laid, "price");
        Html(price_page::page(&frame, &name, &pieces, &fields, known, PAPERS)).into_response()
    })
    .await
}

/// The paper of this name; `letter` is for the customer's.
fn sheet(known: &Known, which: &str, letter: &Letter) -> Option<Sheet> {
    let Known { job, answer, .. } = known;
    match which {
        "loading" => {
            let Reckoned::Known(it) = known.ways() else { return None };
            Some(view::loading::loading(job, &it.0, &it.1))
        }
        "customer" | "inner" | "price" => {
            let Reckoned::Known(it) = known.quote() else { return None };
            let (shop, quote) = *it;
            if which == "customer" {
                return Some(view::quote::customer(job, &shop, &quote, letter));
            }
            Some(view::quote::inner(job, answer, &shop, shop.rates.as_ref()?, &quote))
        }
        _ => None,
    }
}

/// One table of a paper as CSV, or one picture as SVG.
pub(super) async fn table(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Path((which, name)): Path<(String, String)>,
    Query(asked): Query<BTreeMap<String, String>>,
) -> Response {
    beside_desk(shared, by, name, move |shared, by, desk| {
        let laid = laid(shared, by, desk).0;
        let of = asked.get("of").map_or("", String::as_str);
        found(&laid, &which, of).unwrap_or_else(|| StatusCode::NOT_FOUND.into_response())
    })
    .await
}

fn found(laid: &Laid, which: &str, of: &str) -> Option<Response> {
    let known = laid.known.as_ref()?;
    if (which, of) == ("loading", "by-quantity") {
        let Reckoned::Known(it) = known.ways() else { return None };
        let (head, rows) = view::loading::by_quantity(&it.1);
        return Some(csv(sheet::rows(std::iter::once(head).chain(rows))));
    }
    let sheet = sheet(known, which, &Letter::default())?;
    let picture = sheet.blocks().find_map(|block| match block {
        Block::Picture(name, scene) if *name == of => Some(svg(scene)),
        _ => None,
    });
    let table = || sheet::csv(&sheet).into_iter().find(|(name, _)| *name == of).map(|it| csv(it.1));
    picture.or_else(table)
}

pub(super) fn csv(text: String) -> Response {
    ([(header::CONTENT_TYPE, "text/csv; charset=utf-8")], text).into_response()
}

/// A paper as PDF.
pub(super) async fn paper(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Path((which, name)): Path<(String, String)>,
    Query(mut asked): Query<BTreeMap<String, String>>,
) -> Response {
    beside_desk(shared, by, name, move |shared, by, desk| {
        let laid = laid(shared, by, desk).0;
        let mut said = |key: &str| asked.remove(key).filter(|text| !text.trim().is_empty());
        let letter = Letter { customer: said("for"), number: said("number"), date: said("date") };
        let sheet = laid.known.as_ref().and_then(|known| sheet(known, &which, &letter));
        let title = "There is no such paper";
        let Some(sheet) = sheet else {
            let message = "The job has no price, or no paper has this name.";
            return refused(by, StatusCode::NOT_FOUND, title, message, "");
        };
        match paper::of(&sheet) {
            Ok(Some(bytes)) => ([(header::CONTENT_TYPE, "application/pdf")], bytes).into_response(),
            Ok(None) => {
                let message = "This program was built without the typesetter.";
                refused(by, StatusCode::NOT_FOUND, title, message, "Take the tables as CSV.")
            }
            Err(trouble) => {
                let why = crate::term::plainly(&trouble);
                refused(by, StatusCode::INTERNAL_SERVER_ERROR, title, &why, "")
            }
        }
    })
    .await
}
