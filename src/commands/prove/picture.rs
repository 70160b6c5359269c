//! `--picture BLOCK`: the cross-section of one block as a file.

use super::super::Trouble;
use super::given::Given;
use crate::files::{NewFile, write_all};
use prove::Proof;
use prove::playback::{Frame, Playback};
use std::path::{Path, PathBuf};
use view::pictures::cross_section::{self, CrossSection};

/// Which block is to be seen, and where the picture goes.
pub(super) struct Wanted<'w> {
    /// A line, or FILE:LINE.
    pub(super) block: &'w str,
    /// In this cycle; none for the first that is worth seeing.
    pub(super) cycle: Option<u32>,
    pub(super) out: Option<&'w Path>,
    pub(super) force: bool,
}

/// Draws the block and writes the picture; gives where it is.
pub(super) fn write(wanted: &Wanted<'_>, given: &Given, proof: &Proof) -> Result<PathBuf, Trouble> {
    let (tree, line) = place(wanted.block, given)?;
    let source = &given.library.trees()[tree].source;
    let name = Path::new(source.name()).file_name().unwrap_or_default().to_string_lossy();
    // The second cycle is the first that runs evenly; what stands in front of the loop is in the
    // first, and what stands behind it in the last.
    let last = proof.parts.max(1);
    let cycles = wanted.cycle.map_or(vec![2, 1, last, last + 1], |cycle| vec![cycle]);
    let seen = cycles.into_iter().find_map(|cycle| {
        let playback = Playback::of(&given.library, &given.setup, cycle);
        let frames = of_line(&playback, given, tree, line);
        (!frames.is_empty()).then_some((playback, frames))
    });
    let Some((playback, frames)) = seen else {
        let cycle = wanted.cycle.map_or(String::new(), |cycle| format!(" in cycle {cycle}"));
        return Err(Trouble::outside(
            format!("line {line} of {name} moves nothing{cycle}"),
            "name a line with a move, or another cycle with --cycle",
        ));
    };
    let shown = CrossSection {
        playback: &playback,
        frames: &frames,
        place: &format!("{name} line {line}"),
        written: &source.text_of(source.line(line)),
        units: given.setup.units,
    };
    let Some(scene) = cross_section::scene(&shown) else {
        return Err(Trouble::outside(
            format!("line {line} of {name} moves nothing"),
            "name a line with a move",
        ));
    };
    let stem = Path::new(&*name).file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let beside = || PathBuf::from(format!("{stem}-line-{line}.svg"));
    let path = wanted.out.map_or_else(beside, Path::to_path_buf);
    let bytes = view::svg::write(&scene).into_bytes();
    write_all(&[NewFile { path: path.clone(), bytes }], wanted.force)?;
    Ok(path)
}

fn of_line(playback: &Playback, given: &Given, tree: usize, line: u32) -> Vec<Frame> {
    let tree_read = &given.library.trees()[tree];
    let on_line = |block: u32| {
        let block = tree_read.blocks.get(block as usize);
        block.is_some_and(|block| tree_read.source.locate(block.span.start).line == line)
    };
    let here = |frame: &&Frame| frame.spot.tree as usize == tree && on_line(frame.spot.block);
    playback.frames.iter().filter(here).copied().collect()
}

/// The file and line that a person named.
fn place(block: &str, given: &Given) -> Result<(usize, u32), Trouble> {
    let (file, line) = match block.rsplit_once(':') {
        Some((file, line)) => (Some(file), line),
        None => (None, block),
    };
    let trees = given.library.trees();
    let ends_so =
        |file: &str| trees.iter().position(|tree| Path::new(tree.source.name()).ends_with(file));
    let main = given.library.program(given.library.main()).tree;
    let tree = file.map_or(Some(main), ends_so);
    let line = line.parse::<u32>().ok();
    match tree.zip(line) {
        Some((tree, line)) if (1..=trees[tree].source.lines()).contains(&line) => Ok((tree, line)),
        _ => Err(Trouble::outside(
            format!("there is no block at {block}"),
            "name a line of the main program, such as 34, or a line of another file, such as O2081.nc:7",
        )),
    }
}
