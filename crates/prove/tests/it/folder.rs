//! A folder of files as a test reads it. The small shops need nothing that ships.

use model::{Files, Source};
use std::path::{Path, PathBuf};

/// A folder under `tests/`.
pub(crate) struct Folder(PathBuf);

impl Folder {
    /// The folder of this name under `tests/`.
    pub(crate) fn of_tests(name: &str) -> Folder {
        Folder(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests").join(name))
    }
}

impl Files for Folder {
    fn read(&self, path: &str) -> Result<Source, String> {
        std::fs::read(self.0.join(path))
            .map(|bytes| Source::new(path, bytes))
            .map_err(|error| error.to_string())
    }

    fn shipped(&self, path: &str) -> Result<Source, String> {
        Err(format!("the small shops use no shipped file, not {path}"))
    }
}
