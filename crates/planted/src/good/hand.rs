//! The programs that people wrote: those of the prover's own tests that nothing is wrong with, and
//! variations of each.

use super::{Folder, Good, Text, Writer, file, repository, variation};
use crate::seed::Seed;
use model::Source;
use model::files::Job;
use prove::Setup;
use std::path::PathBuf;

const STYLES: [&str; 4] = ["cycles", "hand-typed", "long-hand", "parametric"];

/// Every program that is right, each with so many variations of it.
pub fn all(variations: usize) -> Vec<Good> {
    let mut all = Vec::new();
    for (name, text) in texts() {
        let Some(good) = good(&name, &text) else { continue };
        let mut seed = Seed::of(&name);
        let varied = (1..=variations).map(|number| variation::of(&good, number, &mut seed));
        let varied: Vec<Good> = varied.collect();
        all.push(good);
        all.extend(varied);
    }
    all
}

fn tests() -> PathBuf {
    repository().join("crates/prove/tests")
}

/// The programs by name, in the order of their names.
#[allow(clippy::disallowed_methods, reason = "for developers: reads the project's own files")]
fn texts() -> Vec<(String, String)> {
    let mut texts = Vec::new();
    for style in STYLES {
        let folder = tests().join("programs").join(style);
        for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
            let name = format!("{style}/{}", entry.file_name().to_string_lossy());
            texts.extend(file(&entry.path()).ok().map(|text| (name, text)));
        }
    }
    texts.sort();
    texts
}

/// A program whose comments say that nothing is found in it.
fn good(name: &str, text: &str) -> Option<Good> {
    if ["(stop: ", "(caution: ", "(FOUND "].iter().any(|mark| text.contains(mark)) {
        return None;
    }
    let shop = tests().join("shops").join(head(text, "SHOP")?);
    let files = Folder { files: Vec::new(), folder: shop };
    let job = head(text, "JOB").unwrap_or("job.toml");
    let source = Source::new(job, file(&files.folder.join(job)).ok()?);
    let job = Job::read(&source, &files).value?;
    let texts = vec![Text { name: name.to_owned(), text: text.to_owned() }];
    Some(Good { name: name.to_owned(), writer: Writer::Hand, texts, setup: Setup::of(&job) })
}

/// What stands in the comment `(WORD …)` of a line of its own.
fn head<'t>(text: &'t str, word: &str) -> Option<&'t str> {
    let start = format!("({word} ");
    text.lines().find_map(|line| line.strip_prefix(&start)?.strip_suffix(')'))
}
