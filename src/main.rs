//! Reads the command line, runs the command, and gives its exit code.
#![forbid(unsafe_code)]

use barwright::commands::{Barwright, Outcome};
use barwright::term;
use clap::Parser as _;
use std::process::ExitCode;

fn main() -> ExitCode {
    match Barwright::parse().run() {
        Ok(outcome) => ExitCode::from(outcome.code()),
        Err(trouble) => {
            term::complain(&trouble);
            ExitCode::from(Outcome::BAD_INPUT)
        }
    }
}
