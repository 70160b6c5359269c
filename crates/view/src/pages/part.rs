//! The part: its drawing, and its features from the front face back, each with its blanks. A feature is put in by
//! choosing its kind from small drawings.

mod kinds;

use super::drawn;
use super::field::{Entered, Field, Fields};
use super::frame::{Frame, address};
use super::given::not_given;
use super::job::{self, Piece};
use super::say::{sentence, spaced};
use crate::pictures::part_drawing;
use crate::sizes::sizes;
use maud::{Markup, html};
use model::files::job::{FeatureKind, JobFile, keys_of};
use model::files::keys::Choice as _;

/// Keys that every kind of feature has.
const OF_ALL: [&str; 2] = ["note", "later"];

/// Width of the drawing in its own units.
const WIDTH: f64 = 900.0;

/// A feature that is about to be put in.
#[derive(Debug, Clone)]
pub struct New {
    /// Before which feature, from 0.
    pub at: usize,
    /// Its kind, once it was chosen.
    pub kind: Option<FeatureKind>,
    /// Every key that a feature can have.
    pub keys: Vec<Field>,
}

/// The pieces that only this page has: the drawing, and what it says of each feature.
pub fn pieces(file: &JobFile) -> Vec<Piece> {
    let said = part_drawing::said(file);
    let mut pieces = vec![job::piece("part-drawn", drawing(file, &said))];
    let features = said.iter().enumerate();
    pieces.extend(features.map(|(at, words)| job::piece(said_id(at), html! { (sentence(words)) })));
    pieces
}

fn said_id(at: usize) -> String {
    format!("feature-{at}-said")
}

/// The drawing; each feature's stretch leads to its blanks.
fn drawing(file: &JobFile, said: &[String]) -> Markup {
    let drawn = part_drawing::scene_with_places(file, &sizes(file), WIDTH);
    let Some((scene, places)) = drawn else {
        return html! { p class="none" { "These features give no shape that can be drawn." } };
    };
    let mut order: Vec<usize> = (0..places.len()).collect();
    // The narrow ones lie on top, where they can be touched.
    order.sort_by(|one, other| places[*other][2].total_cmp(&places[*one][2]));
    drawn::with(
        &scene,
        "part-drawing",
        &html! {
            @for at in order {
                @let [x, y, width, height] = places[at].map(crate::svg::figure);
                a class="stretch" href={ "#feature-" (at) } data-feature=(at) aria-label=(said[at]) {
                    rect x=(x) y=(y) width=(width) height=(height) { title { (said[at]) } }
                }
            }
        },
    )
}

/// The whole page; `name` is the job as its address has it.
pub fn page(
    frame: &Frame<'_>,
    name: &str,
    pieces: &[Piece],
    fields: &Fields,
    new: Option<&New>,
) -> String {
    let kinds: Vec<Option<FeatureKind>> = (0..)
        .map_while(|at| fields.get("job", &format!("part.feature[{at}].kind")))
        .map(|field| field.value.as_deref().and_then(kind))
        .collect();
    let body = html! {
        (job::head(name, frame.title, pieces, fields))
        main id="content" class="part" {
            h2 { "The part" }
            figure class="picture" { (job::place(pieces, "part-drawn")) }
            (fields.row(&[
                ("job", "part.length", "length"),
                ("job", "part.upper", "length, upper deviation"),
                ("job", "part.lower", "length, lower deviation"),
                ("job", "part.inside_corner", "inside corners at most"),
            ]))
            h2 { "Its features, from the front face back" }
            @if kinds.is_empty() { p { "It has none yet: put the first one in." } }
            ol class="features" {
                @for (at, kind) in kinds.iter().enumerate() {
                    (here(name, fields, at, new, &kinds))
                    (feature(name, pieces, fields, at, *kind, kinds.len()))
                }
                (here(name, fields, kinds.len(), new, &kinds))
            }
        }
    };
    frame.page(&["job.js", "part.js"], &body)
}

/// The kind of feature with this word.
pub fn kind(word: &str) -> Option<FeatureKind> {
    FeatureKind::words().iter().find(|(own, _, _)| *own == word).map(|(_, kind, _)| *kind)
}

/// The way to put a feature in here; the form for it, where that was asked for.
fn here(
    name: &str,
    fields: &Fields,
    at: usize,
    new: Option<&New>,
    kinds: &[Option<FeatureKind>],
) -> Markup {
    html! {
        @if fields.open { li class="here" {
            @match new.filter(|new| new.at == at) {
                Some(new) => (put_in(name, fields, new, kinds)),
                None => { a href={ "/part/" (address(name)) "?at=" (at) "#new-feature" } { "Put a feature in here" } }
            }
        } }
    }
}

