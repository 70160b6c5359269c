//! What happened, as sentences to be tapped; each opens to its blanks. A form works without a script too.

mod blanks;
mod set_up;

use super::AtLathe;
use crate::pages::say::sentence;
use blanks::{choice, count, length, station, text};
use maud::{Markup, html};
use model::files::keys::Choice;
use model::record::Runs;
use model::record::event::{EdgeWhy, Fills, OffsetAxis, StopWhy};

pub(super) fn tell(at: &AtLathe<'_>) -> Markup {
    if at.shown.now.job.is_none() {
        return html! { (set_up::set_up(at, true)) };
    }
    let runs = matches!(at.shown.now.runs, Runs::Since(_));
    html! {
        div class="tells" {
            // Where one sentence takes another's place after a tap, a second tap must do no harm.
            @if runs {
                (stopped(at))
                (at_once(at, "parts-made", &[("parts", "1")], "One more part is off"))
            } @else {
                (at_once(at, "started", &[], "It runs now"))
                (bar(at))
            }
            (made(at))
            @if runs { (bar(at)) }
            (size(at))
            (edge(at))
            (offset(at))
            (emptied(at))
            (ended(at))
            @if !runs { (stopped(at)) }
            (scrapped(at))
            (set_up::set_up(at, false))
        }
    }
}

/// One tap tells all of it.
fn at_once(at: &AtLathe<'_>, event: &str, known: &[(&str, &str)], says: &str) -> Markup {
    html! { form class="at-once" method="post" action="/record" data-says=(says) { (hidden(at, event, known)) button type="submit" { (says) } } }
}

fn hidden(at: &AtLathe<'_>, event: &str, known: &[(&str, &str)]) -> Markup {
    let shown = &at.shown;
    let mut all = vec![("lathe", shown.name.text())];
    // A set-up names its own job.
    if let Some(job) = shown.now.job.as_ref().filter(|_| event != "set-up") {
        all.push(("job", job.text()));
    }
    all.extend(known);
    shown.teller.hidden(event, &all)
}

/// A sentence that opens to its blanks.
fn opens(at: &AtLathe<'_>, event: &str, says: &str, inside: &Markup) -> Markup {
    html! {
        details class="tell" name="tell" id={ "tell-" (event) } {
            summary { (says) }
            form method="post" action="/record" data-says=(says) { (hidden(at, event, &[])) (inside) }
        }
    }
}

fn record() -> Markup {
    html! { button class="record" type="submit" { "Record" } }
}

/// Each word of a choice as one button.
fn buttons<C: Choice>(name: &str) -> Markup {
    html! {
        div class="words-of" {
            @for (word, _, meaning) in C::words() { button type="submit" name=(name) value=(word) { (sentence(meaning)) } }
        }
    }
}

fn stopped(at: &AtLathe<'_>) -> Markup {
    let inside = html! {
        (text("stopped", "block", "Line that was not done, if it was reset", "34, or O2081.nc:7 in another file"))
        (buttons::<StopWhy>("why"))
    };
    opens(at, "stopped", "It stopped", &inside)
}

fn bar(at: &AtLathe<'_>) -> Markup {
    let units = at.units();
    let inside = html! {
        @if !at.offered.rack.is_empty() {
            span class="blank wide" {
                label for="bar-loaded-from" { "From the rack" }
                span class="entry" {
                    select id="bar-loaded-from" name="from" {
                        option value="" { "not from the rack" }
                        @for racked in &at.offered.rack {
                            option value=(racked.item) {
                                (racked.item) ": " (racked.count) " of " (racked.length.shown(units))
                                @if let Some(heat) = &racked.heat { ", heat " (heat) }
                                @if let Some(place) = &racked.place { ", " (place) }
                            }
                        }
                    }
                }
                small class="limits" { "what the rack says of it is taken over" }
            }
        }
        (text("bar-loaded", "heat", "Heat number", "as it stands on the bar or its paper"))
        (length("bar-loaded", "length", "Length", units, ""))
        (text("bar-loaded", "label", "Label", ""))
        (count("bar-loaded", "gives", "Parts it gives", "left out: as the set-up says"))
        (record())
    };
    opens(at, "bar-loaded", "A bar went in", &inside)
}

fn made(at: &AtLathe<'_>) -> Markup {
    let more = html! { (blanks::needed_count("parts-made", "parts", "So many more parts", "")) (record()) };
    let read = html! { (blanks::needed_count("count-read", "parts", "The lathe's count stands at", "parts of this bar")) (record()) };
    html! {
        (opens(at, "parts-made", "Parts were made", &more))
        (opens(at, "count-read", "The count was read", &read))
    }
}

