//! The file itself: making, checking, copying, bringing in and out.

use super::given::{Shop, told};
use crate::commands::{Ended, Outcome, Trouble, print};
use crate::files::{NewFile, write_all};
use crate::{json, term};
use clap::Args;
use runlog::invented::{Year, year};
use runlog::store::Depth;
use runlog::wire::Line;
use runlog::{Live, Log};
use serde_json::json;
use std::fs::File;
use std::io::{BufReader, BufWriter, Write as _};
use std::path::{Path, PathBuf};

/// Make a log for a shop.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright log new shop.barlog")]
pub(super) struct New {
    /// The file; left out, that of --log.
    #[arg(value_name = "FILE")]
    file: Option<PathBuf>,
}

impl New {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let path = self.file.as_ref().unwrap_or(&shop.path);
        Log::create(path).map_err(told)?;
        let path = path.display().to_string();
        said(shop, &json!({ "made": path }), &format!("made {path}\n"))
    }
}

/// Look whether the log is sound: every page, every index, every event, and the answers from them.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright log check")]
pub(super) struct Check {}

impl Check {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let Check {} = self;
        let log = shop.open_to_read()?;
        log.look_over(Depth::Whole).map_err(told)?;
        let rebuilt = Live::rebuild(&log).map_err(told)?;
        let live = Live::open(&log).map_err(told)?;
        if rebuilt.state() != live.state() {
            return Err(Trouble::outside(
                "the answers from a snapshot are not those from all events",
                "tell us, with the log; `barwright log export` and `import` into a new log give right ones",
            ));
        }
        let (count, set_back) = (log.count().map_err(told)?, log.clock_set_back().map_err(told)?);
        let backups = runlog::backup::beside(log.path());
        let newest = backups.first().map(|path| path.display().to_string());
        let value = json!({ "sound": true, "events": count, "clock_set_back": set_back, "newest_backup": newest });
        let backup = newest
            .map_or("no backup lies beside it".to_owned(), |path| format!("newest backup {path}"));
        let text =
            format!("sound: {count} events; {backup}\n{}", term::log::clock_caution(set_back));
        said(shop, &value, &text)
    }
}

/// Copy the log while others go on recording.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  barwright log backup\n  barwright log backup /mnt/stick/shop.barlog"
)]
pub(super) struct Backup {
    /// Where to; left out, beside the log with day and time in its name.
    #[arg(value_name = "FILE")]
    to: Option<PathBuf>,
}

impl Backup {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let copied = shop.open_to_read()?.backup(self.to.as_deref()).map_err(told)?;
        let path = copied.path.display().to_string();
        let value = json!({ "wrote": path, "events": copied.events });
        said(shop, &value, &format!("wrote {path}: {} events\n", copied.events))
    }
}

/// Put a backup in the log's place. What stands there is never overwritten.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  barwright log restore shop.backup-20261201-143000.barlog --force"
)]
pub(super) struct Restore {
    /// The backup.
    #[arg(value_name = "FILE")]
    from: PathBuf,
    /// Where a log stands already, keep it beside under another name.
    #[arg(long)]
    force: bool,
}

impl Restore {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let restored = runlog::backup::restore(&self.from, &shop.path, self.force).map_err(told)?;
        let path = restored.path.display().to_string();
        let aside = restored.aside.map(|path| path.display().to_string());
        let value = json!({ "wrote": path, "events": restored.events, "kept_aside": aside });
        let mut text = format!("wrote {path}: {} events\n", restored.events);
        if let Some(aside) = aside {
            text += &format!("what stood there is {aside}\n");
        }
        said(shop, &value, &text)
    }
}

/// Write every event as a line of JSON.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  barwright log export > shop.jsonl\n  barwright log export --out shop.jsonl\n  \
        barwright log export --damaged --out saved.jsonl"
)]
pub(super) struct Export {
    /// The file; left out, standard output.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Overwrite what stands there.
    #[arg(long, requires = "out")]
    force: bool,
    /// Save what can be read of a damaged log; nothing is written into it.
    #[arg(long)]
    damaged: bool,
}

impl Export {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let mut lines = Vec::new();
        let (count, lost) = if self.damaged {
            let log = Log::open_damaged(&shop.path).map_err(told)?;
            log.export_damaged(&mut lines).map_err(told)?
        } else {
            (shop.open_to_read()?.export(&mut lines).map_err(told)?, 0)
        };
        match &self.out {
            None => print(&lines)?,
            Some(path) => {
                write_all(&[NewFile { path: path.clone(), bytes: lines }], self.force)?;
                let path = path.display().to_string();
                let value = json!({ "wrote": path, "events": count, "not_readable": lost });
                said(shop, &value, &format!("wrote {path}: {count} events\n"))?
            }
        };
        if lost > 0 {
            let message = format!("{lost} events in between could not be read");
            return Err(Trouble::outside(
                message,
                "look through what was saved: the file keeps no sums of its rows",
            ));
        }
        Ok(Outcome::Fine)
    }
}

/// Take in events as lines of JSON, from an export or a script: all of them, or none.
///
/// Events that the log has already are passed over, so that the same file may come twice.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  barwright log import shop.jsonl\n  machine-follower | barwright log import -"
)]
pub(super) struct Import {
    /// The file; - is standard input.
    #[arg(value_name = "FILE")]
    file: PathBuf,
}

impl Import {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let mut log = shop.open()?;
        let imported = if self.file == Path::new("-") {
            log.import(&mut std::io::stdin().lock(), "standard input")
        } else {
            let name = self.file.display().to_string();
            let file = File::open(&self.file).map_err(|error| {
                let message = format!("{name} cannot be read: {}", term::reason(&error));
                Trouble::outside(message, "check the path")
            })?;
            log.import(&mut BufReader::new(file), &name)
        };
        let imported = imported.map_err(told)?;
        let value = json!({ "added": imported.added, "known": imported.known });
        let text =
            format!("{} events added, {} were there already\n", imported.added, imported.known);
        said(shop, &value, &text)
    }
}

/// Write a year of a shop that does not exist, to try things out: every figure is invented.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  barwright log invent --year 2025 --seed 8 > year.jsonl\n  barwright log new year.barlog\n  \
        barwright log import year.jsonl --log year.barlog"
)]
pub(super) struct Invent {
    /// The year.
    #[arg(long, value_name = "YEAR", default_value_t = 2025, value_parser = clap::value_parser!(i16).range(1971..=9998))]
    year: i16,
    /// What chance hangs on: the same number gives the same year.
    #[arg(long, value_name = "NUMBER", default_value_t = 8)]
    seed: u64,
    /// Days of it, from January 2 on.
    #[arg(long, value_name = "DAYS", default_value_t = 364)]
    days: u32,
}

impl Invent {
    pub(super) fn run(self, _: &Shop) -> Ended {
        let mut out = BufWriter::new(std::io::stdout().lock());
        let mut refused: Option<std::io::Error> = None;
        year(Year { year: self.year, seed: self.seed, days: self.days }, &mut |event| {
            if refused.is_none() {
                refused = writeln!(out, "{}", Line::of_event(&event)).err();
            }
        });
        match refused.map_or_else(|| out.flush().err(), Some) {
            Some(error) if error.kind() != std::io::ErrorKind::BrokenPipe => Err(Trouble::outside(
                format!("the year cannot be written: {}", term::reason(&error)),
                "check where the output goes",
            )),
            _ => Ok(Outcome::Fine),
        }
    }
}

fn said(shop: &Shop, value: &serde_json::Value, text: &str) -> Ended {
    if shop.json { print(json::text(value).as_bytes()) } else { print(text.as_bytes()) }
}
