//! The page of a job: its questions, each with answer, blanks and working.

use super::band;
use super::field::Fields;
use super::frame::Frame;
use super::questions::{QUESTIONS, Shown};
use super::ruler::{self, Bars};
use super::working;
use maud::{Markup, PreEscaped, html};
use model::Diagnostic;
use model::files::job::Job;
use plan::Answer;
use std::hash::{DefaultHasher, Hash as _, Hasher as _};

/// A stretch of a page that is put in anew when an answer changes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    /// Which one.
    pub id: String,
    /// Its HTML.
    pub html: String,
}

impl Piece {
    /// What tells it apart from what stood there before, while the program runs.
    pub fn digest(&self) -> String {
        let mut hasher = DefaultHasher::new();
        self.html.hash(&mut hasher);
        format!("{:016x}", hasher.finish())
    }
}

pub(super) fn piece(id: impl Into<String>, inside: Markup) -> Piece {
    Piece { id: id.into(), html: inside.into_string() }
}

/// The piece of the bar ruler, with where bars are now.
pub fn ruler(name: &str, job: &Job, answer: &Answer, bars: &Bars) -> Piece {
    piece("ruler", ruler::ruler(name, job, answer, bars))
}

/// The same where there is no answer.
pub fn no_ruler() -> Piece {
    piece("ruler", html! {})
}

/// Every piece of an answer but the ruler.
pub fn pieces(shown: &Shown<'_>) -> Vec<Piece> {
    let (job, answer) = (shown.job, shown.answer);
    let mut pieces =
        vec![piece("figures", band::figures(job, answer)), piece("trouble", band::trouble(&[]))];
    for question in &QUESTIONS {
        pieces.push(piece(format!("{}-said", question.id), (question.answer)(shown)));
        pieces.push(piece(format!("{}-known", question.id), (question.working)(shown)));
    }
    pieces
}

/// The pieces where there is no answer, but the ruler.
pub fn without_answer(diagnostics: &[Diagnostic]) -> Vec<Piece> {
    let none = || html! { p class="none" { "No answer until the files can be used." } };
    let mut pieces = vec![piece("figures", html! {}), piece("trouble", band::trouble(diagnostics))];
    for question in &QUESTIONS {
        pieces.push(piece(format!("{}-said", question.id), none()));
        pieces.push(piece(format!("{}-known", question.id), html! {}));
    }
    pieces
}

/// One piece in its place.
pub fn place(pieces: &[Piece], id: &str) -> Markup {
    let piece = pieces.iter().find(|piece| piece.id == id);
    html! {
        div data-piece=(id) data-digest=[piece.map(Piece::digest)] {
            @if let Some(piece) = piece { (PreEscaped(&piece.html)) }
        }
    }
}

/// The head of a page of a job.
pub fn head(name: &str, title: &str, pieces: &[Piece], fields: &Fields) -> Markup {
    html! {
        section class="band" aria-label="The bar and its first figures" {
            (band::title(name, title, fields))
            (place(pieces, "trouble"))
            (place(pieces, "figures"))
            (place(pieces, "ruler"))
            (fields.offered())
        }
    }
}

/// The whole page. `name` is the job as its address has it, `title` what the part is called.
pub fn page(frame: &Frame<'_>, name: &str, pieces: &[Piece], fields: &Fields) -> String {
    let body = html! {
        (head(name, frame.title, pieces, fields))
        main id="content" class="questions" {
            @for question in &QUESTIONS {
                section class="question" id=(question.id) aria-labelledby={ (question.id) "-asked" } {
                    h2 id={ (question.id) "-asked" } { (question.asked) }
                    div class="told" {
                        (place(pieces, &format!("{}-said", question.id)))
                        (fields.row(question.blanks))
                        (working::working(question.id, &place(pieces, &format!("{}-known", question.id))))
                    }
                }
            }
        }
    };
    frame.page(&["job.js"], &body)
}
