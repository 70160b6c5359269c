//! The folder that is served: its jobs by name, and files inside it only.

use super::NoShop;
use crate::commands::Trouble;
use crate::files::{NewFile, shipped, write_all};
use crate::term;
use model::{Files, Source};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// How deep below the folder jobs are looked for.
const DEEP: usize = 4;
/// A folder with more files of one kind than this shows so many.
const MOST_FILES: usize = 2000;
/// Larger files are not read.
const LARGEST: u64 = 4_000_000;
/// How the name of a job file ends.
const ENDS: &str = ".job.toml";
/// How the names of programs end.
const PROGRAMS: [&str; 2] = [".nc", ".cnc"];
/// The name of the file of a shop.
const SHOP: &str = "shop.toml";

/// The folder.
#[derive(Debug, Clone)]
pub(super) struct Shelf {
    /// Its path with every link followed.
    root: PathBuf,
    /// The shop's file, where it was named; it may stand elsewhere.
    named_shop: Option<PathBuf>,
}

impl Shelf {
    /// The shelf of a folder, or of a job's folder with the job's name.
    pub(super) fn of(at: &Path) -> Result<(Shelf, Option<String>), Trouble> {
        let path = fs::canonicalize(at).map_err(|error| {
            let message = format!("{} cannot be opened: {}", at.display(), term::reason(&error));
            Trouble::outside(message, "give a folder with jobs, or a job file")
        })?;
        if path.is_dir() {
            return Ok((Shelf { root: path, named_shop: None }, None));
        }
        let job = path
            .file_name()
            .and_then(|name| name.to_str())
            .and_then(|name| name.strip_suffix(ENDS));
        match (path.parent(), job) {
            (Some(folder), Some(job)) => {
                Ok((Shelf { root: folder.to_path_buf(), named_shop: None }, Some(job.to_owned())))
            }
            _ => Err(Trouble::outside(
                format!("{} is neither a folder nor a job file", at.display()),
                "give a folder with jobs, or a file whose name ends in .job.toml",
            )),
        }
    }

    /// The folder itself, with every link followed.
    pub(super) fn root(&self) -> &Path {
        &self.root
    }

    /// The same with a shop's file that was named.
    pub(super) fn with_shop(self, named: Option<PathBuf>) -> Shelf {
        let named = named.map(|path| fs::canonicalize(&path).unwrap_or(path));
        Shelf { named_shop: named, ..self }
    }

    /// The folder's own name.
    pub(super) fn name(&self) -> String {
        self.root
            .file_name()
            .map_or_else(|| "/".to_owned(), |name| name.to_string_lossy().into_owned())
    }

    /// Every job by its name: the path from the folder without its ending.
    pub(super) fn jobs(&self) -> BTreeMap<String, PathBuf> {
        self.named(|path| path.strip_suffix(ENDS).map(str::to_owned))
    }

    /// Every program by its path from the folder.
    pub(super) fn programs(&self) -> BTreeMap<String, PathBuf> {
        let ends = |path: &str| PROGRAMS.iter().any(|end| path.to_ascii_lowercase().ends_with(end));
        self.named(|path| ends(path).then(|| path.to_owned()))
    }

    /// The file of a program: one that was found.
    pub(super) fn program(&self, name: &str) -> Option<PathBuf> {
        self.programs().remove(name)
    }

    /// The file of the shop: the one that was named, else that in the folder itself, else the only one below it,
    /// or the only one there that has lathes.
    pub(super) fn shop(&self) -> Result<PathBuf, NoShop> {
        if let Some(named) = &self.named_shop {
            return Ok(named.clone());
        }
        let own = self.root.join(SHOP);
        if fs::symlink_metadata(&own).is_ok_and(|file| file.is_file()) {
            return Ok(own);
        }
        let is_shop = |path: &str| path.ends_with(&format!("/{SHOP}"));
        let all = self.named(|path| is_shop(path).then(|| path.to_owned()));
        match all.len() {
            0 | 1 => all.into_values().next().ok_or(NoShop::None),
            _ => {
                let has_lathes =
                    |path: &PathBuf| self.read(path).is_ok_and(|text| names_a_lathe(&text));
                let mut with: Vec<&PathBuf> =
                    all.values().filter(|path| has_lathes(path)).collect();
                match (with.pop(), with.is_empty()) {
                    (Some(only), true) => Ok(only.clone()),
                    _ => Err(NoShop::Several(all.into_keys().collect())),
                }
            }
        }
    }

