//! The page of a program, and the proof of one's own.

use super::super::desk::Desk;
use super::super::lay;
use super::super::locked;
use super::{Asker, Shared, at_desk, beside_desk, form, see};
use axum::body::Bytes;
use axum::extract::{Path, Query, State};
use axum::response::{Html, IntoResponse as _, Response};
use model::Source;
use model::files::Job;
use nc::program::Library;
use prove::playback::Playback;
use prove::{Proof, Setup};
use std::collections::BTreeMap;
use std::sync::Arc;
use view::pages::Frame;
use view::pages::frame::address;
use view::pages::program::{self as program_page, Program};

/// The name under which a typed program is told of.
const TYPED: &str = "your program";
/// The cycle that is played where none is asked for: the first that runs evenly.
const EVEN: u32 = 2;

/// A program with all that its proof goes by.
pub(super) struct Run {
    pub(super) job: Job,
    pub(super) library: Library,
    pub(super) setup: Setup,
    /// The files in the order of the library.
    pub(super) sources: Vec<Source>,
    typed: bool,
}

/// The program that is asked for: the typed one, or the one that the plan writes.
pub(super) fn run(shared: &Shared, desk: &Desk, asked: &BTreeMap<String, String>) -> Option<Run> {
    let job = desk.job(&shared.shelf).ok()?;
    let typed = asked.get("of").is_some_and(|of| of == "typed");
    let sources = match (&desk.typed, typed) {
        (Some(text), true) => vec![Source::new(TYPED, text.as_bytes())],
        (None, true) => return None,
        (_, false) => lay::sources(&job, &plan::plan(&job).programs),
    };
    let trees =
        sources.iter().map(|source| nc::read::read_for(source, &job.control)).collect::<Vec<_>>();
    if trees.is_empty() {
        return None;
    }
    let setup = Setup::of(&job);
    let library = Library::new(trees);
    let sources = library.trees().iter().map(|tree| tree.source.clone()).collect();
    Some(Run { job, library, setup, sources, typed })
}

impl Run {
    /// The cycle that is asked for, by its number or by a part of it.
    pub(super) fn cycle(&self, asked: &BTreeMap<String, String>, proof: Option<&Proof>) -> u32 {
        let number = |key: &str| {
            asked.get(key).and_then(|text| text.parse::<u32>().ok()).filter(|one| *one > 0)
        };
        let parts = self.job.file.advance.parts.max(1);
        let of_part = number("part").map(|part| part.div_ceil(parts));
        let last = proof.map_or(u32::MAX, |proof| proof.parts.saturating_add(2));
        number("cycle").or(of_part).unwrap_or(EVEN).min(last)
    }
}

pub(super) async fn page(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Path(name): Path<String>,
    Query(asked): Query<BTreeMap<String, String>>,
) -> Response {
    beside_desk(shared, by, name, move |shared, by, desk| {
        let (laid, fields, name, revision, run) = {
            let desk = &mut *locked(desk);
            let run = run(shared, desk, &asked);
            let (laid, fields) = (desk.laid(&shared.shelf), desk.fields(by));
            (laid, fields, desk.name.clone(), desk.revision, run)
        };
        let frame = Frame { job: Some(&name), here: "program", revision, ..by.frame(&laid.title) };
        let pieces = shared.pieces_of(&name, &laid, "program");
        let Some(run) = run else {
            return Html(program_page::page(&frame, &name, &pieces, &fields, None)).into_response();
        };
        let proof = prove::prove(&run.library, &run.setup);
        let cycle = run.cycle(&asked, Some(&proof));
        let playback = Playback::of(&run.library, &run.setup, cycle);
        let steps = program_page::steps(&run.sources, &playback, run.setup.units);
        let program =
            Program { files: &run.sources, proof: &proof, typed: run.typed, cycle, steps: &steps };
        Html(program_page::page(&frame, &name, &pieces, &fields, Some(&program))).into_response()
    })
    .await
}

/// Keeps a program that a person gave, and shows its proof.
pub(super) async fn prove(
    State(shared): State<Arc<Shared>>,
    by: Asker,
    Path(name): Path<String>,
    body: Bytes,
) -> Response {
    at_desk(shared, by, name, move |_, _, desk| {
        let mut form = form(&body);
        // A form sends every line end as CR LF, which a control's punched tape had too.
        desk.typed = Some(form.remove("text").unwrap_or_default().replace("\r\n", "\n"));
        see(&format!("/program/{}?of=typed", address(&desk.name)))
    })
    .await
}
