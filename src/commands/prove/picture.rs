//! `--picture BLOCK`: the cross-section of one block as a file.

use super::super::Trouble;
use super::given::Given;
use crate::files::{NewFile, write_all};
use clap::Args;
use prove::Proof;
use prove::playback::{Frame, Playback};
use std::path::{Path, PathBuf};
use view::pictures::cross_section::{self, CrossSection};

/// Options of a picture.
#[derive(Debug, Args)]
pub(super) struct Picture {
    /// Draw what the block on this line does to the bar, as a cross-section in an SVG file: a line
    /// of the main program, such as 34, or of another file, such as O2081.nc:7.
    #[arg(long = "picture", value_name = "BLOCK")]
    block: Option<String>,
    /// The cycle of the picture; left out, the second, or the first in which the block does
    /// something.
    #[arg(long, value_name = "NUMBER", requires = "block")]
    #[arg(value_parser = clap::value_parser!(u32).range(1..))]
    cycle: Option<u32>,
    /// Where the picture goes; left out, PROGRAM-line-BLOCK.svg in the present folder.
    #[arg(long, value_name = "FILE", requires = "block")]
    out: Option<PathBuf>,
    /// Overwrite what stands there.
    #[arg(long, requires = "block")]
    force: bool,
}

impl Picture {
    /// Draws the block, where one is asked for, and writes the picture; gives where it is.
    pub(super) fn drawn(&self, given: &Given, proof: &Proof) -> Result<Option<PathBuf>, Trouble> {
        let Some(block) = &self.block else { return Ok(None) };
        let (tree, line) = place(block, given)?;
        let source = &given.library.trees()[tree].source;
        let name = Path::new(source.name()).file_name().unwrap_or_default().to_string_lossy();
        let (playback, frames) =
            self.played(given, proof, tree, line).ok_or_else(|| self.moves_nothing(line, &name))?;
        let shown = CrossSection {
            playback: &playback,
            frames: &frames,
            place: &format!("{name} line {line}"),
            written: &source.text_of(source.line(line)),
            units: given.setup.units,
        };
        let scene = cross_section::scene(&shown).ok_or_else(|| self.moves_nothing(line, &name))?;
        let stem = Path::new(&*name).file_stem().unwrap_or_default().to_string_lossy();
        let beside = || PathBuf::from(format!("{stem}-line-{line}.svg"));
        let path = self.out.clone().unwrap_or_else(beside);
        let bytes = view::svg::write(&scene).into_bytes();
        write_all(&[NewFile { path: path.clone(), bytes }], self.force)?;
        Ok(Some(path))
    }

    /// The cycle in which the line is seen, and what it does there.
    fn played(
        &self,
        given: &Given,
        proof: &Proof,
        tree: usize,
        line: u32,
    ) -> Option<(Playback, Vec<Frame>)> {
        // The second cycle is the first that runs evenly; what stands in front of the loop is in
        // the first, and what stands behind it in the last.
        let last = proof.parts.max(1);
        let cycles = self.cycle.map_or(vec![2, 1, last, last + 1], |cycle| vec![cycle]);
        cycles.into_iter().find_map(|cycle| {
            let playback = Playback::of(&given.library, &given.setup, cycle);
            let frames = of_line(&playback, given, tree, line);
            (!frames.is_empty()).then_some((playback, frames))
        })
    }

    fn moves_nothing(&self, line: u32, name: &str) -> Trouble {
        let cycle = self.cycle.map_or(String::new(), |cycle| format!(" in cycle {cycle}"));
        Trouble::outside(
            format!("line {line} of {name} moves nothing{cycle}"),
            "name a line with a move, or another cycle with --cycle",
        )
    }
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
