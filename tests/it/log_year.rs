//! What the log answers about the invented year, with its charts: `docs/log/`.

use crate::expect::{differs, root};
use crate::log::Shop;
use std::fmt::Write as _;
use std::fs;

/// What is asked of the year; the last word before a picture's name is where it is drawn.
const ASKED: &[&[&str]] = &[
    &["orders", "lamp-spacer-648"],
    &["trace", "Lathe 1", "2025-12-29 10:07"],
    &["trace", "--heat", "A 25568"],
    &["sizes", "wear-ring-617", "1", "--last", "5", "--picture", "year-worn.svg"],
    &[
        "sizes",
        "lamp-spacer-655",
        "1",
        "--last",
        "5",
        "--group",
        "4",
        "--picture",
        "year-means.svg",
    ],
    &["sizes", "knob-screw-629", "1", "--last", "5", "--spread", "year-spread.svg"],
];

/// A minute or two: 404,707 events. `cargo test --test it log_year -- --ignored`, with `UPDATE_EXPECT=1` to write anew.
#[test]
#[ignore = "a year of events takes a minute"]
fn the_invented_year_is_told_as_it_stands_in_the_docs() {
    let shop = Shop::new();
    let lines = shop.said(&["invent"]);
    let mut text = format!(
        "What the log answers about the invented year 2025 (`barwright log invent`, {} events). Every figure is\n\
         invented; times are in UTC.\n",
        lines.lines().count()
    );
    let path = shop.path("year.jsonl");
    fs::write(&path, lines).unwrap();
    shop.said(&["import", &path]);
    let mut differ = Vec::new();
    for asked in ASKED {
        let is_picture = |word: &str| word.ends_with(".svg");
        let words: Vec<String> = asked
            .iter()
            .map(|word| if is_picture(word) { shop.path(word) } else { (*word).to_owned() })
            .collect();
        let said = shop.said(&words.iter().map(String::as_str).collect::<Vec<_>>());
        let typed: Vec<String> = asked
            .iter()
            .map(|word| if word.contains(' ') { format!("\"{word}\"") } else { (*word).to_owned() })
            .collect();
        let said = said.replace(&shop.path(""), "");
        let _ = write!(text, "\n$ barwright log {}\n{said}", typed.join(" "));
        for picture in asked.iter().filter(|word| is_picture(word)) {
            let drawn = fs::read_to_string(shop.path(picture)).unwrap();
            differ.extend(differs(&root(&format!("docs/log/{picture}")), &drawn));
        }
    }
    differ.extend(differs(&root("docs/log/year.txt"), &text));
    assert!(differ.is_empty(), "{}", differ.join("\n"));
}
