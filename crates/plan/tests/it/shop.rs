//! The demo jobs and the shipped controls, read from this repository.

use model::files::control::{Code, Does, Function};
use model::files::{Control, Job};
use model::{Files, Source};
use std::path::{Path, PathBuf};

/// A steel pin in millimeters: radial gripper, code system A, counted by a variable.
pub(crate) const PIN: &str = "detent-pin";
/// A brass spacer in inches: axial gripper, code system B, two parts in an advance.
pub(crate) const SPACER: &str = "lamp-spacer";
pub(crate) const CONTROLS: [&str; 3] = [
    "system-a-least-increment.toml",
    "system-a-packed-repeats.toml",
    "system-b-whole-units-counter.toml",
];

struct Folder(PathBuf);

impl Files for Folder {
    fn read(&self, path: &str) -> Result<Source, String> {
        read(&self.0.join(path))
    }

    fn shipped(&self, path: &str) -> Result<Source, String> {
        read(&repository().join("data").join(path))
    }
}

fn repository() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn read(path: &Path) -> Result<Source, String> {
    let bytes = std::fs::read(path).map_err(|error| format!("{}: {error}", path.display()))?;
    Ok(Source::new(path.display().to_string(), bytes))
}

/// A demo job, which must read without any message.
pub(crate) fn demo(name: &str) -> Job {
    let folder = Folder(repository().join("demo").join(name));
    let source = folder.read(&format!("{name}.job.toml")).unwrap();
    let read = Job::read(&source, &folder);
    assert!(read.diagnostics.is_empty(), "{:#?}", read.diagnostics);
    read.value.unwrap()
}

/// A job of the gallery, such as `mm/knob`, which must read without any message.
pub(crate) fn gallery(name: &str) -> Job {
    let (units, part) = name.split_once('/').unwrap();
    let folder = Folder(repository().join("demo/gallery").join(units));
    let source = folder.read(&format!("{part}.job.toml")).unwrap();
    let read = Job::read(&source, &folder);
    assert!(read.diagnostics.is_empty(), "{:#?}", read.diagnostics);
    read.value.unwrap()
}

/// A shipped control, which must read without any message.
pub(crate) fn control(name: &str) -> Control {
    let source = read(&repository().join("data/controls").join(name)).unwrap();
    let read = Control::read(&source);
    assert!(read.diagnostics.is_empty(), "{:#?}", read.diagnostics);
    read.value.unwrap()
}

/// The job with a word that steps the control's part counter, where its control has a counter.
pub(crate) fn with_part_count(mut job: Job) -> Job {
    let word = Code::new('M', 71);
    let control = &mut job.control;
    if control.that(Does::PartCount).is_none() {
        control.functions.push(Function { does: Does::PartCount, word, confirmed: false });
        control.counter.as_mut().unwrap().counted_by = vec![Code::new('M', 30), word];
    }
    job
}
