//! What to do after a stop: the program of a set-up, proven once and looked up from then on.

use super::shelf::Around;
use super::{Shared, lay, locked};
use crate::commands;
use model::files::Job;
use model::record::event::SetUp;
use model::record::{LatheNow, Name, Runs};
use nc::program::Library;
use prove::{Proof, Setup};
use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash as _, Hasher as _};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use view::pages::lathe::{After, Known};

/// The proofs of the programs that run, by their lathes, each with what it was proven from.
#[derive(Default)]
pub(super) struct Stops(Mutex<BTreeMap<Name, (u64, Arc<Proven>)>>);

/// A program that was proven.
pub(super) struct Proven {
    proof: Proof,
    library: Library,
}

/// What is known of the stop at a lathe; it lives as long as the proof that it was looked up in.
pub(super) struct Looked {
    proven: Result<(Arc<Proven>, bool), String>,
    block: Option<String>,
    made: Option<u32>,
    stands: bool,
}

impl Looked {
    pub(super) fn at(
        shared: &Shared,
        name: &Name,
        now: &LatheNow,
        job: &Result<Job, String>,
    ) -> Looked {
        let made = now.bar.as_ref().map(|bar| bar.made);
        let Runs::Stopped(_, stopped) = &now.runs else {
            return Looked { proven: Err(String::new()), block: None, made, stands: false };
        };
        let block = stopped.block.as_ref().map(|block| block.text().to_owned());
        let proven = job
            .as_ref()
            .map_err(Clone::clone)
            .and_then(|job| proven(shared, name, &now.set_up, job));
        Looked { proven, block, made, stands: true }
    }

    /// In the words of the page.
    pub(super) fn after(&self) -> After<'_> {
        if !self.stands {
            return After::Runs;
        }
        let (proven, changed) = match &self.proven {
            Ok((proven, changed)) => (proven, *changed),
            Err(why) => return After::Unproven(why.clone()),
        };
        let Some(block) = &self.block else { return After::WhichLine };
        match commands::stop_at(&proven.proof, &proven.library, block, self.made) {
            Some(entry) => {
                let (block, open) = (block.clone(), proven.proof.unproven.len());
                After::Known(Known { block, entry, changed, open })
            }
            None => After::NoSuchLine(block.clone()),
        }
    }
}

/// The proof of a lathe's program, and whether that is another than at the set-up.
fn proven(
    shared: &Shared,
    name: &Name,
    set_up: &SetUp,
    job: &Job,
) -> Result<(Arc<Proven>, bool), String> {
    let named = set_up.program.as_ref().ok_or("the set-up names no program")?;
    let path = inside(shared, Path::new(named.text()))?;
    let plainly = |trouble| crate::term::plainly(&trouble);
    let mut present = SetUp::default();
    commands::name_program(&mut present, &path).map_err(plainly)?;
    let changed = set_up.digest.is_some() && set_up.digest != present.digest;
    let setup = Setup::of(job);
    let library = commands::with_subprograms(&path, &setup.control).map_err(plainly)?;
    let from = sum(&setup, &library);
    let known = locked(&shared.stops.0).get(name).cloned();
    if let Some((_, proven)) = known.filter(|(of, _)| *of == from) {
        return Ok((proven, changed));
    }
    let proof = prove::prove(&library, &setup);
    let proven = Arc::new(Proven { proof, library });
    locked(&shared.stops.0).insert(name.clone(), (from, Arc::clone(&proven)));
    Ok((proven, changed))
}

/// By what a proof is known again: everything that it goes by.
fn sum(setup: &Setup, library: &Library) -> u64 {
    let mut hasher = DefaultHasher::new();
    format!("{setup:?}").hash(&mut hasher);
    for tree in library.trees() {
        tree.source.bytes().hash(&mut hasher);
    }
    hasher.finish()
}

/// A path that the log has, every link followed; only inside the folder that is served.
fn inside(shared: &Shared, path: &Path) -> Result<PathBuf, String> {
    let found = std::fs::canonicalize(path).ok();
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let found = found.filter(|found| found.starts_with(shared.shelf.root()));
    found.ok_or_else(|| format!("{name} of the set-up is not in the folder that is served"))
}

impl Shared {
    /// The job that a lathe is set up for, as its files stand; else why there is none, in words.
    pub(super) fn job_of(&self, set_up: &SetUp) -> Result<Job, String> {
        let named = set_up.job_file.as_ref().ok_or("the set-up names no job file")?;
        self.job_at(&inside(self, Path::new(named.text()))?)
    }

    /// The job file of a set-up, every link followed; only inside the folder.
    pub(super) fn file_of(&self, set_up: &SetUp) -> Option<PathBuf> {
        inside(self, Path::new(set_up.job_file.as_ref()?.text())).ok()
    }

    /// A job of the folder.
    pub(super) fn job_at(&self, path: &Path) -> Result<Job, String> {
        let bytes = self.shelf.read(path)?;
        let around = Around { shelf: &self.shelf, job: path, texts: Vec::new() };
        let name =
            path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        lay::read(&String::from_utf8_lossy(&bytes), &name, &around).map_err(|list| {
            let first = list.first().map_or("", |one| one.message.as_str());
            format!("{name} cannot be used: {first}")
        })
    }
}
