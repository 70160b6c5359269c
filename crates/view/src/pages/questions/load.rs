//! What to load and gauge?

use super::{Question, Shown, said};
use crate::pages::frame::address;
use crate::pages::marks::State;
use crate::pages::say::{counted, spaced};
use crate::sheet::{self, Block, Holds, Sheet, Table};
use crate::sizes::sizes;
use maud::{Markup, html};

pub(super) const QUESTION: Question = Question {
    id: "load",
    asked: "What to load and gauge?",
    blanks: &[
        ("job", "bar.saw_kerf", "saw kerf"),
        ("job", "bar.end_trim", "end trim"),
        ("job", "order.due", "due"),
        ("job", "warm_up", "warm the spindle up for"),
    ],
    answer,
    working,
};

fn answer(shown: &Shown<'_>) -> Markup {
    let (job, bar) = (shown.job, &shown.answer.bar);
    let units = job.file.units;
    let stop = bar.division.face_stock + bar.division.first_face;
    let sizes = sizes(&job.file).len() as u32;
    let blanks = bar.blanks.map_or("no blank".to_owned(), |blanks| counted(blanks, "blank"));
    html! {
        (said(State::Note, &format!(
            "{blanks} of {}, the last at least {}; each by hand to a stop at Z {}. On the first piece {} to gauge.",
            bar.blank.shown(units), bar.shortest_last.shown(units), stop.shown(units), counted(sizes, "size"),
        )))
        @if !shown.answer.reminders.is_empty() {
            ul class="reminders" { @for reminder in &shown.answer.reminders { li { (reminder) } } }
        }
        (to_take_away(shown))
    }
}

/// The files that a plan gives, to be taken to the lathe or into another program.
fn to_take_away(shown: &Shown<'_>) -> Markup {
    let way = |file: &str| format!("/file/{}/{file}", address(shown.name));
    let programs = &shown.answer.programs;
    html! {
        h3 { "To take away" }
        ul class="files" {
            @if programs.is_empty() { li { "No program and no sheet: mend what stands as a stop first." } }
            @else {
                @if shown.papers {
                    li { a href=(way("sheet.pdf")) download { "the set-up sheet" } " (PDF)" }
                } @else {
                    li { "no set-up sheet: this program was built without the typesetter; the sheet's tables are below" }
                }
                @for program in programs {
                    @let name = program.file_name(shown.job);
                    li { a href=(way(&name)) download { "program " (name) } }
                }
                li { a href=(way("part.svg")) download { "the drawing" } " (SVG)" }
            }
            li { a href=(way("bar.svg")) download { "the bar" } " (SVG)" }
            li { a href=(way("answer.json")) download { "every answer" } " (JSON)" }
        }
    }
}

/// The chapters of the set-up sheet about loading, proving out and running.
fn working(shown: &Shown<'_>) -> Markup {
    let sheet = sheet::sheet(shown.job, shown.answer);
    let chapters = [1, 3, 4].into_iter().filter_map(|index| sheet.chapters.get(index));
    html! {
        @for chapter in chapters { @for block in &chapter.blocks { (shown_block(block)) } }
        (tables(shown, &sheet))
    }
}

/// Every table of the sheet as a file.
fn tables(shown: &Shown<'_>, sheet: &Sheet) -> Markup {
    if shown.answer.programs.is_empty() {
        return html! {};
    }
    html! {
        h3 { "Tables of the set-up sheet to take away (CSV)" }
        ul class="files" {
            @for (table, _) in sheet::csv(sheet) {
                li { a href={ "/file/" (address(shown.name)) "/tables/" (table) ".csv" } download { (spaced(table)) } }
            }
        }
    }
}

fn shown_block(block: &Block) -> Markup {
    html! {
        @match block {
            Block::Words(words) => { p { (words) } }
            Block::Warning(words) => { p class="warning" { (words) } }
            Block::List(title, lines) => { h3 { (title) } ul { @for line in lines { li { (line) } } } }
            Block::Facts(facts) => {
                h3 { (facts.title) }
                dl class="facts" {
                    @for (name, what) in &facts.rows { div { dt { (name) } dd { (what) } } }
                }
            }
            Block::Table(table) => { (shown_table(table)) }
            // The ruler stands above, the drawing has a link of its own.
            Block::Picture(..) => {}
        }
    }
}

fn shown_table(table: &Table) -> Markup {
    let class = |index: usize| match table.columns.get(index).map(|column| column.holds) {
        Some(Holds::Figures) => Some("figures"),
        Some(Holds::Program) => Some("code"),
        Some(Holds::Box) => Some("to-fill"),
        _ => None,
    };
    html! {
        h3 { (table.title) }
        div class="scroll" tabindex="0" role="region" aria-label=(table.title) {
            table {
                thead {
                    tr {
                        @for column in &table.columns { @if column.head.is_empty() { td {} } @else { th scope="col" { (column.head) } } }
                    }
                }
                tbody {
                    @for row in &table.rows {
                        tr { @for (index, cell) in row.iter().enumerate() { td class=[class(index)] { (cell) } } }
                    }
                }
            }
        }
    }
}
