//! `barwright man`.

use super::{Barwright, Ended, Outcome, Trouble, print};
use crate::files::{NewFile, write_all};
use crate::term;
use clap::{Args, CommandFactory as _};
use clap_mangen::Man as Page;
use std::path::PathBuf;

/// Print the manual page, or write the pages of all commands into a folder.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  barwright man | man -l -\n  barwright man --out /usr/local/share/man/man1"
)]
pub(super) struct Man {
    /// Write one page a command into this folder.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Overwrite pages that are already there.
    #[arg(long, requires = "out")]
    force: bool,
}

impl Man {
    pub(super) fn run(self) -> Ended {
        let pages = pages()?;
        let Some(folder) = self.out else {
            return print(&pages[0].1);
        };
        let files: Vec<_> = pages
            .into_iter()
            .map(|(name, page)| NewFile { path: folder.join(name), bytes: page })
            .collect();
        write_all(&files, self.force)?;
        Ok(Outcome::Fine)
    }
}

/// The page of the program, then the page of each command, each with its file name.
fn pages() -> Result<Vec<(String, Vec<u8>)>, Trouble> {
    let mut program = Barwright::command().disable_help_subcommand(true);
    program.build();
    let mut pages = vec![page(&program)?];
    for command in program.get_subcommands() {
        pages.push(page(command)?);
    }
    Ok(pages)
}

fn page(command: &clap::Command) -> Result<(String, Vec<u8>), Trouble> {
    let page = Page::new(command.clone());
    let mut text = Vec::new();
    page.render(&mut text).map_err(|error| {
        let message = format!("the manual page cannot be made: {}", term::reason(&error));
        Trouble::outside(message, "tell us, with the version of this program")
    })?;
    Ok((page.get_filename(), text))
}
