//! The folder that is served: its jobs by name, and files inside it only.

use crate::commands::Trouble;
use crate::files::{NewFile, shipped, write_all};
use crate::term;
use model::{Files, Source};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// How deep below the folder jobs are looked for.
const DEEP: usize = 4;
/// A folder with more jobs than this shows so many.
const MOST_JOBS: usize = 2000;
/// Larger files are not read.
const LARGEST: u64 = 4_000_000;
/// How the name of a job file ends.
const ENDS: &str = ".job.toml";
/// The name of the file of a shop.
const SHOP: &str = "shop.toml";

/// The folder.
#[derive(Debug, Clone)]
pub(super) struct Shelf {
    /// Its path with every link followed.
    root: PathBuf,
}

impl Shelf {
    /// The shelf of a folder, or of a job's folder with the job's name.
    pub(super) fn of(at: &Path) -> Result<(Shelf, Option<String>), Trouble> {
        let path = fs::canonicalize(at).map_err(|error| {
            let message = format!("{} cannot be opened: {}", at.display(), term::reason(&error));
            Trouble::outside(message, "give a folder with jobs, or a job file")
        })?;
        if path.is_dir() {
            return Ok((Shelf { root: path }, None));
        }
        let job = path
            .file_name()
            .and_then(|name| name.to_str())
            .and_then(|name| name.strip_suffix(ENDS));
        match (path.parent(), job) {
            (Some(folder), Some(job)) => {
                Ok((Shelf { root: folder.to_path_buf() }, Some(job.to_owned())))
            }
            _ => Err(Trouble::outside(
                format!("{} is neither a folder nor a job file", at.display()),
                "give a folder with jobs, or a file whose name ends in .job.toml",
            )),
        }
    }

    /// The folder's own name.
    pub(super) fn name(&self) -> String {
        self.root
            .file_name()
            .map_or_else(|| "/".to_owned(), |name| name.to_string_lossy().into_owned())
    }

    /// Every job by its name: the path from the folder without its ending.
    pub(super) fn jobs(&self) -> BTreeMap<String, PathBuf> {
        let mut jobs = BTreeMap::new();
        self.gather(&self.root, DEEP, &mut jobs);
        jobs
    }

    fn gather(&self, folder: &Path, deep: usize, jobs: &mut BTreeMap<String, PathBuf>) {
        for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
            let (path, Ok(kind)) = (entry.path(), entry.file_type()) else { continue };
            let hidden = entry.file_name().to_string_lossy().starts_with('.');
            if jobs.len() >= MOST_JOBS || hidden {
                continue;
            }
            // A link is not followed: it may lead out of the folder or in circles.
            if kind.is_dir() && deep > 0 {
                self.gather(&path, deep - 1, jobs);
            } else if let (true, Some(name)) = (kind.is_file(), self.job_name(&path)) {
                jobs.insert(name, path);
            }
        }
    }

    fn job_name(&self, path: &Path) -> Option<String> {
        let inside =
            path.strip_prefix(&self.root).ok()?.to_str()?.replace(std::path::MAIN_SEPARATOR, "/");
        inside.strip_suffix(ENDS).map(str::to_owned)
    }

    /// The file of a job: one that was found, never a path put together from what was asked.
    pub(super) fn job(&self, name: &str) -> Option<PathBuf> {
        self.jobs().remove(name)
    }

    /// A file that another one names, every link followed; only inside the folder.
    pub(super) fn beside(&self, file: &Path, named: &str) -> Result<PathBuf, String> {
        let folder = file.parent().unwrap_or(&self.root);
        let outside = || format!("{named} is not in the folder that is served");
        let path = fs::canonicalize(folder.join(named)).map_err(|error| {
            let why = term::reason(&error);
            // Whether something stands outside the folder is nobody's business.
            if named.contains("..") || Path::new(named).is_absolute() {
                outside()
            } else {
                format!("{named} cannot be read: {why}")
            }
        })?;
        if path.starts_with(&self.root) { Ok(path) } else { Err(outside()) }
    }

    /// The file of the shop that a job is reckoned by: beside it, else in the folder itself.
    pub(super) fn shop_of(&self, job: &Path) -> Option<PathBuf> {
        let places = [job.parent(), Some(self.root.as_path())];
        // Links are followed as for every file that a job names: only inside the folder.
        let found = places.into_iter().flatten().map(|folder| fs::canonicalize(folder.join(SHOP)));
        found.flatten().find(|path| path.starts_with(&self.root))
    }

    /// The text of a file inside the folder.
    pub(super) fn read(&self, path: &Path) -> Result<Vec<u8>, String> {
        let shown =
            path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        if !path.starts_with(&self.root) {
            return Err(format!("{shown} is not in the folder that is served"));
        }
        let refused =
            |error: std::io::Error| format!("{shown} cannot be read: {}", term::reason(&error));
        if fs::metadata(path).map_err(refused)?.len() > LARGEST {
            return Err(format!("{shown} is too large to be a file of a job"));
        }
        fs::read(path).map_err(refused)
    }

    /// Writes a file inside the folder, whole or not at all.
    pub(super) fn write(&self, path: &Path, text: &str) -> Result<(), Trouble> {
        if !path.starts_with(&self.root) {
            return Err(Trouble::outside("this file is not in the folder that is served", ""));
        }
        write_all(&[NewFile { path: path.to_path_buf(), bytes: text.as_bytes().to_vec() }], true)
    }

    /// A place for a new job's folder; none for a name that is not plain or is taken.
    pub(super) fn place_for(&self, name: &str) -> Option<PathBuf> {
        let plain = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | ' ');
        let good = !name.is_empty()
            && name.chars().all(plain)
            && name.starts_with(char::is_alphanumeric)
            && name.chars().count() <= 60;
        let path = self.root.join(name.trim());
        (good && !path.exists()).then_some(path)
    }
}

/// The files around one job as its desk has them, those of the folder where it has none.
pub(super) struct Around<'a> {
    pub(super) shelf: &'a Shelf,
    pub(super) job: &'a Path,
    /// Texts by the name under which the job names them.
    pub(super) texts: Vec<(&'a str, &'a str)>,
}

impl Files for Around<'_> {
    fn read(&self, path: &str) -> Result<Source, String> {
        if let Some((name, text)) = self.texts.iter().find(|(name, _)| *name == path) {
            return Ok(Source::new(*name, text.as_bytes()));
        }
        let file = self.shelf.beside(self.job, path)?;
        Ok(Source::new(path, self.shelf.read(&file)?))
    }

    fn shipped(&self, path: &str) -> Result<Source, String> {
        shipped(path)
    }
}
