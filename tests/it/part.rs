//! `docs/part.md`: every example is read without a message, and no kind or key of a feature is left out.

use crate::expect::root;
use barwright::files::Disk;
use barwright::term::{self, Color};
use model::Source;
use model::files::job::FeatureKind;
use model::files::keys::Choice as _;
use model::files::{FileKind, Job};
use std::fs;

fn page() -> String {
    fs::read_to_string(root("docs/part.md")).expect("the page is there")
}

/// The examples of the page.
fn examples(page: &str) -> Vec<&str> {
    let parts = page.split("```toml\n").skip(1);
    parts.map(|part| part.split("```").next().unwrap_or_default()).collect()
}

#[test]
fn every_example_is_read() {
    let path = root("tests/bad_files/good/pin.job.toml");
    let good = fs::read_to_string(&path).unwrap();
    let (before, rest) = good.split_once("[part]").unwrap();
    let (_, after) = rest.split_once("[advance]").unwrap();
    let page = page();
    let examples = examples(&page);
    assert!(examples.len() >= 12, "the examples are found");
    for example in examples {
        let job = format!("{before}{example}\n[advance]{after}");
        let read = Job::read(&Source::new("pin.job.toml", job), &Disk::beside(&path));
        let text = term::diagnostics(&read.diagnostics, Color::Plain);
        assert!(text.is_empty(), "{example}\n{text}");
        assert!(!read.value.unwrap().file.part.features.is_empty());
    }
}

#[test]
fn no_kind_and_no_key_of_a_feature_is_left_out() {
    let page = page();
    let used = |word: &str| examples(&page).iter().any(|example| example.contains(word));
    for (word, ..) in FeatureKind::words() {
        assert!(used(&format!("kind = \"{word}\"")), "no example of {word}");
    }
    let schema = barwright::json::schema(FileKind::Job);
    let keys = &schema["properties"]["part"]["properties"]["feature"]["items"]["properties"];
    let keys = keys.as_object().expect("the keys of a feature");
    assert!(keys.len() >= 30, "the keys are found");
    for key in keys.keys() {
        assert!(
            used(&format!("{key} = ")) || page.contains(&format!("`{key} = ")),
            "no example of {key}"
        );
    }
}
