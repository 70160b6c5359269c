//! What a person reads who made a mistake in a job folder.
//!
//! `tests/bad_files/good` is a job folder without a mistake. Each `NAME.toml` beside it says what
//! to change there, and `NAME.expected` is what the terminal shows then.

use crate::expect::{differs, files_under, root};
use barwright::files::Disk;
use barwright::term::{self, Color};
use model::Source;
use model::files::Job;
use std::fs;
use std::path::Path;

const JOB: &str = "pin.job.toml";

/// What the terminal shows when this job is read.
fn shown(folder: &Path) -> String {
    let path = folder.join(JOB);
    let source = Disk::text(&path).expect("the job file is there");
    let read = Job::read(&source, &Disk::beside(&path));
    assert_eq!(read.value.is_some(), read.diagnostics.is_empty(), "a value, or messages");
    let text = term::diagnostics(&read.diagnostics, Color::Plain);
    text.replace(&format!("{}/", folder.display()), "")
}

fn copy(from: &Path, to: &Path) {
    for file in files_under(from, "") {
        fs::copy(&file, to.join(file.file_name().unwrap())).unwrap();
    }
}

/// Makes the changes of a case in a copy of the good folder.
fn spoil(folder: &Path, case: &toml::Table) {
    for change in case["change"].as_array().expect("a list of changes") {
        let text = |key: &str| change.get(key).and_then(toml::Value::as_str);
        let file = folder.join(text("file").unwrap_or(JOB));
        if text("rename").is_some_and(|name| fs::rename(&file, folder.join(name)).is_ok()) {
            continue;
        }
        let before = fs::read_to_string(&file).unwrap_or_default();
        let write = text("write").expect("what to write");
        let after = match text("find") {
            Some(find) => {
                assert_eq!(
                    before.matches(find).count(),
                    1,
                    "`{find}` stands once in {}",
                    file.display()
                );
                before.replace(find, write)
            }
            None => write.to_owned(),
        };
        let latin = change.get("latin").is_some();
        let bytes: Vec<u8> =
            if latin { after.chars().map(|c| c as u8).collect() } else { after.into() };
        fs::write(&file, bytes).unwrap();
    }
}

#[test]
fn the_good_folder_is_good() {
    assert_eq!(shown(&root("tests/bad_files/good")), "");
}

#[test]
fn each_mistake_has_its_message() {
    let mut wrong = Vec::new();
    let cases = fs::read_dir(root("tests/bad_files")).unwrap().map(|entry| entry.unwrap().path());
    let mut cases: Vec<_> =
        cases.filter(|path| path.extension().is_some_and(|end| end == "toml")).collect();
    cases.sort();
    assert!(cases.len() >= 40, "the cases are found");
    for path in &cases {
        let case: toml::Table = fs::read_to_string(path).unwrap().parse().unwrap();
        let folder = tempfile::tempdir().unwrap();
        copy(&root("tests/bad_files/good"), folder.path());
        spoil(folder.path(), &case);
        let text = shown(folder.path());
        if text.is_empty() {
            wrong.push(format!("{} is read without a message", path.display()));
        }
        wrong.extend(differs(&path.with_extension("expected"), &text));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Every third place of the job file spoiled in some ways: no text may stop the reader itself, and
/// each message can be shown.
#[test]
fn no_text_is_too_bad_to_be_answered() {
    let good = fs::read(root("tests/bad_files/good").join(JOB)).unwrap();
    let disk = Disk::beside(&root("tests/bad_files/good").join(JOB));
    let insertions: [&[u8]; 6] = [b"\"", b"[", b"\0", b"\xff", "\u{e9}".as_bytes(), b"\r\n"];
    let mut answered = 0;
    for at in (0..good.len()).step_by(3) {
        let inserted = insertions.map(|bytes| [&good[..at], bytes, &good[at..]].concat());
        let removed = [&good[..at], &good[at + 1..]].concat();
        for bytes in inserted.into_iter().chain([removed, good[..at].to_vec()]) {
            let read = Job::read(&Source::new(JOB, bytes), &disk);
            assert_eq!(read.value.is_some(), read.diagnostics.is_empty());
            for color in [Color::Plain, Color::Colored] {
                let text = term::diagnostics(&read.diagnostics, color);
                assert_eq!(text.is_empty(), read.diagnostics.is_empty());
            }
            answered += usize::from(read.value.is_none());
        }
    }
    assert!(answered > good.len() / 3, "most of these texts are bad, {answered} were refused");
}
