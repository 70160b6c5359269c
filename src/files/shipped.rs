//! The things that ship with the program: `data/`, kept inside it.

use super::near;
use include_dir::{Dir, include_dir};
use model::Source;
use std::path::Path;

static DATA: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/data");

/// The text of a shipped thing, such as `materials/brass-c360.toml`.
///
/// # Errors
/// A plain sentence that says which things of that kind there are.
pub fn shipped(path: &str) -> Result<Source, String> {
    match DATA.get_file(path) {
        Some(file) => Ok(Source::new(format!("shipped {path}"), file.contents())),
        None => Err(not_shipped(path)),
    }
}

fn not_shipped(path: &str) -> String {
    let (kind, wanted) = path.rsplit_once('/').unwrap_or(("", path));
    let wanted = wanted.trim_end_matches(".toml");
    let names: Vec<&str> = names(kind);
    match near(wanted, names.iter().copied()).as_slice() {
        [] if names.is_empty() => "none ship with this program".to_owned(),
        [] => format!("the names are {}", names.join(", ")),
        [one] => format!("the nearest name is {one}"),
        some => format!("near names are {}", some.join(", ")),
    }
}

/// The names of the shipped things of a kind, in order.
fn names(kind: &str) -> Vec<&'static str> {
    let files = DATA.get_dir(kind).into_iter().flat_map(Dir::files);
    let mut names: Vec<_> =
        files.filter_map(|file| file.path().file_stem().map(Path::new)?.to_str()).collect();
    names.sort_unstable();
    names
}
