//! The files of a set-up sheet: the sheet itself, its pictures and its tables.

use crate::commands::Trouble;
use crate::files::NewFile;
use clap::ValueEnum;
use model::Units;
use model::files::job::Job;
use plan::Answer;
use std::path::Path;
use view::sheet::{Block, Sheet};

/// The paper of a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Paper {
    /// 210 mm by 297 mm
    A4,
    /// 8.5 in by 11 in
    Letter,
}

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
    let paper = paper.unwrap_or(match job.file.units {
        Units::Mm => Paper::A4,
        Units::Inch => Paper::Letter,
    });
    let mut files = pdf(&sheet, folder, paper)?;
    for block in sheet.blocks() {
        // The bar has a picture of its own, without a sheet too.
        if let Block::Picture(name @ ("part" | "gripper"), scene) = block {
            let bytes = view::svg::write(scene).into_bytes();
            files.push(NewFile { path: folder.join(format!("{name}.svg")), bytes });
        }
    }
    for (name, table) in view::sheet::csv(&sheet) {
        let path = folder.join("tables").join(format!("{name}.csv"));
        files.push(NewFile { path, bytes: table.into_bytes() });
    }
    Ok(files)
}

#[cfg(feature = "sheets")]
fn pdf(sheet: &Sheet, folder: &Path, paper: Paper) -> Result<Vec<NewFile>, Trouble> {
    let paper = match paper {
        Paper::A4 => sheet::Paper::A4,
        Paper::Letter => sheet::Paper::Letter,
    };
    let bytes = sheet::pdf(sheet, paper).map_err(|why| {
        Trouble::outside(why.to_string(), "plan with --no-sheet, and tell us of this message")
    })?;
    Ok(vec![NewFile { path: folder.join(NAME), bytes }])
}

/// Without the feature `sheets` there is no typesetter: pictures and tables only.
#[cfg(not(feature = "sheets"))]
#[allow(clippy::unnecessary_wraps, reason = "with the typesetter it can fail")]
fn pdf(_: &Sheet, _: &Path, _: Paper) -> Result<Vec<NewFile>, Trouble> {
    Ok(Vec::new())
}
