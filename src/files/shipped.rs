//! The things that ship with the program: `data/`, kept inside it.

use super::near;
use include_dir::{Dir, include_dir};
use model::Source;
use model::files::Material;
use model::files::keys::Choice as _;
use model::files::material::{IsoGroup, nearest_group};
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
    let group = Some(kind).filter(|kind| *kind == "materials").and_then(|_| nearest_group(wanted));
    match (near(wanted, names.iter().copied()).as_slice(), group) {
        ([], _) if names.is_empty() => "none ship with this program".to_owned(),
        ([], Some(group)) => of_group(group),
        ([], None) => format!("the names are {}", names.join(", ")),
        ([one], None) => format!("the nearest name is {one}"),
        ([one], Some(group)) => format!("the nearest name is {one}; {}", of_group(group)),
        (some, None) => format!("near names are {}", some.join(", ")),
        (some, Some(group)) => format!("near names are {}; {}", some.join(", "), of_group(group)),
    }
}

/// What ships of an ISO 513 group: an offer, since materials of a group only cut alike.
fn of_group(group: IsoGroup) -> String {
    let path = |name: &str| format!("materials/{name}.toml");
    let belongs = |name: &&str| {
        let file = DATA.get_file(path(name));
        let read = file.and_then(|file| Material::read(&Source::new("", file.contents())).value);
        read.is_some_and(|material| material.group == group)
    };
    let names: Vec<&str> = names("materials").into_iter().filter(belongs).collect();
    let meaning = IsoGroup::words().iter().find(|(_, known, _)| *known == group);
    let meaning = meaning.map_or("", |(_, _, meaning)| meaning);
    let about = format!("this name speaks of ISO 513 group {} ({meaning})", group.word());
    if names.is_empty() {
        format!("{about}, of which none ship with this program")
    } else {
        format!(
            "{about}, of which there are {}; take one only if yours cuts alike",
            names.join(", ")
        )
    }
}

/// The names of the shipped things of a kind, in order.
/// The names of the shipped things of a kind, in order.
pub fn shipped_names(kind: &str) -> Vec<&'static str> {
    names(kind)
}

fn names(kind: &str) -> Vec<&'static str> {
    let files = DATA.get_dir(kind).into_iter().flat_map(Dir::files);
    let mut names: Vec<_> =
        files.filter_map(|file| file.path().file_stem().map(Path::new)?.to_str()).collect();
    names.sort_unstable();
    names
}
