//! `barwright stock FILE`.

mod gather;
mod written;

use super::{Ended, Outcome, Trouble, print};
use crate::files::write_all;
use crate::json;
use crate::term::{self, with_progress};
use ::stock::{CutList, Group, cut};
use clap::Args;
use gather::Gathered;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// Choose which blanks are sawn from which stock bars and remnants, cheapest in material and loading.
///
/// The file lists orders (job files) and plain blanks, and names the shop file with saw and rack. For an order
/// the lengths of the blanks are chosen too: every blank loses its first face, stub and grip, and one beyond
/// the longest blank would hang out behind the spindle. Writes pictures, labels, a table for a spreadsheet and
/// the answer.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright stock demo/week-48/week-48.stock.toml")]
pub(super) struct Stock {
    /// The stock file.
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// The folder for pictures, labels, table and answer; left out, NAME.out beside the file.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Overwrite what stands in that folder.
    #[arg(long)]
    force: bool,
    /// Print the answer as JSON.
    #[arg(long)]
    json: bool,
    /// Longest search for each size and material. What is not proven then is told with its gap.
    #[arg(long, value_name = "SECONDS", default_value_t = 10.0)]
    seconds: f64,
}

/// A group with its cut list.
pub(super) type Cut = (Group, CutList);

impl Stock {
    pub(super) fn run(self) -> Ended {
        let gathered = gather::gather(&self.file)?;
        let cuts = self.cuts(&gathered)?;
        let answer = json::cut_lists(&cuts, &gathered.shop.currency);
        let folder = self.out.clone().unwrap_or_else(|| beside(&self.file));
        let files = written::files(&cuts, &gathered, &folder, &json::text(&answer));
        let same = files
            .iter()
            .all(|file| std::fs::read(&file.path).map_or(true, |bytes| bytes == file.bytes));
        write_all(&files, self.force || same)?;
        if self.json {
            return print(json::text(&answer).as_bytes());
        }
        let mut text =
            term::cut_lists(&cuts, &gathered.shop.currency, gathered.units, self.seconds);
        for file in &files {
            let _ = writeln!(text, "wrote {}", file.path.display());
        }
        print(text.as_bytes())?;
        Ok(Outcome::Fine)
    }

    fn cuts(&self, gathered: &Gathered) -> Result<Vec<Cut>, Trouble> {
        let longest = Duration::try_from_secs_f64(self.seconds).map_err(|_| {
            Trouble::outside(
                format!("{} is no time to search", self.seconds),
                "give a number of seconds, such as --seconds 10",
            )
        })?;
        let mut cuts = Vec::new();
        let mut troubles = Vec::new();
        for group in &gathered.groups {
            let found = with_progress("looking for the cheapest cut list", || {
                let start = Instant::now();
                cut(&group.group, &mut || start.elapsed() < longest)
            });
            match found {
                Ok(list) => cuts.push((group.group.clone(), list)),
                Err(why) => troubles.extend(gather::none(gathered, group, &why)),
            }
        }
        if troubles.is_empty() { Ok(cuts) } else { Err(Trouble::Files(troubles)) }
    }
}

fn beside(file: &Path) -> PathBuf {
    let name = file.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let stem = name.strip_suffix(".stock.toml").or(name.strip_suffix(".toml")).unwrap_or(&name);
    file.with_file_name(format!("{stem}.out"))
}
