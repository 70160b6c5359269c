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
        let shop = self::shop(&file, help)?;
        let answer = with_progress("planning and proving", || plan::plan(&job));
        Ok(Priced { job, answer, shop })
    }

    /// Tells why there is no answer: a stop by its findings, what a file lacks at its place.
    pub(super) fn refuse(&self, refusal: Refusal, what: &str, as_json: bool) -> Ended {
        trouble(&self.job, &self.shop, refusal).map_or_else(|| self.stopped(what, as_json), Err)
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

/// Reads a shop file; `help` says what to do where it is not there.
pub(super) fn shop(path: &Path, help: &str) -> Result<Shop, Trouble> {
    let source = Disk::text(path).map_err(|why| Trouble::outside(why, help))?;
    let read = Shop::read(&source);
    read.value.ok_or(Trouble::Files(read.diagnostics))
}

/// What a file lacks, at its place; none where a stop stands against the plan.
pub(super) fn trouble(job: &Job, shop: &Shop, refusal: Refusal) -> Option<Trouble> {
    let Refusal::File { file, key, message, help } = refusal else { return None };
    let origin = match file {
        In::Job => &job.file.origin,
        In::Shop => &shop.origin,
    };
    Some(Trouble::Files(vec![origin.trouble(&key, message).help(help)]))
}
