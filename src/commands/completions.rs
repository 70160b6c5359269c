//! `barwright completions SHELL`.

use super::{Barwright, Ended, print};
use clap::{Args, CommandFactory as _};
use clap_complete::Shell;

/// Print what a shell needs to complete commands with the Tab key.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  barwright completions bash > ~/.local/share/bash-completion/completions/barwright"
)]
pub(super) struct Completions {
    /// Which shell.
    #[arg(value_name = "SHELL")]
    shell: Shell,
}

impl Completions {
    pub(super) fn run(self) -> Ended {
        let mut text = Vec::new();
        clap_complete::generate(self.shell, &mut Barwright::command(), "barwright", &mut text);
        print(&text)
    }
}