fn size(at: &AtLathe<'_>) -> Markup {
    let units = at.units();
    let made = at.shown.now.bar.as_ref().map(|bar| bar.made).filter(|made| *made > 0);
    let made = made.map(|made| made.to_string()).unwrap_or_default();
    html! {
        details class="tell" name="tell" id="tell-size-measured" {
            summary { "A part was gauged" }
            @for size in &at.offered.sizes {
                @let number = size.number.to_string();
                @let limit = |pick: fn(&(model::Length, model::Length)) -> model::Length| size.limits.as_ref().map(|both| pick(both).shown(units)).unwrap_or_default();
                @let (low, high) = (limit(|both| both.0), limit(|both| both.1));
                @let event = format!("size-{number}");
                form class="gauged" method="post" action="/record" data-says={ "size " (number) ", " (size.words) } {
                    (hidden(at, "size-measured", &[("feature", &number), ("low", &low), ("high", &high)]))
                    (blanks::gauged(&event, &format!("{number}  {}", size.words), units, &limits_in_words(size, units)))
                    (blanks::part(&event, &made))
                    button class="record" type="submit" { "Record" }
                }
            }
            form class="gauged" method="post" action="/record" data-says="gauged" {
                (hidden(at, "size-measured", &[]))
                (blanks::needed_text("size-other", "feature", "Something else", "thread, roughness, …"))
                (blanks::part("size-other", &made))
                div class="words-of" {
                    button type="submit" name="reading" value="good" { "Good" }
                    button type="submit" name="reading" value="bad" { "Bad" }
                }
            }
            @if let Some(why) = &at.offered.no_job { p class="more" { "The part's sizes are not offered: " (why) "." } }
        }
    }
}

fn limits_in_words(size: &crate::sizes::Size, units: model::Units) -> String {
    match size.limits {
        Some((low, high)) => {
            let whose = if size.own { "" } else { ", ISO 2768-1 medium" };
            format!(
                "{} to {}{whose}",
                low.text(units, units.decimals()),
                high.text(units, units.decimals())
            )
        }
        None => "no limits known".to_owned(),
    }
}

fn edge(at: &AtLathe<'_>) -> Markup {
    let inside =
        html! { (station("edge-changed", &at.offered.stations)) (buttons::<EdgeWhy>("why")) };
    opens(at, "edge-changed", "An edge was changed", &inside)
}

fn offset(at: &AtLathe<'_>) -> Markup {
    let inside = html! {
        (station("offset-moved", &at.offered.stations))
        (choice::<OffsetAxis>("offset-moved", "axis", "Axis", |word, meaning| format!("{}: {meaning}", word.to_uppercase())))
        (blanks::needed_length("offset-moved", "by", "By, with its sign", at.units(), "X on the diameter"))
        (record())
    };
    opens(at, "offset-moved", "An offset was moved", &inside)
}

fn emptied(at: &AtLathe<'_>) -> Markup {
    opens(at, "emptied", "Something was emptied", &buttons::<Fills>("what"))
}

fn ended(at: &AtLathe<'_>) -> Markup {
    let units = at.units();
    let loaded = at.shown.now.bar.as_ref().map(|bar| &bar.loaded);
    let inside = html! {
        @for (key, value) in [
            ("material", loaded.and_then(|it| it.material.as_ref()).map(ToString::to_string)),
            ("heat", loaded.and_then(|it| it.heat.as_ref()).map(ToString::to_string)),
            ("size", loaded.and_then(|it| it.size).map(|size| size.shown(units))),
        ] { @if let Some(value) = value { input type="hidden" name=(key) value=(value); } }
        (length("bar-ended", "remnant", "Left of it", units, "left out: nobody measured"))
        (text("bar-ended", "item", "To the rack under the label", "left out: not to the rack"))
        (text("bar-ended", "place", "Where it lies there", ""))
        (record())
    };
    opens(at, "bar-ended", "The bar is out", &inside)
}

fn scrapped(at: &AtLathe<'_>) -> Markup {
    let inside = html! {
        (blanks::needed_count("parts-scrapped", "parts", "Parts that are no good", ""))
        (text("parts-scrapped", "why", "Why", ""))
        (record())
    };
    opens(at, "parts-scrapped", "Parts are no good", &inside)
}
