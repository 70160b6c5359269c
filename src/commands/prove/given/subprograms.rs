//! Finds the subprograms that a program calls and nobody named.

use super::{Trouble, source};
use crate::files::Disk;
use model::files::Control;
use model::files::control::RepeatForm;
use nc::program::Library;
use nc::tree::{Block, ItemKind, Tree, Value, Word};
use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io::Read as _;
use std::path::{Path, PathBuf};

/// Largest file that is looked into.
const LARGEST: u64 = 20_000_000;
/// A program's number stands within so many bytes of its file's start.
const HEAD: u64 = 4096;

/// The programs given, with those they call from the main one's folder, and the names of the
/// latter.
pub(in crate::commands) fn library(
    paths: &[PathBuf],
    control: &Control,
) -> Result<(Library, Vec<String>), Trouble> {
    let mut trees = Vec::new();
    for path in paths {
        trees.push(nc::read::read_for(&source(path)?, control));
    }
    let mut found = Vec::new();
    let mut beside: Option<Vec<Tree>> = None;
    loop {
        let missing = missing(&trees, control.repeat);
        let Some(main) = paths.first().filter(|_| !missing.is_empty()) else { break };
        let candidates = beside.get_or_insert_with(|| neighbors(main, paths, control));
        let Some(index) = wanted(&missing, candidates)? else { break };
        let tree = candidates.swap_remove(index);
        found.push(tree.source.name().to_owned());
        trees.push(tree);
    }
    Ok((Library::new(trees), found))
}

/// The first candidate that holds a missing program.
fn wanted(missing: &BTreeSet<u32>, candidates: &[Tree]) -> Result<Option<usize>, Trouble> {
    for number in missing {
        let mut holding = candidates
            .iter()
            .enumerate()
            .filter(|(_, tree)| defines(tree).any(|one| one == *number));
        match (holding.next(), holding.next()) {
            (Some((_, one)), Some((_, other))) => return Err(unclear(*number, one, other)),
            (Some((index, _)), None) => return Ok(Some(index)),
            (None, _) => {}
        }
    }
    Ok(None)
}

fn unclear(number: u32, one: &Tree, other: &Tree) -> Trouble {
    let mut names = [one.source.name(), other.source.name()];
    names.sort_unstable();
    Trouble::outside(
        format!("both {} and {} hold the called program O{number}", names[0], names[1]),
        "name the one that is in the control, after the main program",
    )
}

/// The other programs of the main program's folder.
fn neighbors(main: &Path, given: &[PathBuf], control: &Control) -> Vec<Tree> {
    let folder = main.parent().filter(|folder| !folder.as_os_str().is_empty());
    let folder = folder.unwrap_or(Path::new("."));
    let given: BTreeSet<PathBuf> =
        given.iter().filter_map(|path| path.canonicalize().ok()).collect();
    let mut paths: Vec<PathBuf> = fs::read_dir(folder)
        .into_iter()
        .flatten()
        .flatten()
        .map(|entry| main.with_file_name(entry.file_name()))
        .filter(|path| path.canonicalize().is_ok_and(|path| !given.contains(&path)))
        .filter(|path| starts_as_a_program(path))
        .collect();
    paths.sort();
    // A neighbor that cannot be read is one that is not there: the call stays without a program.
    paths
        .iter()
        .filter_map(|path| Disk::text(path).ok())
        .map(|text| nc::read::read_for(&text, control))
        .collect()
}

/// Whether one of a file's first lines starts with a program number.
fn starts_as_a_program(path: &Path) -> bool {
    let Ok(data) = fs::metadata(path) else { return false };
    if !data.is_file() || data.len() > LARGEST {
        return false;
    }
    let mut head = Vec::new();
    let read = File::open(path).and_then(|file| file.take(HEAD).read_to_end(&mut head));
    read.is_ok()
        && head.split(|byte| *byte == b'\n').any(|line| {
            let line = line.trim_ascii_start();
            matches!(line, [b'O' | b'o' | b':', digit, ..] if digit.is_ascii_digit())
        })
}

/// Called numbers that no tree holds.
fn missing(trees: &[Tree], repeat: RepeatForm) -> BTreeSet<u32> {
    let there: BTreeSet<u32> = trees.iter().flat_map(defines).collect();
    let called = trees.iter().flat_map(|tree| calls(tree, repeat));
    called.filter(|number| !there.contains(number)).collect()
}

/// The numbers of the programs that a file holds.
fn defines(tree: &Tree) -> impl Iterator<Item = u32> {
    tree.items.iter().filter_map(|item| match item.kind {
        ItemKind::Program(number) => Some(number),
        _ => None,
    })
}

/// The programs that a file calls by a plain number.
fn calls(tree: &Tree, repeat: RepeatForm) -> impl Iterator<Item = u32> {
    tree.blocks.iter().flat_map(move |block| {
        let has = |letter, code| numbers(tree, block, letter).any(|number| number == code);
        let plain = has(b'M', 98);
        let packed =
            plain && repeat == RepeatForm::Packed && numbers(tree, block, b'L').next().is_none();
        let called = plain || has(b'G', 65) || has(b'G', 66);
        numbers(tree, block, b'P')
            .filter(move |_| called)
            .map(move |p| if packed && p > 9999 { p % 10_000 } else { p })
    })
}

/// The whole numbers that stand after a letter in a block.
fn numbers(tree: &Tree, block: &Block, letter: u8) -> impl Iterator<Item = u32> {
    tree.items_of(block).iter().filter_map(move |item| match item.kind {
        ItemKind::Word(Word { letter: found, value: Value::Number(number), .. })
            if found == letter =>
        {
            number.whole()
        }
        _ => None,
    })
}
