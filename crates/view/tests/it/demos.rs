//! The demo jobs, read from their folders.

use model::files::job::Job;
use model::{Files, Source};
use std::path::{Path, PathBuf};

struct Disk(PathBuf);

impl Files for Disk {
    fn read(&self, path: &str) -> Result<Source, String> {
        let bytes = std::fs::read(self.0.join(path)).map_err(|error| error.to_string())?;
        Ok(Source::new(path, bytes))
    }

    fn shipped(&self, path: &str) -> Result<Source, String> {
        let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data");
        let bytes = std::fs::read(data.join(path)).map_err(|error| error.to_string())?;
        Ok(Source::new(path, bytes))
    }
}

/// The detent pin, with more at the end of its job file.
pub(crate) fn detent_pin_with(more: &str) -> Job {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/detent-pin");
    let mut text = std::fs::read_to_string(folder.join("detent-pin.job.toml")).unwrap();
    text.push_str(more);
    let source = Source::new("detent-pin.job.toml", text.into_bytes());
    Job::read(&source, &Disk(folder)).value.unwrap()
}

/// Name and job of each.
pub(crate) fn demos() -> Vec<(&'static str, Job)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo");
    let job = |name: &'static str| {
        let disk = Disk(folder.join(name));
        let read = Job::read(&disk.read(&format!("{name}.job.toml")).unwrap(), &disk);
        (name, read.value.unwrap())
    };
    ["detent-pin", "lamp-spacer"].map(job).to_vec()
}
