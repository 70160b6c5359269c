//! The commands of the program, one a file.

mod completions;
mod explain;
mod handbook;
mod loading;
mod log;
mod man;
mod new;
mod outline;
pub(crate) mod paper;
mod plan;
mod priced;
mod prove;
mod quote;
mod schema;
mod serve;
mod stock;
pub(crate) mod visits;

pub(crate) use log::{
    CONFIDENCE, FEWEST, Judging, Lesson, RISK, SOUND, Series, TaughtEdge, gather_sizes,
    name_program, new_event_id, planned_order, planned_set_up, stop_at,
};
pub(crate) use plan::file as planned_file;

use crate::term;
use clap::{Parser, Subcommand};
use model::Diagnostic;
use std::io::Write as _;

/// Turned parts from bar with a gripper on the turret: plan the bar, prove the program, walk away.
#[derive(Debug, Parser)]
#[command(
    name = "barwright",
    version,
    max_term_width = 100,
    after_help = "Exit codes: 0 fine, 1 a finding of level stop, 2 wrong use or a file that cannot be used.\n\n\
        Guards and interlocks stay on. The manuals of the lathe and the gripper, the rules of your \
        place and the qualified person on site come first; this program does not see the real machine."
)]
pub struct Barwright {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    New(Box<new::New>),
    Outline(outline::Outline),
    Plan(plan::Plan),
    Prove(Box<prove::Prove>),
    Stock(stock::Stock),
    Visits(Box<visits::Visits>),
    Quote(Box<quote::Quote>),
    Loading(loading::Loading),
    Log(Box<log::Log>),
    Serve(serve::Serve),
    Explain(explain::Explain),
    Handbook(handbook::Handbook),
    Schema(schema::Schema),
    Completions(completions::Completions),
    Man(man::Man),
}

/// How a command ended that could do its work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Nothing stands in the way.
    Fine,
    /// At least one finding of level stop.
    Stop,
}

impl Outcome {
    /// The exit code of wrong use and of files that cannot be used.
    pub const BAD_INPUT: u8 = 2;

    /// The exit code.
    pub const fn code(self) -> u8 {
        match self {
            Outcome::Fine => 0,
            Outcome::Stop => 1,
        }
    }
}

/// Why a command could not do its work.
#[derive(Debug)]
pub enum Trouble {
    /// Files that cannot be used as they stand.
    Files(Vec<Diagnostic>),
    /// What a file leaves open, by its name: something must be said on the command line.
    Open(String, Vec<::outline::Question>),
    /// The disk, or wrong use that only the command can see: what is wrong, and what to do.
    Outside(String, String),
}

impl Trouble {
    /// A trouble with its mend, both one sentence.
    pub fn outside(message: impl Into<String>, help: impl Into<String>) -> Trouble {
        Trouble::Outside(message.into(), help.into())
    }
}

/// What a command gives back.
pub type Ended = Result<Outcome, Trouble>;

impl Barwright {
    /// Does what the command line asks for.
    ///
    /// # Errors
    /// Where the work could not be done.
    pub fn run(self) -> Ended {
        match self.command {
            Command::New(command) => command.run(),
            Command::Outline(command) => command.run(),
            Command::Plan(command) => command.run(),
            Command::Prove(command) => command.run(),
            Command::Stock(command) => command.run(),
            Command::Visits(command) => command.run(),
            Command::Quote(command) => command.run(),
            Command::Loading(command) => command.run(),
            Command::Log(command) => command.run(),
            Command::Serve(command) => command.run(),
            Command::Explain(command) => command.run(),
            Command::Handbook(command) => command.run(),
            Command::Schema(command) => command.run(),
            Command::Completions(command) => command.run(),
            Command::Man(command) => command.run(),
        }
    }
}

/// Writes the files of a new job into a folder that is not there yet; its part is that of a drawing, by its
/// name, where one is given.
///
/// # Errors
/// Where the disk refuses.
pub(crate) fn new_job(
    folder: &std::path::Path,
    drawn: Option<(&::outline::Outline, &str)>,
) -> Result<(), Trouble> {
    crate::files::write_all(&new::ready_to_edit(folder, drawn), false)
}

/// A program with those that it calls from its folder.
///
/// # Errors
/// Where one cannot be read, or several could be meant.
pub(crate) fn with_subprograms(
    path: &std::path::Path,
    control: &model::files::Control,
) -> Result<nc::program::Library, Trouble> {
    prove::library(&[path.to_owned()], control).map(|(library, _)| library)
}

/// Writes to standard output; a reader that has gone away is no trouble.
fn print(text: &[u8]) -> Ended {
    let mut out = std::io::stdout().lock();
    match out.write_all(text).and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => Err(Trouble::outside(
            format!("the answer cannot be written: {}", term::reason(&error)),
            "check where the output goes",
        )),
        _ => Ok(Outcome::Fine),
    }
}
