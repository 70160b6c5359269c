//! What the typesetter may see: the template, the sheet's data and the fonts, and nothing else.

use std::sync::LazyLock;
use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Dict, Duration};
use typst::syntax::{FileId, Source};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt};

/// The template.
const TEMPLATE: &str = include_str!("sheet.typ");

/// The fonts: one narrow face for words in two weights, one for what stands in a program.
static FONTS: LazyLock<Vec<Font>> = LazyLock::new(|| {
    let files = [
        dejavu::sans_condensed::regular(),
        dejavu::sans_condensed::bold(),
        dejavu::sans_mono::regular(),
    ];
    files.into_iter().flat_map(|file| Font::iter(Bytes::new(file))).collect()
});

pub(crate) struct World {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    main: Source,
}

impl World {
    pub(crate) fn new(inputs: Dict) -> World {
        World {
            library: LazyHash::new(Library::builder().with_inputs(inputs).build()),
            book: LazyHash::new(FontBook::from_fonts(FONTS.iter())),
            main: Source::detached(TEMPLATE),
        }
    }
}

impl typst::World for World {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.book
    }

    fn main(&self) -> FileId {
        self.main.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.main.id() { Ok(self.main.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn file(&self, _: FileId) -> FileResult<Bytes> {
        Err(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
