//! `barwright prove PROGRAM…`.

mod given;
mod picture;

pub(super) use given::{job, library};

use super::{Ended, Outcome, print};
use crate::json;
use crate::term::{self, Color, with_progress};
use clap::{Args, ValueEnum};
use given::Given;
use model::finding::Verdict;
use picture::Picture;
use prove::Proof;
use std::fmt::Write as _;
use std::path::PathBuf;

/// How the proof is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For people.
    Text,
    /// For scripts.
    Json,
    /// For editors and build servers.
    Sarif,
}

/// Run programs on a virtual lathe for a whole bar and say what could go wrong.
///
/// The first program is the main one. Subprograms are taken from the other files given, then from
/// the main program's folder. What is not given is not guessed: it is listed as unproven.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  barwright prove O2080.nc --job pin/pin.job.toml\n  \
        barwright prove old.nc --bar 25x1000mm --lathe lathe.toml --control control.toml")]
pub(super) struct Prove {
    /// The programs; the main one first.
    #[arg(value_name = "PROGRAM", required = true)]
    programs: Vec<PathBuf>,
    /// A job file: it gives all that the following options give, and the part.
    #[arg(long, value_name = "JOB")]
    job: Option<PathBuf>,
    /// A round bar, diameter by length with its unit: 25x1000mm or 1x48in.
    #[arg(long, value_name = "SIZExLENGTH")]
    bar: Option<String>,
    /// A lathe file.
    #[arg(long, value_name = "FILE")]
    lathe: Option<PathBuf>,
    /// A control file.
    #[arg(long, value_name = "FILE")]
    control: Option<PathBuf>,
    /// A gripper file.
    #[arg(long, value_name = "FILE")]
    gripper: Option<PathBuf>,
    /// A tools file.
    #[arg(long, value_name = "FILE")]
    tools: Option<PathBuf>,
    /// A block skip switch that is on, 1 to 9; give it again for another.
    #[arg(long, value_name = "LEVEL", value_parser = clap::value_parser!(u8).range(1..=9))]
    skip: Vec<u8>,
    /// How the proof is shown.
    #[arg(long, value_enum, default_value = "text")]
    format: Format,
    /// The same as --format json.
    #[arg(long)]
    json: bool,
    /// Show too what a stop at each block of a cycle leads to, and what to do then.
    #[arg(long)]
    stops: bool,
    #[command(flatten)]
    picture: Picture,
    /// Compute every move of every cycle anew, even where it is like one before. The proof is the
    /// same and takes longer.
    #[arg(long)]
    no_reuse: bool,
}

impl Prove {
    pub(super) fn run(self) -> Ended {
        let mut given = Given::gather(&self)?;
        given.setup.reuse = !self.no_reuse;
        let proof = with_progress("running the program for a whole bar", || {
            prove::prove(&given.library, &given.setup)
        });
        let picture = self.picture.drawn(&given, &proof)?;
        let format = if self.json { Format::Json } else { self.format };
        let text = match format {
            Format::Json => json::text(&json::proof(&proof, Some(&given.library))),
            Format::Sarif => json::text(&json::sarif(&proof.findings, env!("CARGO_PKG_VERSION"))),
            Format::Text => {
                let wrote = picture.map(|path| format!("wrote {}\n", path.display()));
                self.shown(&proof, &given) + &wrote.unwrap_or_default()
            }
        };
        print(text.as_bytes())?;
        Ok(outcome(proof.verdict))
    }

    fn shown(&self, proof: &Proof, given: &Given) -> String {
        let color = Color::of(&std::io::stdout());
        let mut text = term::proof(proof, given.setup.units);
        for found in &given.found_beside {
            let _ = writeln!(text, "  {:<9} {found}, found beside the main program", "with");
        }
        text.push('\n');
        text += &term::findings(&proof.findings, color);
        text += &term::unproven(&proof.unproven);
        if self.stops {
            text += &term::stops(proof, &given.library);
        }
        text
    }
}

/// The exit code that a verdict deserves.
pub(super) fn outcome(verdict: Verdict) -> Outcome {
    if verdict == Verdict::Stop { Outcome::Stop } else { Outcome::Fine }
}
