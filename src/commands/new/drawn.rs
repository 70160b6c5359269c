//! The job file of a part that was read from a drawing.

use ::outline::{Outline, text};
use model::files::{FileKind, KeyKind};
use model::{Length, Units};
use std::collections::BTreeSet;
use std::path::Path;

/// The template with this part in it, in the units of the drawing. The other lengths of the template keep
/// what they are: where the job is in inches, they are written with their `mm`.
pub(super) fn job(template: &str, outline: &Outline, drawing: &Path) -> String {
    let (head, rest) = template.split_once("# The finished part.").unwrap_or((template, ""));
    let advance = rest.find("# How the gripper draws").unwrap_or(rest.len());
    let (size, unit) = bar_size(outline);
    let part = format!(
        "# The finished part, read from {}. Z 0 is its front face; every `to` is counted from there toward\n\
         # the chuck. Tolerances, roughness (`upper`, `lower`, `ra`) and threads stand in no outline: put them in.\n{}\n",
        drawing.file_name().unwrap_or_default().to_string_lossy().replace(char::is_control, " "),
        text::part(outline)
    );
    let (head, tail) = match outline.units {
        Units::Mm => (head.to_owned(), rest[advance..].to_owned()),
        Units::Inch => {
            let head = head.replace("units = \"mm\"", "units = \"inch\"");
            (in_inches(&head), in_inches(&rest[advance..]))
        }
    };
    let put_in = format!(
        "# The next whole {unit} above the part's largest diameter: put in that of your bar.\nsize = {size}"
    );
    let lines = head.lines().map(|line| if line.starts_with("size = ") { &put_in } else { line });
    lines.fold(String::new(), |text, line| text + line + "\n") + &part + &tail
}

/// A bar that the part can be turned from, as a number in the drawing's units.
fn bar_size(outline: &Outline) -> (String, &'static str) {
    let (step, unit) = match outline.units {
        Units::Mm => (Length::from_mm(1), "millimeter"),
        Units::Inch => (Length::from_nm(1_587_500), "sixteenth of an inch"),
    };
    let size = step * (outline.largest / step + 1);
    (size.shortest(outline.units), unit)
}

/// Lines of a template in millimeters as lines of a file in inches: every plain length gets its unit.
fn in_inches(lines: &str) -> String {
    let facts = FileKind::Job.keys();
    let lengths = facts.iter().filter(|it| matches!(it.kind, KeyKind::Length { .. }));
    let lengths: BTreeSet<&str> = lengths.map(|it| it.path.as_str()).collect();
    let mut table = String::new();
    let mut text = String::new();
    for line in lines.split_inclusive('\n') {
        let bare = line.strip_prefix("# ").unwrap_or(line).trim_end();
        if let Some(name) = bare.strip_prefix('[').and_then(|it| it.strip_suffix(']')) {
            name.clone_into(&mut table);
        }
        let length = bare.split_once(" = ").filter(|(key, number)| {
            let path = if table.is_empty() { (*key).to_owned() } else { format!("{table}.{key}") };
            lengths.contains(path.as_str()) && number.parse::<f64>().is_ok()
        });
        let mark = if line.starts_with("# ") { "# " } else { "" };
        match length {
            Some((key, number)) => text += &format!("{mark}{key} = \"{number} mm\"\n"),
            None => text += line,
        }
    }
    text
}
