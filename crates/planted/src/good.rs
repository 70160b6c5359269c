//! Good programs: what mistakes are planted into, and on which a proof must raise no alarm.

pub mod hand;
pub mod jobs;
mod variation;

use model::{Files, Source};
use nc::program::Library;
use nc::tree::Tree;
use prove::{Proof, Setup};
use std::path::{Path, PathBuf};

/// One file of a program.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Text {
    /// Its name.
    pub name: String,
    /// What stands in it.
    pub text: String,
}

/// Who wrote a program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Writer {
    /// The planner, for an invented job.
    Plan,
    /// A person, or a variation of what a person wrote.
    Hand,
}

/// A program that is right, with all that is known of its shop.
#[derive(Debug, Clone)]
pub struct Good {
    /// What it is called in the score.
    pub name: String,
    /// Who wrote it.
    pub writer: Writer,
    /// Its files, the main one first.
    pub texts: Vec<Text>,
    /// The shop.
    pub setup: Setup,
}

impl Good {
    /// The files as trees.
    pub fn trees(&self) -> Vec<Tree> {
        trees(&self.texts, &self.setup)
    }

    /// Its proof.
    pub fn proof(&self) -> Proof {
        prove_texts(&self.texts, &self.setup)
    }
}

fn trees(texts: &[Text], setup: &Setup) -> Vec<Tree> {
    let source = |text: &Text| Source::new(text.name.clone(), text.text.as_bytes());
    texts.iter().map(|text| nc::read::read_for(&source(text), &setup.control)).collect()
}

/// Proves texts in a shop.
pub fn prove_texts(texts: &[Text], setup: &Setup) -> Proof {
    prove::prove(&Library::new(trees(texts, setup)), setup)
}

/// All good programs, the same every time: so many invented jobs, and all that people wrote with
/// so many variations of each.
pub fn all(jobs: usize, variations: usize) -> Vec<Good> {
    let mut all: Vec<Good> = (0..).map_while(jobs::good).take(jobs).collect();
    all.extend(hand::all(variations));
    all
}

/// The folder of the whole project.
pub fn repository() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// The text of a file of the project.
#[allow(clippy::disallowed_methods, reason = "for developers: reads the project's own files")]
pub(crate) fn file(path: &Path) -> Result<String, String> {
    std::fs::read_to_string(path).map_err(|error| format!("{}: {error}", path.display()))
}

/// Files in memory before those of a folder, and what ships.
pub(crate) struct Folder {
    pub(crate) files: Vec<(&'static str, String)>,
    pub(crate) folder: PathBuf,
}

impl Files for Folder {
    fn read(&self, path: &str) -> Result<Source, String> {
        if let Some((_, text)) = self.files.iter().find(|(name, _)| *name == path) {
            return Ok(Source::new(path, text.as_bytes()));
        }
        Ok(Source::new(path, file(&self.folder.join(path))?))
    }

    fn shipped(&self, path: &str) -> Result<Source, String> {
        Ok(Source::new(path, file(&repository().join("data").join(path))?))
    }
}
