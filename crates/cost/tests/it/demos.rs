//! The demo jobs with their plans, and the demo shop.

use model::files::Shop;
use model::files::job::Job;
use model::{Files, Source};
use plan::Answer;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

struct Disk(PathBuf);

impl Files for Disk {
    fn read(&self, path: &str) -> Result<Source, String> {
        let bytes = std::fs::read(self.0.join(path)).map_err(|error| error.to_string())?;
        Ok(Source::new(path, bytes))
    }

    fn shipped(&self, path: &str) -> Result<Source, String> {
        Disk(root("data")).read(path)
    }
}

fn root(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").join(path)
}

/// A job with its plan.
pub(crate) struct Planned {
    pub(crate) job: Job,
    pub(crate) answer: Answer,
}

fn planned(name: &str) -> Planned {
    let disk = Disk(root(&format!("demo/{name}")));
    let read = Job::read(&disk.read(&format!("{name}.job.toml")).unwrap(), &disk);
    let job = plan::alternatives::settled(read.value.unwrap());
    let answer = plan::plan(&job);
    Planned { job, answer }
}

/// Both demo jobs.
pub(crate) static DEMOS: LazyLock<[Planned; 2]> =
    LazyLock::new(|| ["detent-pin", "lamp-spacer"].map(planned));

/// The demo shop.
pub(crate) fn shop() -> Shop {
    let source = Disk(root("demo/week-48")).read("shop.toml").unwrap();
    let read = Shop::read(&source);
    assert!(read.diagnostics.is_empty(), "{:?}", read.diagnostics);
    read.value.unwrap()
}
