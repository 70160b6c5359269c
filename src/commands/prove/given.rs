//! What a proof is given: the programs, and the files about lathe, bar and part.

mod subprograms;

pub(in crate::commands) use subprograms::library;

use super::super::Trouble;
use super::Prove;
use crate::files::{Disk, shipped};
use model::files::job::{Bar, BarShape, Job};
use model::files::{Control, Gripper, Lathe, Read, Tools};
use model::{Length, Source, Units};
use nc::program::Library;
use prove::Setup;
use std::path::Path;

/// The control that stands in where none is named; a proof then says so.
const PLAIN_CONTROL: &str = "controls/system-a-least-increment.toml";

/// Everything a proof goes by.
pub(super) struct Given {
    pub(super) library: Library,
    pub(super) setup: Setup,
    /// Files that were not named: subprograms from the main program's folder.
    pub(super) found_beside: Vec<String>,
}

impl Given {
    pub(super) fn gather(prove: &Prove) -> Result<Given, Trouble> {
        let mut setup = match &prove.job {
            Some(path) => Setup::of(&job(path)?),
            None => Setup::bare(plain_control()?),
        };
        if let Some(path) = &prove.control {
            (setup.control, setup.control_named) = (file(path, Control::read)?, true);
        }
        if let Some(path) = &prove.lathe {
            setup.lathe = Some(file(path, Lathe::read)?);
        }
        if let Some(path) = &prove.gripper {
            setup.gripper = Some(file(path, Gripper::read)?);
        }
        if let Some(path) = &prove.tools {
            setup.tools = Some(file(path, Tools::read)?);
        }
        if let Some(text) = &prove.bar {
            let (bar, units) = bar(text)?;
            (setup.bar, setup.bar_place, setup.units) = (Some(bar), None, units);
        }
        setup.skip_switches.clone_from(&prove.skip);
        let (library, found_beside) = library(&prove.programs, &setup.control)?;
        Ok(Given { library, setup, found_beside })
    }
}

/// Reads a job with all its files; what it leaves to be chosen of an advance is chosen.
pub(in crate::commands) fn job(path: &Path) -> Result<Job, Trouble> {
    let read = Job::read(&source(path)?, &Disk::beside(path));
    read.value.map(plan::alternatives::settled).ok_or(Trouble::Files(read.diagnostics))
}

fn plain_control() -> Result<Control, Trouble> {
    let source = shipped(PLAIN_CONTROL).map_err(|why| Trouble::outside(why, ""))?;
    let read = Control::read(&source);
    read.value.ok_or(Trouble::Files(read.diagnostics))
}

fn source(path: &Path) -> Result<Source, Trouble> {
    Disk::text(path).map_err(|why| Trouble::outside(why, "check the path"))
}

fn file<T>(path: &Path, read: impl FnOnce(&Source) -> Read<T>) -> Result<T, Trouble> {
    let read = read(&source(path)?);
    read.value.ok_or(Trouble::Files(read.diagnostics))
}

/// `25x1000mm` or `1x48in`.
fn bar(text: &str) -> Result<(Bar, Units), Trouble> {
    let wrong = || {
        let message = format!("{text} is not a bar");
        Trouble::outside(
            message,
            "write diameter by length with the unit, such as 25x1000mm or 1x48in",
        )
    };
    let lower = text.to_ascii_lowercase();
    let units = if lower.ends_with("mm") { Units::Mm } else { Units::Inch };
    let bare = lower.strip_suffix("mm").or(lower.strip_suffix("in")).ok_or_else(wrong)?;
    let (size, length) = bare.split_once('x').ok_or_else(wrong)?;
    let read =
        |text: &str| Length::parse_with_unit(text, units).ok().filter(|one| one.is_positive());
    let (size, length) = (read(size).ok_or_else(wrong)?, read(length).ok_or_else(wrong)?);
    let bar = Bar {
        material: String::new(),
        shape: BarShape::Round,
        size,
        tolerance: None,
        sizes: Vec::new(),
        length,
        length_tolerance: Length::ZERO,
        rear_margin: Length::ZERO,
        stock_length: None,
        saw_kerf: Length::ZERO,
        end_trim: Length::ZERO,
        condition: None,
    };
    Ok((bar, units))
}
