//! What is printed of the rack: labels to stick on, and everything that lies there.

use super::{HEADS, Item, cells, on_page, pages_of, span};
use crate::pages::frame::{Frame, address};
use crate::pictures::labels::Label;
use maud::html;
use model::record::Racked;
use model::{Length, Units};

/// The labels of items, one for each bar; what nobody knows is written on by hand.
pub fn labels<'r>(items: impl Iterator<Item = &'r Racked>, units: Units) -> Vec<Label> {
    let of = |it: &Racked| {
        let length = it.length.shown(units);
        let heat = it.heat.as_ref().map(|heat| format!("heat {heat}"));
        let lines = [
            it.material.as_ref().map(ToString::to_string),
            it.size.map(|size| format!("{} across", size.shown(units))),
            Some(length.clone()),
            Some(heat.clone().unwrap_or_else(|| "heat ____________".to_owned())),
            it.place.as_ref().map(ToString::to_string),
        ];
        let code = [
            Some(it.item.text().to_owned()),
            it.material.as_ref().map(ToString::to_string),
            it.size.map(|size| size.shown(units)),
            Some(length),
            heat,
        ];
        Label {
            title: it.item.text().to_owned(),
            lines: lines.into_iter().flatten().collect(),
            code: code.into_iter().flatten().collect::<Vec<_>>().join("; "),
        }
    };
    items.flat_map(|it| (0..it.count.min(MOST_LABELS)).map(move |_| of(it))).collect()
}

/// Labels of one item at most.
const MOST_LABELS: u32 = 240;

/// The page from which labels are printed: a picture a page of paper.
pub fn label_pages(frame: &Frame<'_>, pages: usize, of: Option<&str>) -> String {
    let of = of.map_or(String::new(), |item| format!("&item={}", address(item)));
    let body = html! {
        main id="content" class="folder" {
            h1 { (frame.title) }
            @if pages == 0 { p { "Nothing lies on the rack that could have a label." } }
            @else { p { "One for each bar: three columns of eight on a page of A4, with a code that a camera reads. Print them at full size." } }
            @for page in 1..=pages {
                @let way = format!("/rack/table?of=labels.svg&page={page}{of}");
                figure class="picture" {
                    img src=(way) alt={ "Labels, page " (page) } width="840" height="1188";
                    figcaption { a download={ "labels-" (page) ".svg" } href=(way) { "Page " (page) " as SVG" } }
                }
            }
            p { a href="/rack" { "To the rack" } }
        }
    };
    frame.page(&[], &body)
}

/// The page from which everything on the rack is printed: each page of labels with its picture.
pub fn sheet(frame: &Frame<'_>, items: &[Item<'_>], least: Option<Length>, units: Units) -> String {
    let body = html! {
        main id="content" class="questions plain" {
            h1 { (frame.title) }
            @if items.is_empty() { p { "Nothing that the log knows of." } }
            @for page in 1..=pages_of(items.len()) {
                section class="rack-sheet" aria-label={ "Labels " (span(items.len(), page)) } {
                    h2 { "Labels " (span(items.len(), page)) " of " (items.len()) }
                    figure class="picture" {
                        img src={ "/rack/table?of=rack.svg&page=" (page) } alt={ "The bars of labels " (span(items.len(), page)) ", to scale" };
                    }
                    table {
                        thead { tr { @for head in HEADS { th scope="col" { (head) } } } }
                        tbody { @for item in on_page(items, page) { tr { (cells(item.racked, least, units)) } } }
                    }
                }
            }
            p { a href="/rack" { "To the rack" } }
        }
    };
    frame.page(&[], &body)
}
