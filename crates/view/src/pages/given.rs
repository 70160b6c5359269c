//! Everything that one file of a job says: every key with its unit and limits, to be edited in place.

use super::field::{Field, Fields};
use super::frame::Frame;
use super::job::{self, Piece};
use super::say::{sentence, spaced};
use maud::{Markup, html};

/// The page of one file. `kind` is the kind of file, `file` its name on the disk.
pub fn page(
    frame: &Frame<'_>,
    name: &str,
    kind: &str,
    file: &str,
    pieces: &[Piece],
    fields: &Fields,
) -> String {
    let own: Vec<&Field> = fields.all.iter().filter(|field| field.file == kind).collect();
    let mut tables: Vec<&str> = Vec::new();
    for field in &own {
        if !tables.contains(&table(&field.key)) {
            tables.push(table(&field.key));
        }
    }
    let body = html! {
        (job::head(name, frame.title, pieces, fields))
        main id="content" class="given" {
            h2 { "What " code { (file) } " says" }
            @if fields.open {
                p class="more" {
                    "The same file that you may edit by hand: what you change here is written there, comments and order kept."
                }
            }
            @for path in tables {
                section class="group" aria-label=(title(path)) {
                    h3 { (title(path)) }
                    div class="blanks" {
                        @for field in own.iter().filter(|field| table(&field.key) == path && field.value.is_some()) { (blank(fields, field)) }
                    }
                    (not_given(fields, &own.iter().copied().filter(|field| table(&field.key) == path && field.value.is_none()).collect::<Vec<_>>()))
                }
            }
        }
    };
    frame.page(&["job.js"], &body)
}

fn blank(fields: &Fields, field: &Field) -> Markup {
    fields.blank(field, &spaced(last(&field.key)))
}

/// Keys that are left out: one is chosen and given a value.
pub(super) fn not_given(fields: &Fields, absent: &[&Field]) -> Markup {
    let Some(first) = absent.first().filter(|_| fields.open) else { return html! {} };
    let about = |field: &Field| {
        let unit = if field.unit.is_empty() { String::new() } else { format!(", {}", field.unit) };
        let standard =
            field.otherwise.as_ref().map_or(String::new(), |it| format!("; {it} is taken"));
        format!("{}{unit}{standard}", field.meaning)
    };
    let id = format!("add-{}", table(&first.key));
    html! {
        form class="add" method="post" action=(fields.action) {
            input type="hidden" name="token" value=(fields.token);
            input type="hidden" name="file" value=(first.file);
            label for=(id) { "Left out so far" }
            select id=(id) name="key" {
                @for field in absent { option value=(field.key) { (spaced(last(&field.key))) ": " (about(field)) } }
            }
            label for={ (id) "-value" } { "is" }
            input id={ (id) "-value" } name="value" autocomplete="off" size="12" required;
            button type="submit" { "Write it" }
        }
    }
}

fn last(key: &str) -> &str {
    key.rsplit('.').next().unwrap_or(key)
}

/// The table in which a key stands.
fn table(key: &str) -> &str {
    key.rsplit_once('.').map_or("", |(table, _)| table)
}

/// A table's path as words; places in a list count from 1.
fn title(path: &str) -> String {
    if path.is_empty() {
        return "The file itself".to_owned();
    }
    let words = path.split('.').map(|step| match step.split_once('[') {
        Some((list, place)) => {
            let place = place.trim_end_matches(']').parse::<usize>().map_or(0, |index| index + 1);
            format!("{} {place}", spaced(list))
        }
        None => spaced(step),
    });
    sentence(&words.collect::<Vec<_>>().join(", "))
}
