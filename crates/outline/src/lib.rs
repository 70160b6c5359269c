//! Reads the outline of a turned part from a drawing file (DXF or SVG) and gives the features of the
//! part, as a job file lists them.
//!
//! **Invariant:** nothing is guessed. What a drawing leaves open (its units, its layer, whether half of
//! the part is drawn or all of it, which end is the front face) is a [`Question`]; what cannot be a
//! turned part is a [`Diagnostic`] with its place.
//!
//! ```text
//! bytes ─► Drawing ─► closed chain ─► half profile ─► features ─► text of a job file
//!          dxf, svg    chain           reading         features    text
//! ```
//!
//! Coordinates pass through `f64`: a decimal number of at most a kilometer lies within a thousandth of a
//! nanometer of its `f64`, so that rounding to whole nanometers gives what the file says, and everything
//! after that is whole nanometers.
//!
//! Read in this order: [`drawing`], `dxf`, `svg`, `chain`, `reading`, `profile`, `features`, [`text`].
#![forbid(unsafe_code)]

mod chain;
mod curve;
pub mod drawing;
mod dxf;
mod features;
mod profile;
mod reading;
mod svg;
pub mod text;

pub use drawing::{Drawing, Format};
pub use reading::Front;

use model::files::job::Feature;
use model::{Diagnostic, Length, Source, Units};

/// Ends that lie nearer than this are one place: 0.001 mm.
const JOIN: i64 = 1_000;

/// What the person has said about a drawing.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Told {
    /// The unit of its coordinates.
    pub units: Option<Units>,
    /// The layer on which the outline stands.
    pub layer: Option<String>,
    /// Where the front face of the part is on the paper, which also says along what the axis runs.
    pub front: Option<Front>,
    /// Whether all of the section is drawn, or the half on one side of the axis.
    pub drawn: Option<Drawn>,
    /// Where the axis crosses the other coordinate, in the drawing's own unit.
    pub axis_at: Option<f64>,
}

/// How much of the section is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drawn {
    /// What lies on one side of the axis.
    Half,
    /// Both sides of the axis.
    Full,
}

impl Drawn {
    /// The word for it on the command line.
    pub const fn word(self) -> &'static str {
        match self {
            Drawn::Half => "half",
            Drawn::Full => "full",
        }
    }
}

/// Something that the drawing leaves open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// What is not clear, one sentence without a full stop.
    pub about: String,
    /// The answers: what to say, and what it means.
    pub answers: Vec<(String, String)>,
}

/// Why a drawing gave no part.
#[derive(Debug)]
pub enum Refused {
    /// It cannot be read, or is not the outline of a turned part.
    Troubles(Vec<Diagnostic>),
    /// It leaves something open.
    Asked(Vec<Question>),
}

impl From<Diagnostic> for Refused {
    fn from(diagnostic: Diagnostic) -> Refused {
        Refused::Troubles(vec![diagnostic])
    }
}

/// A part as a drawing shows it.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// The units of the drawing.
    pub units: Units,
    /// Front face to back face.
    pub length: Length,
    /// Largest diameter.
    pub largest: Length,
    /// The features from the front face back.
    pub features: Vec<Feature>,
    /// What a person should know: what was passed over, what was taken as what. Sentences without a
    /// full stop.
    pub notes: Vec<String>,
}

/// Reads a drawing and gives the part on it.
///
/// # Errors
/// [`Refused::Troubles`] where the file cannot be read or its outline is none of a turned part;
/// [`Refused::Asked`] where something must be said first.
pub fn read(source: &Source, format: Format, told: &Told) -> Result<Outline, Refused> {
    part(source, &drawing(source, format)?, told)
}

/// What a drawing file holds, before anyone says what it means.
///
/// # Errors
/// The first place at which the file cannot be read.
pub fn drawing(source: &Source, format: Format) -> Result<Drawing, Diagnostic> {
    match format {
        Format::Dxf => dxf::read(source),
        Format::Svg => svg::read(source),
    }
}

/// The part on a drawing.
fn part(source: &Source, drawing: &Drawing, told: &Told) -> Result<Outline, Refused> {
    let mut questions = Vec::new();
    let scale = drawing.scale(told.units);
    if scale.is_none() {
        questions.push(Drawing::ask_units());
    }
    let layer = match drawing.layer(source, told.layer.as_deref())? {
        Ok(layer) => layer,
        Err(question) => {
            questions.push(question);
            return Err(Refused::Asked(questions));
        }
    };
    let scale = scale.unwrap_or(drawing.scale_unknown());
    let chain = chain::of(source, layer, &scale)?;
    let part = match reading::choose(source, &chain, &scale, told)? {
        Ok(part) => part,
        Err(question) => {
            questions.push(question);
            return Err(Refused::Asked(questions));
        }
    };
    let Some(units) = scale.units else { return Err(Refused::Asked(questions)) };
    let features::Features { length, largest, list: features } = part;
    let mut notes = drawing.notes(layer, told.units);
    notes.extend(chain.notes);
    Ok(Outline { units, length, largest, features, notes })
}
