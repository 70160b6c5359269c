//! The disk: reading behind [`model::Files`], and writing whole or not at all.

mod shipped;
mod write;

pub use shipped::{shipped, shipped_names};
pub use write::{NewFile, write_all, write_private};

use crate::term;
use model::{Files, Source};
use std::ffi::OsStr;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// The files around one file that names others.
#[derive(Debug, Clone)]
pub struct Disk {
    folder: PathBuf,
}

impl Disk {
    /// Reads relative paths from the folder in which this file stands.
    pub fn beside(file: &Path) -> Disk {
        Disk { folder: file.parent().map(Path::to_path_buf).unwrap_or_default() }
    }

    /// The text of a file, under the name that a person gave it.
    ///
    /// # Errors
    /// A plain sentence that says why it cannot be read.
    pub fn text(path: &Path) -> Result<Source, String> {
        match fs::read(path) {
            Ok(bytes) => Ok(Source::new(path.display().to_string(), bytes)),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Err(not_there(path)),
            Err(error) => {
                Err(format!("{} cannot be read: {}", path.display(), term::reason(&error)))
            }
        }
    }
}

impl Files for Disk {
    fn read(&self, path: &str) -> Result<Source, String> {
        Disk::text(&self.folder.join(path))
    }

    fn shipped(&self, path: &str) -> Result<Source, String> {
        shipped(path)
    }
}

fn not_there(path: &Path) -> String {
    let missing = format!("there is no file {}", path.display());
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    let folder = folder.unwrap_or(Path::new("."));
    let Ok(entries) = fs::read_dir(folder) else {
        return format!("{missing}, nor its folder");
    };
    let files = entries.flatten().filter(|entry| entry.path().is_file());
    let names: Vec<String> = files.map(|entry| lossy(&entry.file_name())).collect();
    let wanted = path.file_name().map(lossy).unwrap_or_default();
    match near(&wanted, names.iter().map(String::as_str)) {
        near if near.is_empty() => missing,
        near => format!("{missing}, but there is {}", near.join(", ")),
    }
}

fn lossy(name: &OsStr) -> String {
    name.to_string_lossy().into_owned()
}

/// Up to three of these names that look like the wanted one, nearest first.
pub(crate) fn near<'n>(wanted: &str, names: impl Iterator<Item = &'n str>) -> Vec<&'n str> {
    let wanted = wanted.to_lowercase();
    let mut near: Vec<_> = names
        .filter_map(|name| {
            let lower = name.to_lowercase();
            let distance = strsim::damerau_levenshtein(&wanted, &lower);
            let alike = distance <= wanted.len().max(lower.len()) / 3;
            let inside = wanted.len() > 2 && lower.contains(&wanted);
            (alike || inside).then_some((distance, name))
        })
        .collect();
    near.sort_unstable();
    near.into_iter().take(3).map(|(_, name)| name).collect()
}
