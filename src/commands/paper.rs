//! Papers as PDF, with or without a typesetter in this program.

use super::Trouble;
use crate::files::NewFile;
use clap::ValueEnum;
use model::Units;
use std::path::PathBuf;
use view::sheet::Sheet;

/// The paper of a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Paper {
    /// 210 mm by 297 mm
    A4,
    /// 8.5 in by 11 in
    Letter,
}

impl Paper {
    /// The paper that goes with these units.
    pub(super) const fn of(units: Units) -> Paper {
        match units {
            Units::Mm => Paper::A4,
            Units::Inch => Paper::Letter,
        }
    }
}

/// The bytes of a sheet as PDF, on the paper that goes with its units; none where this program has no typesetter.
pub(crate) fn of(sheet: &Sheet) -> Result<Option<Vec<u8>>, Trouble> {
    let instead = "tell us of this message";
    let files = pdf(sheet, PathBuf::new(), Paper::of(sheet.units), instead)?;
    Ok(files.into_iter().next().map(|file| file.bytes))
}

/// A sheet as PDF at this path; nothing where this program has no typesetter. `instead` says what to do
/// where it cannot be set.
#[cfg(feature = "sheets")]
pub(super) fn pdf(
    sheet: &Sheet,
    path: PathBuf,
    paper: Paper,
    instead: &str,
) -> Result<Vec<NewFile>, Trouble> {
    let paper = match paper {
        Paper::A4 => sheet::Paper::A4,
        Paper::Letter => sheet::Paper::Letter,
    };
    let set = sheet::pdf(sheet, paper);
    let bytes = set.map_err(|why| Trouble::outside(why.to_string(), instead))?;
    Ok(vec![NewFile { path, bytes }])
}

/// Without the feature `sheets` there is no typesetter: pictures and tables only.
#[cfg(not(feature = "sheets"))]
#[allow(clippy::unnecessary_wraps, reason = "with the typesetter it can fail")]
pub(super) fn pdf(_: &Sheet, _: PathBuf, _: Paper, _: &str) -> Result<Vec<NewFile>, Trouble> {
    Ok(Vec::new())
}
