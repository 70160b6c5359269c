//! What a proof is given: the programs, and the files about lathe, bar and part.

use super::super::Trouble;
use super::Prove;
use crate::files::{Disk, shipped};
use model::files::job::{Bar, BarShape, Job};
use model::files::{Control, Gripper, Lathe, Read, Tools};
use model::{Length, Source, Units};
use nc::program::Library;
use nc::tree::{ItemKind, Tree, Value, Word};
use prove::Setup;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// The control that stands in where none is named; a proof then says so.
const PLAIN_CONTROL: &str = "controls/system-a-least-increment.toml";
/// Largest file that is looked into for a missing subprogram.
const LARGEST_NEIGHBOR: u64 = 20_000_000;

/// Everything a proof goes by.
pub(super) struct Given {
    pub(super) library: Library,
    pub(super) setup: Setup,
}

impl Given {
    pub(super) fn gather(prove: &Prove) -> Result<Given, Trouble> {
        let mut setup = match &prove.job {
            Some(path) => Setup::of(&job(path)?),
            None => Setup::bare(plain_control()?),
        };
        if let Some(path) = &prove.control {
            (setup.control, setup.control_named) = (file(path, Control::read)?, true);
        }
        if let Some(path) = &prove.lathe {
            setup.lathe = Some(file(path, Lathe::read)?);
        }
        if let Some(path) = &prove.gripper {
            setup.gripper = Some(file(path, Gripper::read)?);
        }
        if let Some(path) = &prove.tools {
            setup.tools = Some(file(path, Tools::read)?);
        }
        if let Some(text) = &prove.bar {
            let (bar, units) = bar(text)?;
            (setup.bar, setup.bar_place, setup.units) = (Some(bar), None, units);
        }
        Ok(Given { library: library(&prove.programs)?, setup })
    }
}

/// Reads a job with all its files.
pub(in crate::commands) fn job(path: &Path) -> Result<Job, Trouble> {
    let read = Job::read(&source(path)?, &Disk::beside(path));
    read.value.ok_or(Trouble::Files(read.diagnostics))
}

fn plain_control() -> Result<Control, Trouble> {
    let source = shipped(PLAIN_CONTROL).map_err(|why| Trouble::outside(why, ""))?;
    let read = Control::read(&source);
    read.value.ok_or(Trouble::Files(read.diagnostics))
}

fn source(path: &Path) -> Result<Source, Trouble> {
    Disk::text(path).map_err(|why| Trouble::outside(why, "check the path"))
}

fn file<T>(path: &Path, read: impl FnOnce(&Source) -> Read<T>) -> Result<T, Trouble> {
    let read = read(&source(path)?);
    read.value.ok_or(Trouble::Files(read.diagnostics))
}

/// `25x1000mm` or `1x48in`.
fn bar(text: &str) -> Result<(Bar, Units), Trouble> {
    let wrong = || {
        let message = format!("{text} is not a bar");
        Trouble::outside(
            message,
            "write diameter by length with the unit, such as 25x1000mm or 1x48in",
        )
    };
    let lower = text.to_ascii_lowercase();
    let units = if lower.ends_with("mm") { Units::Mm } else { Units::Inch };
    let bare = lower.strip_suffix("mm").or(lower.strip_suffix("in")).ok_or_else(wrong)?;
    let (size, length) = bare.split_once('x').ok_or_else(wrong)?;
    let read =
        |text: &str| Length::parse_with_unit(text, units).ok().filter(|one| one.is_positive());
    let (size, length) = (read(size).ok_or_else(wrong)?, read(length).ok_or_else(wrong)?);
    let bar = Bar {
        material: String::new(),
        shape: BarShape::Round,
        size,
        length,
        length_tolerance: Length::ZERO,
        rear_margin: Length::ZERO,
        stock_length: None,
        saw_kerf: Length::ZERO,
        end_trim: Length::ZERO,
    };
    Ok((bar, units))
}

/// The programs given, and from the main one's folder those that they call.
fn library(paths: &[PathBuf]) -> Result<Library, Trouble> {
    let mut trees = Vec::new();
    for path in paths {
        trees.push(nc::read::read(&source(path)?));
    }
    let mut missing = missing(&trees);
    if let (false, Some(main)) = (missing.is_empty(), paths.first()) {
        for neighbor in neighbors(main, paths) {
            let Ok(source) = Disk::text(&neighbor) else { continue };
            let tree = nc::read::read(&source);
            if defines(&tree).iter().any(|number| missing.contains(number)) {
                trees.push(tree);
                missing = self::missing(&trees);
            }
        }
    }
    Ok(Library::new(trees))
}

fn neighbors(main: &Path, given: &[PathBuf]) -> Vec<PathBuf> {
    let folder = main.parent().filter(|folder| !folder.as_os_str().is_empty());
    let Ok(entries) = std::fs::read_dir(folder.unwrap_or(Path::new("."))) else {
        return Vec::new();
    };
    let mut files: Vec<PathBuf> = entries
        .flatten()
        .filter(|entry| {
            entry.metadata().is_ok_and(|data| data.is_file() && data.len() <= LARGEST_NEIGHBOR)
        })
        .map(|entry| entry.path())
        .filter(|path| !given.iter().any(|given| given.file_name() == path.file_name()))
        .collect();
    files.sort();
    files
}

fn missing(trees: &[Tree]) -> BTreeSet<u32> {
    let there: BTreeSet<u32> = trees.iter().flat_map(defines).collect();
    let called = trees.iter().flat_map(calls);
    called
        .flat_map(|number| [number, number % 10_000])
        .filter(|number| !there.contains(number))
        .collect()
}

/// The numbers of the programs that a file holds.
fn defines(tree: &Tree) -> BTreeSet<u32> {
    let numbers = tree.items.iter().filter_map(|item| match item.kind {
        ItemKind::Program(number) => Some(number),
        _ => None,
    });
    numbers.collect()
}

/// The programs that a file calls by a plain number.
fn calls(tree: &Tree) -> Vec<u32> {
    let mut numbers = Vec::new();
    for block in &tree.blocks {
        let value =
            |letter: u8| {
                tree.items_of(block).iter().find_map(|item| match item.kind {
                    ItemKind::Word(Word {
                        letter: found, value: Value::Number(number), ..
                    }) if found == letter => number.whole(),
                    _ => None,
                })
            };
        if value(b'M') == Some(98) {
            numbers.extend(value(b'P'));
        }
    }
    numbers
}
