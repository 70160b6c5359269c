//! Sets a sheet as PDF: a fixed template, the sheet's data beside it, fonts inside the program.
//!
//! **Invariant:** nothing is read or fetched at run time, there is no clock, and the same sheet
//! gives the same bytes. What stands on a sheet is `view::sheet`'s; here is only how it looks.
//!
//! Read in this order: [`pdf`], `data` (the sheet as the template's values), `sheet.typ` (the
//! template), `world` (what the typesetter may see).
#![forbid(unsafe_code)]

mod data;
mod world;

use std::fmt;
use typst::diag::SourceDiagnostic;
use typst::foundations::Smart;
use typst_layout::PagedDocument;
use typst_pdf::PdfOptions;
use view::sheet::Sheet;
use world::World;

/// The paper of a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 210 mm by 297 mm.
    A4,
    /// 8.5 in by 11 in.
    Letter,
}

/// Why a sheet could not be set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotSet(String);

impl fmt::Display for NotSet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the sheet could not be set: {}", self.0)
    }
}

impl std::error::Error for NotSet {}

/// Sets a sheet.
///
/// # Errors
/// What the typesetter refuses; the template is fixed, so this tells of a mistake in it.
pub fn pdf(sheet: &Sheet, paper: Paper) -> Result<Vec<u8>, NotSet> {
    let world = World::new(data::inputs(sheet, paper));
    let document =
        typst::compile::<PagedDocument>(&world).output.map_err(|found| not_set(&found))?;
    let options = PdfOptions {
        ident: Smart::Custom(format!("{} {}", sheet.job, sheet.programs)),
        creator: Smart::Custom(Some("Barwright".to_owned())),
        timestamp: None,
        ..PdfOptions::default()
    };
    typst_pdf::pdf(&document, &options).map_err(|found| not_set(&found))
}

fn not_set(found: &[SourceDiagnostic]) -> NotSet {
    let lines: Vec<&str> = found.iter().map(|one| one.message.as_str()).collect();
    NotSet(lines.join("; "))
}
