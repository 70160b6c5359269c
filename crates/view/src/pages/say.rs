//! Figures as a page says them.

use maud::{Markup, html};

pub(super) use crate::sheet::{clock, counted, figure};

/// A stable word as words: `grip-too-short` as `grip too short`.
pub(super) fn spaced(word: &str) -> String {
    word.replace(['-', '_'], " ")
}

/// A number of parts, also where it is none.
pub(super) fn parts(number: u32) -> String {
    if number == 0 { "no part".to_owned() } else { counted(number, "part") }
}

/// Words in which what stands between backticks is a key or a program's word.
pub(super) fn words(text: &str) -> Markup {
    html! {
        @for (index, stretch) in text.split('`').enumerate() {
            @if index % 2 == 1 { code { (stretch) } } @else { (stretch) }
        }
    }
}

/// A sentence that begins with a capital.
pub(super) fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().collect::<String>() + letters.as_str(),
        None => String::new(),
    }
}
