//! Writing whole or not at all.

use crate::commands::Trouble;
use crate::term;
use std::fs;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

/// A file to be written.
#[derive(Debug, Clone)]
pub struct NewFile {
    /// Where.
    pub path: PathBuf,
    /// Its whole contents.
    pub bytes: Vec<u8>,
}

/// Writes all of these files, making their folders. Each is written under another name first and
/// takes its own only when all of them are whole on the disk.
///
/// # Errors
/// Where one of them is there already and `force` is not given, or the disk refuses. Before the
/// first file has taken its name, nothing is changed.
pub fn write_all(files: &[NewFile], force: bool) -> Result<(), Trouble> {
    if let Some(there) = files.iter().find(|file| !force && file.path.exists()) {
        let message = format!("{} is there already", there.path.display());
        return Err(Trouble::outside(
            message,
            "choose another place, or give --force to overwrite it",
        ));
    }
    let mut waiting = Waiting(Vec::new());
    for file in files {
        waiting.0.push(beside(&file.path));
        let path = &waiting.0[waiting.0.len() - 1];
        written(path, &file.bytes).map_err(|error| refused(&file.path, &error))?;
    }
    for (file, path) in files.iter().zip(&waiting.0) {
        fs::rename(path, &file.path).map_err(|error| refused(&file.path, &error))?;
    }
    Ok(())
}

/// Writes one file that only its owner may read, whole or not at all, over one that is there.
///
/// # Errors
/// Where the disk refuses.
pub fn write_private(path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    let waiting = Waiting(vec![beside(path)]);
    let write = || {
        if let Some(folder) = path.parent().filter(|folder| !folder.as_os_str().is_empty()) {
            fs::create_dir_all(folder)?;
        }
        let mut options = fs::OpenOptions::new();
        options.write(true).create_new(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        // What an earlier try may have left would keep its own mode.
        let _ = fs::remove_file(&waiting.0[0]);
        let mut file = options.open(&waiting.0[0])?;
        file.write_all(bytes)?;
        file.sync_all()?;
        fs::rename(&waiting.0[0], path)
    };
    write().map_err(|error| refused(path, &error))
}

/// Files that wait for their names; what is left of them is taken away.
struct Waiting(Vec<PathBuf>);

impl Drop for Waiting {
    fn drop(&mut self) {
        for path in &self.0 {
            // After a rename there is nothing left to take away, and nobody to tell otherwise.
            let _ = fs::remove_file(path);
        }
    }
}

fn beside(path: &Path) -> PathBuf {
    let mut name = std::ffi::OsString::from(".");
    name.push(path.file_name().unwrap_or_default());
    name.push(format!(".{}.part", std::process::id()));
    path.with_file_name(name)
}

fn written(path: &Path, bytes: &[u8]) -> io::Result<()> {
    if let Some(folder) = path.parent().filter(|folder| !folder.as_os_str().is_empty()) {
        fs::create_dir_all(folder)?;
    }
    let mut file = fs::File::create(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

fn refused(path: &Path, error: &io::Error) -> Trouble {
    let message = format!("{} cannot be written: {}", path.display(), term::reason(error));
    Trouble::outside(message, "check the folder and whether you may write there")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(folder: &Path, name: &str, text: &str) -> NewFile {
        NewFile { path: folder.join(name), bytes: text.as_bytes().to_vec() }
    }

    fn names(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap();
        let mut names: Vec<_> =
            entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn nothing_is_overwritten_unasked() {
        let folder = tempfile::tempdir().unwrap();
        let folder = folder.path();
        write_all(&[file(folder, "b", "old")], false).unwrap();
        let both = [file(folder, "a", "new"), file(folder, "b", "new")];
        assert!(write_all(&both, false).is_err());
        assert_eq!(names(folder), ["b"]);
        assert_eq!(fs::read_to_string(folder.join("b")).unwrap(), "old");
        write_all(&both, true).unwrap();
        assert_eq!(names(folder), ["a", "b"]);
        assert_eq!(fs::read_to_string(folder.join("b")).unwrap(), "new");
    }

    #[test]
    fn a_refused_file_leaves_nothing_behind() {
        let folder = tempfile::tempdir().unwrap();
        let folder = folder.path();
        fs::write(folder.join("file"), "").unwrap();
        let both = [file(folder, "a", "whole"), file(folder, "file/b", "cannot be")];
        assert!(write_all(&both, false).is_err());
        assert_eq!(names(folder), ["file"]);
    }
}
