//! The bar programs that tests run, and the shops that their first lines name.

use crate::folder::Folder;
use model::Files;
use model::files::job::Job;
use prove::Setup;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The ways in which shops write.
pub(crate) const STYLES: [&str; 4] = ["cycles", "hand-typed", "long-hand", "parametric"];

/// Programs whose comments say what will be true once the control follows every word in them. As
/// long as a program stands here it must not come out as they say, and its motion is not accepted.
/// Strike a line off as soon as the test of the programs says that it came out.
pub(crate) const WAITING: &[&str] = &[];

/// The folder of these tests.
pub(crate) fn tests() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests")
}

/// Every program's text by `style/name.nc`.
pub(crate) fn programs() -> BTreeMap<String, String> {
    let mut programs = BTreeMap::new();
    for style in STYLES {
        for entry in std::fs::read_dir(tests().join("programs").join(style)).unwrap() {
            let path = entry.unwrap().path();
            let name = format!("{style}/{}", path.file_name().unwrap().to_string_lossy());
            programs.insert(name, std::fs::read_to_string(path).unwrap());
        }
    }
    programs
}

/// What stands in the comment `(WORD …)` of a line of its own, in the order of the lines.
pub(crate) fn heads<'t>(text: &'t str, word: &str) -> Vec<&'t str> {
    let start = format!("({word} ");
    text.lines().filter_map(|line| line.strip_prefix(&start)?.strip_suffix(')')).collect()
}

/// What is known to the shop that a program's first lines name.
pub(crate) fn setup_of(text: &str) -> Setup {
    let shop = heads(text, "SHOP")[0];
    let job = heads(text, "JOB").first().copied().unwrap_or("job.toml");
    setup(shop, job)
}

fn setup(shop: &str, job: &str) -> Setup {
    let shop = Folder::of_tests(&format!("shops/{shop}"));
    let read = Job::read(&shop.read(job).unwrap(), &shop);
    let troubles: Vec<_> =
        read.diagnostics.iter().map(|one| (one.source.name(), &one.message)).collect();
    assert!(troubles.is_empty(), "{job}: {troubles:?}");
    Setup::of(&read.value.unwrap())
}
