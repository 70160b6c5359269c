//! `barwright plan JOB`.

use super::paper::Paper;
use super::priced;
use super::prove::{job, outcome};
use super::{Ended, Trouble, print};
use crate::files::{NewFile, write_all};
use crate::json;
use crate::term::{self, Color, with_progress};
use clap::Args;
use cost::Asked;
use cost::quote::Priced;
use model::files::job::Job;
use plan::Answer;
use plan::alternatives;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use view::pictures::bar_ruler;
use view::pictures::spindle_limit::{self, SpindleLimit};

mod sheet;

/// Widest ruler that is drawn in a terminal.
const WIDEST: usize = 100;

/// Plan a job: the bar, the cuts, the time, how long one may leave; write its programs, prove
/// them, draw bar and part, and set the sheet by which the lathe is set up.
///
/// No program and no sheet is written while a finding of level stop stands.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright plan demo/detent-pin/detent-pin.job.toml")]
pub(super) struct Plan {
    /// The job file.
    #[arg(value_name = "JOB")]
    job: PathBuf,
    /// The folder for programs, pictures and the answer; left out, NAME.out beside the job.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Overwrite what stands in that folder.
    #[arg(long)]
    force: bool,
    /// The paper of the sheet; left out, letter for a job in inches, A4 for others.
    #[arg(long, value_enum)]
    paper: Option<Paper>,
    /// Write no sheet and no tables.
    #[arg(long)]
    no_sheet: bool,
    /// The shop file, for what a part costs by its rates.
    #[arg(long, value_name = "FILE")]
    shop: Option<PathBuf>,
    /// Print the answer as JSON.
    #[arg(long)]
    json: bool,
}

/// The order priced, with the name of the coin.
type Cost = (Priced<()>, String);

impl Plan {
    pub(super) fn run(self) -> Ended {
        let job = job(&self.job)?;
        let (mut answer, advances) = with_progress("planning and proving", || {
            let answer = plan::plan(&job);
            let advances = alternatives::compare(&job, &answer);
            (answer, advances)
        });
        let cost = self.cost(&job, &mut answer)?;
        let folder = self.out.clone().unwrap_or_else(|| beside(&self.job));
        let main = answer.programs.first().map(|program| folder.join(program.file_name(&job)));
        let path = main.map(|path| path.display().to_string());
        let sheet = !self.no_sheet && !answer.programs.is_empty();
        let sheet_path = sheet.then(|| sheet::path(&folder)).flatten();
        let told = cost.as_ref().map(|(priced, currency)| json::cost(priced, currency));
        let paths = (path.as_deref(), sheet_path.as_deref());
        let value = json::answer(&job, &answer, &advances, told.as_ref(), paths);
        let mut files = files(&job, &answer, &folder, &json::text(&value));
        if sheet {
            files.extend(sheet::files(&job, &answer, &folder, self.paper)?);
        }
        self.write(&files)?;
        let text = if self.json {
            json::text(&value)
        } else {
            let planned = term::plan(&job, &answer, &advances);
            let told = cost.as_ref().map(|(priced, currency)| term::cost(priced, currency));
            shown(&job, &answer, &(planned + &told.unwrap_or_default()), &files, &folder)
        };
        print(text.as_bytes())?;
        Ok(outcome(answer.verdict))
    }

    /// The order by the rates of the shop; none where no shop is named, or a stop stands.
    fn cost(&self, job: &Job, answer: &mut Answer) -> Result<Option<Cost>, Trouble> {
        let Some(path) = &self.shop else { return Ok(None) };
        let shop = priced::shop(path, "check the path")?;
        let asked = Asked { quantities: vec![job.file.order.quantity], made_before: false };
        let quote = match cost::prices(job, answer, &shop, &asked) {
            Ok(quote) => quote,
            Err(refusal) => return priced::trouble(job, &shop, refusal).map_or(Ok(None), Err),
        };
        answer.unproven.retain(|it| it.what != "cost");
        let ordered = quote.priced.into_iter().find(|it| it.ordered);
        Ok(ordered.map(|priced| (priced, shop.currency)))
    }

    fn write(&self, files: &[NewFile]) -> Result<(), Trouble> {
        write_unless_changed(files, self.force)
    }
}

/// A run that comes to what stands there already is no trouble. Anything else that is there
/// may be changed by hand, and is overwritten only when asked to.
pub(super) fn write_unless_changed(files: &[NewFile], force: bool) -> Result<(), Trouble> {
    write_all(files, force || files.iter().all(|file| !file.path.exists()) || same(files))
}

