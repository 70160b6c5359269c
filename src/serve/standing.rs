//! The shop as its files stand, and whether they still do.

use super::shelf::{Around, Shelf};
use crate::attend::{Gathered, gather};
use crate::commands::Trouble;
use crate::files::Disk;
use model::{Files, Source};
use std::cell::RefCell;
use std::hash::{DefaultHasher, Hash as _, Hasher as _};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A shop as its files stand.
#[derive(Clone)]
pub(super) struct Standing {
    pub(super) path: PathBuf,
    pub(super) read: Result<Arc<Gathered>, Arc<Trouble>>,
    /// What was read of it.
    own: u64,
    /// What was read of each other file, by the name under which the shop file leads to it.
    seen: Arc<Vec<(String, u64)>>,
}

/// The files around the shop file, with what was read of them.
struct Seeing<'a> {
    around: Around<'a>,
    seen: RefCell<Vec<(String, u64)>>,
}

fn digest(read: &Result<Source, String>) -> u64 {
    let mut hasher = DefaultHasher::new();
    match read {
        Ok(source) => source.bytes().hash(&mut hasher),
        Err(why) => why.hash(&mut hasher),
    }
    hasher.finish()
}

impl Files for Seeing<'_> {
    fn read(&self, path: &str) -> Result<Source, String> {
        let read = self.around.read(path);
        self.seen.borrow_mut().push((path.to_owned(), digest(&read)));
        read
    }

    fn shipped(&self, path: &str) -> Result<Source, String> {
        self.around.shipped(path)
    }
}

pub(super) fn around<'a>(folder: &'a Shelf, path: &'a Path) -> Around<'a> {
    Around { shelf: folder, job: path, texts: Vec::new() }
}

/// The shop file by its own name. It may lie elsewhere, where it was named.
fn shop_text(path: &Path) -> Result<Source, String> {
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned());
    Ok(Source::new(name.unwrap_or_default(), Disk::text(path)?.bytes()))
}

impl Standing {
    pub(super) fn read(folder: &Shelf, path: PathBuf) -> Standing {
        let seeing = Seeing { around: around(folder, &path), seen: RefCell::default() };
        let text = shop_text(&path);
        let own = digest(&text);
        let read = text
            .map_err(|why| Trouble::outside(why, "check the file"))
            .and_then(|source| gather::shop(&source))
            .and_then(|shop| gather::gather(&seeing, shop));
        let seen = Arc::new(seeing.seen.into_inner());
        Standing { read: read.map(Arc::new).map_err(Arc::new), own, seen, path }
    }

    pub(super) fn is_as_on_disk(&self, folder: &Shelf) -> bool {
        let around = around(folder, &self.path);
        digest(&shop_text(&self.path)) == self.own
            && self.seen.iter().all(|(name, seen)| digest(&around.read(name)) == *seen)
    }
}
