//! The demo jobs, read from their folders.

use model::files::Job;
use model::{Files, Source};
use std::path::{Path, PathBuf};

struct Folder(PathBuf);

impl Files for Folder {
    fn read(&self, path: &str) -> Result<Source, String> {
        read(&self.0.join(path))
    }

    fn shipped(&self, path: &str) -> Result<Source, String> {
        read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data").join(path))
    }
}

fn read(path: &Path) -> Result<Source, String> {
    let bytes = std::fs::read(path).map_err(|error| error.to_string())?;
    Ok(Source::new(path.display().to_string(), bytes))
}

/// The demo job with this name.
pub(crate) fn demo(name: &str) -> Job {
    let folder = Folder(Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo").join(name));
    let source = folder.read(&format!("{name}.job.toml")).expect("the demo is there");
    Job::read(&source, &folder).value.expect("the demo reads")
}