    /// Every file that has a name, by that name; `name` is told the path from the folder.
    fn named(&self, name: impl Fn(&str) -> Option<String>) -> BTreeMap<String, PathBuf> {
        let mut found = BTreeMap::new();
        self.gather(&self.root, DEEP, &name, &mut found);
        found
    }

    fn gather(
        &self,
        folder: &Path,
        deep: usize,
        name: &dyn Fn(&str) -> Option<String>,
        found: &mut BTreeMap<String, PathBuf>,
    ) {
        for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
            let (path, Ok(kind)) = (entry.path(), entry.file_type()) else { continue };
            let hidden = entry.file_name().to_string_lossy().starts_with('.');
            if found.len() >= MOST_FILES || hidden {
                continue;
            }
            // A link is not followed: it may lead out of the folder or in circles.
            if kind.is_dir() && deep > 0 {
                self.gather(&path, deep - 1, name, found);
            } else if let (true, Some(name)) =
                (kind.is_file(), self.inside(&path).and_then(|inside| name(&inside)))
            {
                found.insert(name, path);
            }
        }
    }

    /// A path from the folder.
    fn inside(&self, path: &Path) -> Option<String> {
        let inside = path.strip_prefix(&self.root).ok()?.to_str()?;
        Some(inside.replace(std::path::MAIN_SEPARATOR, "/"))
    }

    /// The file of a job: one that was found, never a path put together from what was asked.
    pub(super) fn job(&self, name: &str) -> Option<PathBuf> {
        self.jobs().remove(name)
    }

    /// The job of this file, by name.
    pub(super) fn name_of(&self, file: &Path, named: &str) -> Option<String> {
        self.job_name(&self.beside(file, named).ok()?)
    }

    /// The name of the job of a file in the folder.
    pub(super) fn job_name(&self, file: &Path) -> Option<String> {
        self.inside(file)?.strip_suffix(ENDS).map(str::to_owned)
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

    /// The file of the shop that a job is reckoned by: the one that was named, else one beside the job, else that
    /// of the folder.
    pub(super) fn shop_of(&self, job: &Path) -> Option<PathBuf> {
        let beside = || fs::canonicalize(job.with_file_name(SHOP)).ok();
        let beside = beside().filter(|path| path.starts_with(&self.root));
        self.named_shop.clone().or(beside).or_else(|| self.shop().ok())
    }

    /// Whether a file may be read and written.
    fn holds(&self, path: &Path) -> bool {
        path.starts_with(&self.root) || self.named_shop.as_deref() == Some(path)
    }

    /// The text of a file inside the folder.
    pub(super) fn read(&self, path: &Path) -> Result<Vec<u8>, String> {
        let shown =
            path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        if !self.holds(path) {
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
        if !self.holds(path) {
            return Err(Trouble::outside("this file is not in the folder that is served", ""));
        }
        write_all(&[NewFile { path: path.to_path_buf(), bytes: text.as_bytes().to_vec() }], true)
    }

    /// Writes a shop file where the folder has none yet.
    pub(super) fn write_shop(&self, text: &str) -> Result<(), Trouble> {
        let file = NewFile { path: self.root.join(SHOP), bytes: text.as_bytes().to_vec() };
        write_all(&[file], false)
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

/// Whether a shop file has a lathe: one for saw and rack alone has none.
fn names_a_lathe(text: &[u8]) -> bool {
    text.split(|byte| *byte == b'\n').any(|line| line.trim_ascii_start().starts_with(b"[[lathe]]"))
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_lies_outside_is_neither_read_nor_written_whoever_asks() {
        let folder = tempfile::tempdir().unwrap();
        let (inside, outside) = (folder.path().join("shop"), folder.path().join("other.toml"));
        fs::create_dir(&inside).unwrap();
        fs::write(&outside, "x").unwrap();
        fs::write(inside.join("own.toml"), "y").unwrap();
        let shelf = Shelf::of(&inside).unwrap().0;
        let own = shelf.root().join("own.toml");
        assert_eq!(shelf.read(&own).unwrap(), b"y");
        shelf.write(&own, "z").unwrap();
        let outside = fs::canonicalize(outside).unwrap();
        assert!(shelf.read(&outside).is_err() && shelf.write(&outside, "z").is_err());
        assert_eq!(fs::read(&outside).unwrap(), b"x");
        let named = shelf.with_shop(Some(outside.clone()));
        assert_eq!(named.read(&outside).unwrap(), b"x", "but for the shop file that was named");
    }
}