/// Whether every file that is there already holds what would be written.
fn same(files: &[NewFile]) -> bool {
    files.iter().all(|file| std::fs::read(&file.path).map_or(true, |bytes| bytes == file.bytes))
}

fn beside(job: &Path) -> PathBuf {
    named_beside(job, "out")
}

/// A folder beside a job, named after it with this end.
pub(super) fn named_beside(job: &Path, end: &str) -> PathBuf {
    let name = job.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let stem = name.strip_suffix(".job.toml").or(name.strip_suffix(".toml")).unwrap_or(&name);
    job.with_file_name(format!("{stem}.{end}"))
}

/// One of the files that a plan writes, by its path within their folder; none where it writes no such file.
///
/// # Errors
/// Where the sheet cannot be set.
pub(crate) fn file(job: &Job, answer: &Answer, name: &str) -> Result<Option<NewFile>, Trouble> {
    let value = if name == "answer.json" {
        let advances = alternatives::compare(job, answer);
        json::text(&json::answer(job, answer, &advances, None, (None, None)))
    } else {
        String::new()
    };
    let plain = files(job, answer, Path::new(""), &value);
    match plain.into_iter().find(|file| file.path == Path::new(name)) {
        Some(file) => Ok(Some(file)),
        None if answer.programs.is_empty() => Ok(None),
        None => sheet::file(job, answer, name),
    }
}

fn files(job: &Job, answer: &Answer, folder: &Path, value: &str) -> Vec<NewFile> {
    let mut files: Vec<NewFile> = answer
        .programs
        .iter()
        .map(|program| NewFile {
            path: folder.join(program.file_name(job)),
            bytes: program.text.clone().into_bytes(),
        })
        .collect();
    let ruler = view::svg::write(&bar_ruler::scene(job, answer));
    files.push(NewFile { path: folder.join("bar.svg"), bytes: ruler.into_bytes() });
    if let Some(curve) = &answer.swing {
        let picture = spindle_limit::scene(&SpindleLimit {
            name: &job.file.name,
            curve,
            parts: answer.bar.parts_per_bar,
            running: plan::acts::Acts::new(job, &answer.bar).clamp(),
            highest: job.lathe.max_speed(),
            units: job.file.units,
        });
        let bytes = view::svg::write(&picture).into_bytes();
        files.push(NewFile { path: folder.join("spindle-limit.svg"), bytes });
    }
    files.push(NewFile { path: folder.join("answer.json"), bytes: value.as_bytes().to_vec() });
    files
}

/// Programs and sheets of an earlier plan that stand in the folder of one that wrote none.
fn left_over(answer: &Answer, folder: &Path) -> Vec<PathBuf> {
    if !answer.programs.is_empty() {
        return Vec::new();
    }
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let mut programs: Vec<PathBuf> = entries
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|end| end == "nc" || end == "pdf"))
        .collect();
    programs.sort();
    programs
}

fn shown(job: &Job, answer: &Answer, planned: &str, files: &[NewFile], folder: &Path) -> String {
    let color = Color::of(&std::io::stdout());
    let mut text = term::findings(&answer.findings, color);
    text += &term::unproven(&answer.unproven);
    text += planned;
    text.push('\n');
    text += &bar_ruler::terminal(job, &answer.bar, term::columns().min(WIDEST));
    text.push('\n');
    let (tables, others): (Vec<&NewFile>, Vec<&NewFile>) =
        files.iter().partition(|file| file.path.extension().is_some_and(|end| end == "csv"));
    for file in others {
        let _ = writeln!(text, "wrote {}", file.path.display());
    }
    if let Some(folder) = tables.first().and_then(|file| file.path.parent()) {
        let _ = writeln!(text, "wrote {} tables into {}", tables.len(), folder.display());
    }
    if answer.programs.is_empty() {
        text.push_str("No program and no sheet was written: mend what stands as a stop first.\n");
    }
    for file in left_over(answer, folder) {
        let sheet = file.extension().is_some_and(|end| end == "pdf");
        let refused = if sheet { "set up by it" } else { "run it" };
        let _ = writeln!(text, "{} is from an earlier plan: do not {refused}.", file.display());
    }
    text.push_str(
        "Guards and interlocks stay. The manuals of lathe and gripper, the rules of your place and the \
         qualified person come first.\nFirst run in single block with reduced rapids; this program does \
         not see the real machine.\n",
    );
    text
}