/// One feature with its blanks.
fn feature(
    name: &str,
    pieces: &[Piece],
    fields: &Fields,
    at: usize,
    kind: Option<FeatureKind>,
    count: usize,
) -> Markup {
    let table = format!("part.feature[{at}].");
    let own: Vec<&Field> = fields
        .all
        .iter()
        .filter(|field| field.file == "job" && field.key.starts_with(&table))
        .filter(|field| kind.is_none_or(|kind| belongs(kind, last(&field.key))))
        .collect();
    let (given, absent): (Vec<&Field>, Vec<&Field>) =
        own.into_iter().partition(|field| field.value.is_some());
    html! {
        li class="feature" id={ "feature-" (at) } data-feature=(at) {
            div class="what" {
                @if let Some(kind) = kind { (kinds::drawn(kind)) }
                h3 { (at + 1) " · " (kind.map_or_else(|| "of no known kind".to_owned(), |kind| spaced(kind.word()))) }
                p { (job::place(pieces, &said_id(at))) }
            }
            div class="blanks" { @for field in given { (fields.blank(field, &spaced(last(&field.key)))) } }
            div class="further" {
                (not_given(fields, &absent))
                @if fields.open { form class="out" method="post" action={ "/feature-out/" (address(name)) } {
                    input type="hidden" name="token" value=(fields.token);
                    input type="hidden" name="at" value=(at);
                    input type="hidden" name="was" value=(count);
                    button type="submit" { "Take feature " (at + 1) " out" }
                } }
            }
        }
    }
}

fn belongs(kind: FeatureKind, key: &str) -> bool {
    let keys = keys_of(kind);
    let mut instead = keys.instead.iter();
    let by_word = instead.any(|(word, others)| *word == key || others.contains(&key));
    by_word || [&OF_ALL, keys.must, keys.may].iter().any(|list| list.contains(&key))
}

fn last(key: &str) -> &str {
    key.rsplit('.').next().unwrap_or(key)
}

/// The form for a feature that is to come in: first its kind, then its keys.
fn put_in(name: &str, fields: &Fields, new: &New, kinds: &[Option<FeatureKind>]) -> Markup {
    let before = kinds.get(new.at).map(|kind| kind.map_or("feature", FeatureKind::word));
    html! {
        section class="new-feature" id="new-feature" aria-labelledby="new-feature-asked" {
            h2 id="new-feature-asked" {
                @match before {
                    Some(word) => { "A feature before feature " (new.at + 1) ", the " (word) }
                    None => { "A feature at the rear end" }
                }
            }
            p { "What is it? Metal is drawn from the axis up, the front face on the right." }
            ul class="kinds" {
                @for (word, kind, _) in FeatureKind::words() {
                    li {
                        a href={ "/part/" (address(name)) "?at=" (new.at) "&kind=" (word) "#new-feature" }
                            aria-current=[(new.kind == Some(*kind)).then_some("true")] {
                            (kinds::drawn(*kind)) span { (word) }
                        }
                    }
                }
            }
            @if let Some(kind) = new.kind { (keys_of_new(name, fields, new, kind, kinds.len())) }
        }
    }
}

fn keys_of_new(name: &str, fields: &Fields, new: &New, kind: FeatureKind, count: usize) -> Markup {
    let keys = keys_of(kind);
    let of_kind = |(_, one, _): &&(&str, FeatureKind, &str)| *one == kind;
    let meaning = FeatureKind::words().iter().find(of_kind).map_or("", |(_, _, meaning)| meaning);
    let entries = |names: &[&str], must: bool| {
        html! { div class="blanks" { @for key in names { (entry(new, key, must)) } } }
    };
    html! {
        form class="keys" method="post" action={ "/feature/" (address(name)) } autocomplete="off" {
            input type="hidden" name="token" value=(fields.token);
            input type="hidden" name="at" value=(new.at);
            input type="hidden" name="was" value=(count);
            input type="hidden" name="kind" value=(kind.word());
            p { (sentence(meaning)) "." }
            (entries(keys.must, true))
            @for (word, others) in keys.instead {
                fieldset {
                    legend { "Either " (spaced(word)) ", or " (others.iter().map(|key| spaced(key)).collect::<Vec<_>>().join(" and ")) }
                    (entries(&[*word], false))
                    (entries(others, false))
                }
            }
            details {
                summary { "What else may be said of it" }
                (entries(keys.may, false))
                (entries(&OF_ALL, false))
            }
            output class="refused" {}
            button type="submit" { "Put it in" }
            " " a href={ "/part/" (address(name)) } { "Leave the part as it is" }
        }
    }
}

/// One entry of the form of a new feature.
fn entry(new: &New, key: &str, must: bool) -> Markup {
    let Some(field) = new.keys.iter().find(|field| last(&field.key) == key) else {
        return html! {};
    };
    let field = Field { may_be_left_out: !must, ..field.clone() };
    let id = format!("new-{key}");
    let about = format!("{id}:about");
    html! {
        div class="blank" {
            label for=(id) { (spaced(key)) }
            span class="entry" {
                (super::field::entry(&field, &Entered { id: &id, name: key, about: &about, must }))
                @if !field.unit.is_empty() { span class="unit" { (field.unit) } }
            }
            small class="limits" id=(about) {
                (field.limits)
                @if !field.limits.is_empty() { " · " }
                (sentence(&field.meaning))
            }
        }
    }
}
