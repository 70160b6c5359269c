//! `barwright new DIR`.

mod drawn;

use super::outline::Told;
use super::{Ended, Trouble, print};
use crate::files::{NewFile, write_all};
use crate::json;
use crate::term;
use clap::Args;
use serde_json::json;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{fs, io};

/// The files of a new job; the job file takes the folder's name.
const JOB: &str = include_str!("new/job.toml");
const OTHERS: [(&str, &str); 4] = [
    ("lathe.toml", include_str!("new/lathe.toml")),
    ("gripper.toml", include_str!("new/gripper.toml")),
    ("tools.toml", include_str!("new/tools.toml")),
    ("control.toml", include_str!("new/control.toml")),
];

/// Write a job folder that is ready to edit: job, lathe, gripper, tools and control.
///
/// Every key has a comment that says what it means. The figures are invented: put in those of
/// your own lathe, gripper and drawing before you use the answer. With --from, the part is read from
/// a drawing, as `barwright outline` reads it.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  barwright new bushing\n  then edit bushing/bushing.job.toml\n\n  \
        barwright new bushing --from bushing.dxf --layer OUTLINE --front left"
)]
pub(super) struct New {
    /// The folder of the new job.
    #[arg(value_name = "DIR")]
    folder: PathBuf,
    /// A drawing of the part, DXF or SVG: its outline becomes the features of the job.
    #[arg(long, value_name = "DRAWING")]
    from: Option<PathBuf>,
    #[command(flatten)]
    told: Told,
    /// Write even where the folder holds files, and overwrite those of the same name.
    #[arg(long)]
    force: bool,
    /// Print what was written as JSON.
    #[arg(long)]
    json: bool,
}

impl New {
    pub(super) fn run(self) -> Ended {
        let part = part_name(&self.folder);
        if !self.force {
            is_free(&self.folder)?;
        }
        let (template, notes) = match &self.from {
            Some(drawing) => {
                let outline = self.told.read(drawing)?;
                (drawn::job(JOB, &outline, drawing), outline.notes)
            }
            None if self.told.says_something() => {
                return Err(Trouble::outside(
                    "this says how a drawing is to be read, but no drawing is given",
                    "give the drawing with --from",
                ));
            }
            None => (JOB.to_owned(), Vec::new()),
        };
        let files = files(&self.folder, &part, &template);
        write_all(&files, self.force)?;
        print(self.said(&files, &notes).as_bytes())
    }

    fn said(&self, files: &[NewFile], notes: &[String]) -> String {
        let paths: Vec<_> = files.iter().map(|file| file.path.display().to_string()).collect();
        if self.json {
            return json::text(&json!({ "written": paths, "notes": notes }));
        }
        let mut text = String::new();
        for path in &paths {
            let _ = writeln!(text, "wrote {path}");
        }
        for note in notes {
            let _ = writeln!(text, "note: {note}");
        }
        text + "The figures are invented. Put in those of your lathe, gripper and drawing first.\n"
    }
}

/// The files of a new job, from the template as it ships or with a part from a drawing.
pub(super) fn ready_to_edit(
    folder: &Path,
    drawn: Option<(&::outline::Outline, &str)>,
) -> Vec<NewFile> {
    let template = drawn.map(|(outline, name)| drawn::job(JOB, outline, Path::new(name)));
    files(folder, &part_name(folder), template.as_deref().unwrap_or(JOB))
}

fn files(folder: &Path, part: &str, template: &str) -> Vec<NewFile> {
    let job = (format!("{part}.job.toml"), template.replace("PART", part));
    let others = OTHERS.map(|(name, text)| (name.to_owned(), text.to_owned()));
    std::iter::once(job)
        .chain(others)
        .map(|(name, text)| NewFile { path: folder.join(name), bytes: text.into_bytes() })
        .collect()
}

/// The folder's own name where it can stand in a file name and in TOML text, else `part`.
fn part_name(folder: &Path) -> String {
    let full = fs::canonicalize(folder).unwrap_or_else(|_| folder.to_path_buf());
    let name = full.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let plain = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | ' ' | '.');
    let plain = name.chars().all(plain) && name.starts_with(char::is_alphanumeric);
    if plain { name } else { "part".to_owned() }
}

fn is_free(folder: &Path) -> Result<(), Trouble> {
    let shown = folder.display();
    match fs::read_dir(folder).map(|mut entries| entries.next().is_none()) {
        Ok(true) => Ok(()),
        Ok(false) => Err(Trouble::outside(
            format!("the folder {shown} is not empty"),
            "choose a new folder, or give --force to write into this one",
        )),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(()),
        Err(error) => Err(Trouble::outside(
            format!("{shown} cannot be used as a folder: {}", term::reason(&error)),
            "choose another name",
        )),
    }
}
