//! `barwright outline DRAWING`.

use super::{Ended, Trouble, print};
use crate::files::Disk;
use crate::json;
use ::outline::{Drawn, Format, Front, Outline as Read, Refused, text};
use clap::{Args, ValueEnum};
use model::Units;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// Read the outline of a part from a drawing (DXF or SVG) and print its features for a job file.
///
/// Lines, arcs and polylines of a DXF file are read, and paths, lines and boxes of an SVG file. What the
/// drawing leaves open is asked, never guessed: its units, the layer, which end is the front face.
/// Tolerances, roughness and threads stand in no outline: put them in from the drawing.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  barwright outline bushing.dxf\n  \
        barwright outline bushing.svg --units mm --front left --drawn full\n\n\
        `barwright new DIR --from DRAWING` writes a whole job folder around it.")]
pub(super) struct Outline {
    /// The drawing: a file ending in .dxf or .svg.
    #[arg(value_name = "DRAWING")]
    drawing: PathBuf,
    #[command(flatten)]
    told: Told,
    /// Print the features as JSON, lengths in mm.
    #[arg(long)]
    json: bool,
}

/// What a person may say about a drawing.
#[derive(Debug, Args)]
pub(super) struct Told {
    /// What one unit of the drawing is. Goes before what the file says.
    #[arg(long, value_enum, help_heading = "About the drawing")]
    units: Option<DrawnUnits>,
    /// The layer (SVG: the outermost group's id) on which the outline stands.
    #[arg(long, value_name = "NAME", help_heading = "About the drawing")]
    layer: Option<String>,
    /// Where the front face is on the paper, which also says how the axis runs.
    #[arg(long, value_enum, help_heading = "About the drawing")]
    front: Option<DrawnFront>,
    /// Whether all of the section is drawn, or the half on one side of the axis.
    #[arg(long, value_enum, help_heading = "About the drawing")]
    drawn: Option<Extent>,
    /// The other coordinate of the axis, in the drawing's unit. Left out, it is the middle of a full
    /// section, and 0 for a half that touches it there.
    #[arg(
        long,
        value_name = "PLACE",
        allow_negative_numbers = true,
        help_heading = "About the drawing"
    )]
    axis_at: Option<f64>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum DrawnUnits {
    Mm,
    Inch,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum DrawnFront {
    Left,
    Right,
    Top,
    Bottom,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Extent {
    Half,
    Full,
}

impl Told {
    /// Reads a drawing as the person says it is to be read.
    pub(super) fn read(&self, drawing: &Path) -> Result<Read, Trouble> {
        let name = drawing.display().to_string();
        let Some(format) = Format::of_name(&name) else {
            return Err(Trouble::outside(
                format!("{name} ends neither in .dxf nor in .svg"),
                "save the drawing as DXF text or as SVG",
            ));
        };
        let source = Disk::text(drawing)
            .map_err(|why| Trouble::outside(why, "give the path of a drawing"))?;
        ::outline::read(&source, format, &self.engine()).map_err(|refused| match refused {
            Refused::Troubles(list) => Trouble::Files(list),
            Refused::Asked(questions) => Trouble::Open(name, questions),
        })
    }

    /// Whether anything was said.
    pub(super) fn says_something(&self) -> bool {
        self.engine() != ::outline::Told::default()
    }

    fn engine(&self) -> ::outline::Told {
        ::outline::Told {
            units: self.units.map(|units| match units {
                DrawnUnits::Mm => Units::Mm,
                DrawnUnits::Inch => Units::Inch,
            }),
            layer: self.layer.clone(),
            front: self.front.map(|front| match front {
                DrawnFront::Left => Front::Left,
                DrawnFront::Right => Front::Right,
                DrawnFront::Top => Front::Top,
                DrawnFront::Bottom => Front::Bottom,
            }),
            drawn: self.drawn.map(|drawn| match drawn {
                Extent::Half => Drawn::Half,
                Extent::Full => Drawn::Full,
            }),
            axis_at: self.axis_at,
        }
    }
}

impl Outline {
    pub(super) fn run(self) -> Ended {
        let outline = self.told.read(&self.drawing)?;
        if self.json {
            return print(json::text(&json::outline(&outline)).as_bytes());
        }
        let units = match outline.units {
            Units::Mm => "mm",
            Units::Inch => "inch",
        };
        let mut said = format!(
            "# Read from {}. For a job file with units = \"{units}\".\n",
            self.drawing.display()
        );
        for note in &outline.notes {
            let _ = writeln!(said, "# Note: {note}.");
        }
        print((said + &text::part(&outline)).as_bytes())
    }
}
