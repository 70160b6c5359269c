//! The chapters of a paper on a page: the same words, tables and pictures, each table to be taken along as CSV
//! and each picture as SVG.

use super::chart::chart;
use super::say::words;
use crate::sheet::{Block, Facts, Holds, Sheet, Table};
use maud::{Markup, html};

/// All chapters. `tables` is the address of its tables and pictures, whose names come behind it.
pub(super) fn chapters(sheet: &Sheet, tables: &str) -> Markup {
    html! {
        @for chapter in &sheet.chapters {
            section class="chapter" aria-label=(chapter.title) {
                h3 { (chapter.title.trim_start_matches(|c: char| c.is_ascii_digit() || c == ' ')) }
                @for block in &chapter.blocks { (self::block(block, tables)) }
            }
        }
    }
}

fn block(block: &Block, tables: &str) -> Markup {
    html! {
        @match block {
            Block::Words(text) => { p { (words(text)) } }
            Block::Warning(text) => { p class="warning" { (words(text)) } }
            Block::List(title, lines) => {
                p { (title) ":" }
                ul { @for line in lines { li { (words(line)) } } }
            }
            Block::Facts(it) => { (facts(it)) (csv(tables, it.name)) }
            Block::Table(it) => { (table(it)) (csv(tables, it.name)) }
            Block::Picture(name, scene) => { (chart(name, scene, Some(tables))) }
        }
    }
}

/// The way to a table as CSV.
pub(super) fn csv(tables: &str, name: &str) -> Markup {
    html! { p class="take" { a download={ (name) ".csv" } href={ (tables) "?of=" (name) } { (name) ".csv" } } }
}

fn facts(facts: &Facts) -> Markup {
    html! {
        dl class="facts" aria-label=(facts.title) {
            @for (name, what) in &facts.rows { div { dt { (name) } dd { (words(what)) } } }
        }
    }
}

/// A table in a frame of its own, in which it scrolls where it does not fit.
pub(super) fn table(table: &Table) -> Markup {
    html! {
        div class="scroll" tabindex="0" role="region" aria-label=(table.title) {
            table {
                caption { (table.title) }
                thead { tr { @for column in &table.columns {
                    @if column.head.is_empty() { td {} }
                    @else { th scope="col" class=[(column.holds == Holds::Figures).then_some("ends")] { (column.head) } }
                } } }
                tbody {
                    @for row in &table.rows {
                        tr {
                            @for (index, (cell, column)) in row.iter().zip(&table.columns).enumerate() {
                                @let figures = column.holds == Holds::Figures;
                                @if index == 0 { th scope="row" class=[figures.then_some("figures ends")] { (cell) } }
                                @else if figures { td class="figures ends" { (cell) } }
                                @else { td { (cell) } }
                            }
                        }
                    }
                }
            }
        }
    }
}
