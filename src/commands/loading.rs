//! `barwright loading JOB`.

use super::paper::{self, Paper};
use super::plan::{named_beside, write_unless_changed};
use super::priced::Priced;
use super::{Ended, Outcome, Trouble, print};
use crate::files::NewFile;
use crate::json;
use crate::term;
use clap::Args;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use view::sheet::{Block, Sheet};

/// Compare ways of loading for a job: by hand to a stop, sawn slugs, the gripper, a magazine.
///
/// The shop file lists the ways with what they cost to buy, what they lose of a bar and how long person and
/// lathe take, and by which interest, years and quantity they are judged. Says what a part costs with each,
/// how long a person is bound, from how many parts a year a way pays, and what moves that most.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  barwright loading demo/detent-pin/detent-pin.job.toml --shop demo/week-48/shop.toml"
)]
pub(super) struct Loading {
    /// The job file.
    #[arg(value_name = "JOB")]
    job: PathBuf,
    /// The shop file; left out, shop.toml beside the job.
    #[arg(long, value_name = "FILE")]
    shop: Option<PathBuf>,
    /// Parts like this one in a year, instead of what the shop file says.
    #[arg(long, value_name = "PARTS", value_parser = clap::value_parser!(u32).range(1..=100_000_000))]
    yearly: Option<u32>,
    /// The folder for paper, pictures, tables and answer; left out, NAME.loading beside the job.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Overwrite what stands in that folder.
    #[arg(long)]
    force: bool,
    /// The paper; left out, letter for a job in inches, A4 for others.
    #[arg(long, value_enum)]
    paper: Option<Paper>,
    /// Print the answer as JSON.
    #[arg(long)]
    json: bool,
}

impl Loading {
    pub(super) fn run(self) -> Ended {
        let priced = Priced::read(&self.job, self.shop.as_ref())?;
        let Priced { job, answer, shop } = &priced;
        let loading = match cost::loading(job, answer, shop, self.yearly) {
            Ok(loading) => loading,
            Err(refusal) => return priced.refuse(refusal, "no comparison", self.json),
        };
        let folder = self.out.clone().unwrap_or_else(|| named_beside(&self.job, "loading"));
        let mut value = json::loading(job, shop, &loading);
        value["learned"] = json::learned(answer);
        let sheet = view::loading::loading(job, shop, &loading);
        let paper = self.paper.unwrap_or(Paper::of(job.file.units));
        let files = files(&sheet, &folder, paper, &json::text(&value))?;
        write_unless_changed(&files, self.force)?;
        if self.json {
            return print(json::text(&value).as_bytes());
        }
        let mut text = term::loading(job, shop, &loading);
        text += &term::learned(answer);
        text.push('\n');
        for file in &files {
            let _ = writeln!(text, "wrote {}", file.path.display());
        }
        print(text.as_bytes())?;
        Ok(Outcome::Fine)
    }
}

fn files(sheet: &Sheet, folder: &Path, paper: Paper, value: &str) -> Result<Vec<NewFile>, Trouble> {
    let instead = "tell us of this message; --json prints the answer without paper";
    let mut files = paper::pdf(sheet, folder.join("loading.pdf"), paper, instead)?;
    for block in sheet.blocks() {
        if let Block::Picture(name, scene) = block {
            let bytes = view::svg::write(scene).into_bytes();
            files.push(NewFile { path: folder.join(format!("{name}.svg")), bytes });
        }
    }
    for (name, table) in view::sheet::csv(sheet) {
        let path = folder.join(format!("{name}.csv"));
        files.push(NewFile { path, bytes: table.into_bytes() });
    }
    let path = folder.join("loading.json");
    files.push(NewFile { path, bytes: value.as_bytes().to_vec() });
    Ok(files)
}
