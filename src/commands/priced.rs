//! What `quote` and `loading` share: a job with its plan, the shop's file, and how a refusal is told.

use super::prove::job;
use super::{Ended, Outcome, Trouble, print};
use crate::files::Disk;
use crate::json;
use crate::term::{self, Color, with_progress};
use cost::Refusal;
use cost::refusal::In;
use model::files::Shop;
use model::files::job::Job;
use plan::Answer;
use std::path::{Path, PathBuf};

/// The shop file that is looked for beside a job.
const SHOP: &str = "shop.toml";

/// A job with its plan, and the shop.
pub(super) struct Priced {
    pub(super) job: Job,
    pub(super) answer: Answer,
    pub(super) shop: Shop,
}

impl Priced {
    /// Reads the files and plans the job.
    pub(super) fn read(path: &Path, shop: Option<&PathBuf>) -> Result<Priced, Trouble> {
        let job = job(path)?;
        let beside = || path.with_file_name(SHOP);
        let file = shop.cloned().unwrap_or_else(beside);
        let help = "give the shop file with --shop FILE, or put a shop.toml beside the job";
        let source = Disk::text(&file).map_err(|why| Trouble::outside(why, help))?;
        let read = Shop::read(&source);
        let shop = read.value.ok_or(Trouble::Files(read.diagnostics))?;
        let answer = with_progress("planning and proving", || plan::plan(&job));
        Ok(Priced { job, answer, shop })
    }

    /// Tells why there is no answer: a stop by its findings, what a file lacks at its place.
    pub(super) fn refuse(&self, refusal: Refusal, what: &str, as_json: bool) -> Ended {
        let Refusal::File { file, key, message, help } = refusal else {
            return self.stopped(what, as_json);
        };
        let origin = match file {
            In::Job => &self.job.file.origin,
            In::Shop => &self.shop.origin,
        };
        Err(Trouble::Files(vec![origin.trouble(&key, message).help(help)]))
    }

    fn stopped(&self, what: &str, as_json: bool) -> Ended {
        let text = if as_json {
            json::text(&json::refused(&self.job, &self.answer))
        } else {
            let color = Color::of(&std::io::stdout());
            let mut text = term::findings(&self.answer.findings, color);
            text += &format!(
                "{}: {what}. A stop stands against its plan, so nothing of it is sold or compared: mend what stands above first.\n",
                self.job.file.name
            );
            text
        };
        print(text.as_bytes())?;
        Ok(Outcome::Stop)
    }
}
