//! The files of a set-up sheet: the sheet itself, its pictures and its tables.

use crate::commands::Trouble;
use crate::commands::paper::{self, Paper};
use crate::files::NewFile;
use model::files::job::Job;
use plan::Answer;
use std::path::Path;
use view::sheet::{Block, Sheet};

/// The name of the sheet's file.
const NAME: &str = "sheet.pdf";

/// Where the sheet is written; none where this program has no typesetter.
pub(super) fn path(folder: &Path) -> Option<String> {
    cfg!(feature = "sheets").then(|| folder.join(NAME).display().to_string())
}

/// The sheet as PDF, its pictures as SVG, its tables as CSV in a folder of their own.
pub(super) fn files(
    job: &Job,
    answer: &Answer,
    folder: &Path,
    paper: Option<Paper>,
) -> Result<Vec<NewFile>, Trouble> {
    let sheet = view::sheet::sheet(job, answer);
    let mut files = pdf(job, &sheet, folder, paper)?;
    files.extend(beside(&sheet, folder));
    Ok(files)
}

/// One file of a sheet by its path within the folder, such as `sheet.pdf` or `tables/stops.csv`.
pub(super) fn file(job: &Job, answer: &Answer, name: &str) -> Result<Option<NewFile>, Trouble> {
    let sheet = view::sheet::sheet(job, answer);
    let folder = Path::new("");
    // To set the sheet takes longer than all else together.
    let files = if name == NAME { pdf(job, &sheet, folder, None)? } else { beside(&sheet, folder) };
    Ok(files.into_iter().find(|file| file.path == Path::new(name)))
}

fn pdf(
    job: &Job,
    sheet: &Sheet,
    folder: &Path,
    paper: Option<Paper>,
) -> Result<Vec<NewFile>, Trouble> {
    let paper = paper.unwrap_or(Paper::of(job.file.units));
    let instead = "plan with --no-sheet, and tell us of this message";
    paper::pdf(sheet, folder.join(NAME), paper, instead)
}

/// Pictures and tables of a sheet.
fn beside(sheet: &Sheet, folder: &Path) -> Vec<NewFile> {
    let mut files = Vec::new();
    for block in sheet.blocks() {
        // The bar has a picture of its own, without a sheet too.
        if let Block::Picture(name @ ("part" | "gripper"), scene) = block {
            let bytes = view::svg::write(scene).into_bytes();
            files.push(NewFile { path: folder.join(format!("{name}.svg")), bytes });
        }
    }
    for (name, table) in view::sheet::csv(sheet) {
        let path = folder.join("tables").join(format!("{name}.csv"));
        files.push(NewFile { path, bytes: table.into_bytes() });
    }
    files
}
