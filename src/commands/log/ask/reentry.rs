//! What to do after a stop: the re-entry table of the program that runs.

use super::super::given::{Shop, lathe};
use super::super::set_up::digest_of;
use crate::commands::prove::{job as job_of, library};
use crate::commands::{Ended, Trouble, print};
use crate::{json, term};
use clap::Args;
use model::record::{LatheNow, Name, Runs};
use nc::program::Library;
use prove::reentry::Entry;
use prove::{Proof, Setup};
use serde_json::json;
use std::path::{Path, PathBuf};

/// What to do after the stop of a lathe: what holds the bar, what a start from the top would do, what to do instead.
///
/// The program that the set-up named is proven anew, and the block at which the lathe stopped is looked up among
/// its stops; without a block, the table of all stops is shown. The person on site decides.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright log after \"Lathe 1\" --block 34")]
pub(in super::super) struct After {
    /// The lathe.
    #[arg(value_name = "LATHE")]
    lathe: String,
    /// The line that was not done: 34, or O2081.nc:7; left out, as it was recorded with the stop.
    #[arg(long, value_name = "BLOCK")]
    block: Option<String>,
}

impl After {
    pub(in super::super) fn run(self, shop: &Shop) -> Ended {
        let (_, live) = shop.live()?;
        let name = lathe(live.state(), &self.lathe)?;
        let Some(now) = live.state().lathes.get(&name) else {
            return Err(Trouble::outside(format!("the log has no lathe {name}"), ""));
        };
        let (program, changed) = program_of(&name, now)?;
        let (proof, library) = proven(now, &program)?;
        let recorded = match &now.runs {
            Runs::Stopped(_, stopped) => stopped.block.clone(),
            _ => None,
        };
        let block = self.block.or_else(|| recorded.map(|block| block.text().to_owned()));
        let made = now.bar.as_ref().map(|bar| bar.made);
        let entry =
            block.as_ref().map(|block| entry_of(&proof, &library, block, made)).transpose()?;
        let text = if shop.json {
            json::text(&json!({
                "lathe": name.text(),
                "program": program.display().to_string(),
                "program_changed": changed,
                "made_of_bar": made,
                "stop": entry.map(|entry| json::log::stop(entry, &library)),
                "stops": if entry.is_some() { json!(null) } else {
                    proof.entries.iter().map(|entry| json::log::stop(entry, &library)).collect()
                },
            }))
        } else {
            let mut text = String::new();
            if changed {
                text += "CAUTION: the program has changed since the set-up; what is said here is of the program as it is now.\n\n";
            }
            text + &match entry {
                Some(entry) => term::log::after(&name, now, entry, block.as_deref().unwrap_or("")),
                None => term::stops(&proof, &library),
            }
        };
        print(text.as_bytes())
    }
}

/// The program of a set-up, and whether it is another than at the set-up.
fn program_of(lathe: &Name, now: &LatheNow) -> Result<(PathBuf, bool), Trouble> {
    let Some(program) = &now.set_up.program else {
        return Err(Trouble::outside(
            format!("the set-up of {lathe} names no program"),
            "record it with `barwright log setup … --plan JOB --program FILE`; \
             `barwright prove FILE --job JOB --stops` shows the stops of any program",
        ));
    };
    let path = PathBuf::from(program.text());
    let digest = digest_of(&path)?;
    Ok((path, now.set_up.digest.as_ref().is_some_and(|known| *known != digest)))
}

fn proven(now: &LatheNow, program: &Path) -> Result<(Proof, Library), Trouble> {
    let Some(job) = &now.set_up.job_file else {
        return Err(Trouble::outside(
            "the set-up names no job file: which chuck, gripper and control it is for is not known",
            "record the set-up with --plan JOB",
        ));
    };
    let setup = Setup::of(&job_of(Path::new(job.text()))?);
    let (library, _) = library(&[program.to_owned()], &setup.control)?;
    let proof = term::with_progress("running the program for a whole bar", || {
        prove::prove(&library, &setup)
    });
    Ok((proof, library))
}

/// The stop at a block, which must be one of the program's.
fn entry_of<'p>(
    proof: &'p Proof,
    library: &Library,
    block: &str,
    made: Option<u32>,
) -> Result<&'p Entry, Trouble> {
    stop_at(proof, library, block, made).ok_or_else(|| {
        Trouble::outside(
            format!("no cycle stops at block {block}"),
            "name the line of the main program that was not done, such as 34, or a line of another file, \
             such as O2081.nc:7; without --block all stops are shown",
        )
    })
}

/// The stop at a block: that of the last cycle where the log says that the bar is in it, else of a cycle before.
pub(crate) fn stop_at<'p>(
    proof: &'p Proof,
    library: &Library,
    block: &str,
    made: Option<u32>,
) -> Option<&'p Entry> {
    let (file, line) = match block.rsplit_once(':') {
        Some((file, line)) => (Some(file), line),
        None => (None, block),
    };
    let line = line.trim_start_matches(['N', 'n']).parse::<u32>().ok()?;
    let here = |entry: &&Entry| {
        let Some(tree) = library.trees().get(entry.spot.tree as usize) else { return false };
        let main = entry.spot.tree as usize == library.program(library.main()).tree;
        let file = file.map_or(main, |file| Path::new(tree.source.name()).ends_with(file));
        file && tree.source.locate(entry.spot.span.start).line == line
    };
    let all: Vec<&Entry> = proof.entries.iter().filter(here).collect();
    let last = |entry: &&&Entry| made.is_some_and(|made| made + 1 >= entry.parts);
    all.iter().rev().find(last).or_else(|| all.first()).copied()
}
