//! Expected texts that stand in files beside the tests.

use std::fs;
use std::path::{Path, PathBuf};

/// A path from the root of the repository.
pub(crate) fn root(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// Whether expected files are to be written anew.
pub(crate) fn updating() -> bool {
    std::env::var_os("UPDATE_EXPECT").is_some_and(|value| value == "1")
}

/// Compares a text with a file, or writes the file; gives what to say where they differ.
pub(crate) fn differs(file: &Path, text: &str) -> Option<String> {
    let expected = fs::read_to_string(file).unwrap_or_default();
    if expected == text {
        return None;
    }
    if updating() {
        fs::write(file, text).expect("an expected file can be written");
        return None;
    }
    let name = file.strip_prefix(env!("CARGO_MANIFEST_DIR")).unwrap_or(file).display();
    Some(format!(
        "{name} differs; UPDATE_EXPECT=1 writes it anew. Expected:\n{expected}\nis:\n{text}"
    ))
}

/// The same for a picture: the line that says how roles look is not its own.
pub(crate) fn differs_but_for_roles(file: &Path, text: &str) -> Option<String> {
    let own = |text: &str| -> String {
        text.split_inclusive('\n').filter(|line| !line.starts_with("<style>")).collect()
    };
    let expected = fs::read_to_string(file).unwrap_or_default();
    if own(&expected) == own(text) { None } else { differs(file, text) }
}

/// Every file under a folder whose name ends so, in order.
pub(crate) fn files_under(folder: &Path, end: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if path.is_dir() {
            found.extend(files_under(&path, end));
        } else if path.to_string_lossy().ends_with(end) {
            found.push(path);
        }
    }
    found.sort();
    found
}
