//! `barwright log …`: what really happened at the lathes.

mod ask;
mod book;
mod correct;
mod follow;
mod followed;
mod given;
mod keep;
mod made;
mod rack;
mod set_up;
mod stops;

pub(crate) use ask::gauged::{
    CONFIDENCE, FEWEST, Judging, RISK, SOUND, Series, gather as gather_sizes,
};
pub(crate) use ask::{Lesson, TaughtEdge, stop_at};
pub(crate) use book::new_id as new_event_id;
pub(crate) use set_up::{name_program, planned_order, planned_set_up};

use super::Ended;
use clap::{Args, Subcommand};
use std::path::PathBuf;

/// Record what happens at the lathes, and ask what stands, what was, and what is next.
///
/// Everything is kept in one file for the shop. What was confirmed is on the disk; nothing is ever changed or taken
/// away, a correction is one more event. docs/log.md tells it all.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
        barwright log new shop.barlog\n  \
        barwright log order detent-pin --plan demo/detent-pin/detent-pin.job.toml\n  \
        barwright log setup \"Lathe 1\" detent-pin --plan demo/detent-pin/detent-pin.job.toml\n  \
        barwright log bar \"Lathe 1\" --heat \"A 7712\" --length 1000\n  \
        barwright log start \"Lathe 1\"\n  \
        barwright log made \"Lathe 1\" 12\n  \
        barwright log now")]
pub(super) struct Log {
    /// The shop's log.
    #[arg(
        id = "shop-log",
        long = "log",
        global = true,
        value_name = "FILE",
        env = "BARWRIGHT_LOG",
        hide_env_values = true,
        default_value = "shop.barlog"
    )]
    file: PathBuf,
    /// Lengths without a unit are inches, and lengths are shown in inches.
    #[arg(long, global = true)]
    inch: bool,
    /// Print the answer as JSON.
    #[arg(long, global = true)]
    json: bool,
    #[command(subcommand)]
    command: Command,
}

/// Subcommands, in the order in which a shop meets them.
#[derive(Debug, Subcommand)]
enum Command {
    New(keep::New),
    Order(set_up::Order),
    Setup(set_up::SetUpLathe),
    Bar(made::Bar),
    Start(stops::Start),
    Made(made::Made),
    Count(made::Count),
    Scrap(made::Scrap),
    Size(made::Size),
    Offset(stops::Offset),
    Edge(stops::Edge),
    Emptied(stops::Emptied),
    Stop(stops::Stop),
    End(made::End),
    Spent(stops::Spent),
    Close(set_up::Close),
    Put(rack::Put),
    Take(rack::Take),
    Correct(correct::Correct),
    Withdraw(correct::Withdraw),
    Now(ask::Now),
    Next(ask::Next),
    After(ask::After),
    Orders(ask::Orders),
    Rack(ask::OnRack),
    Trace(ask::Trace),
    Follow(follow::Follow),
    Sizes(ask::Sizes),
    Learned(ask::Learned),
    List(ask::List),
    Check(keep::Check),
    Backup(keep::Backup),
    Restore(keep::Restore),
    Export(keep::Export),
    Import(keep::Import),
    Invent(keep::Invent),
}

impl Log {
    pub(super) fn run(self) -> Ended {
        let shop = given::Shop { path: self.file, json: self.json, inch: self.inch };
        match self.command {
            Command::New(it) => it.run(&shop),
            Command::Order(it) => it.run(&shop),
            Command::Setup(it) => it.run(&shop),
            Command::Bar(it) => it.run(&shop),
            Command::Start(it) => it.run(&shop),
            Command::Made(it) => it.run(&shop),
            Command::Count(it) => it.run(&shop),
            Command::Scrap(it) => it.run(&shop),
            Command::Size(it) => it.run(&shop),
            Command::Offset(it) => it.run(&shop),
            Command::Edge(it) => it.run(&shop),
            Command::Emptied(it) => it.run(&shop),
            Command::Stop(it) => it.run(&shop),
            Command::End(it) => it.run(&shop),
            Command::Spent(it) => it.run(&shop),
            Command::Close(it) => it.run(&shop),
            Command::Put(it) => it.run(&shop),
            Command::Take(it) => it.run(&shop),
            Command::Correct(it) => it.run(&shop),
            Command::Withdraw(it) => it.run(&shop),
            Command::Now(it) => it.run(&shop),
            Command::Next(it) => it.run(&shop),
            Command::After(it) => it.run(&shop),
            Command::Orders(it) => it.run(&shop),
            Command::Rack(it) => it.run(&shop),
            Command::Trace(it) => it.run(&shop),
            Command::Follow(it) => it.run(&shop),
            Command::Sizes(it) => it.run(&shop),
            Command::Learned(it) => it.run(&shop),
            Command::List(it) => it.run(&shop),
            Command::Check(it) => it.run(&shop),
            Command::Backup(it) => it.run(&shop),
            Command::Restore(it) => it.run(&shop),
            Command::Export(it) => it.run(&shop),
            Command::Import(it) => it.run(&shop),
            Command::Invent(it) => it.run(&shop),
        }
    }
}
