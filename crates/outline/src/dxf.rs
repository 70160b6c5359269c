//! Reads DXF: lines of text in pairs, a group code and its value. Source of the codes: the published
//! reference of the format (groups 0, 8, 10 to 40, 42, 50, 51, 67, 70, 210 to 230; `$INSUNITS`), from
//! memory, held to files that another library wrote (`tests/drawings/`).

mod entities;

use crate::drawing::{Drawing, Unit};
use model::{Diagnostic, Source, Span, Units};

/// One group: its code, its value, and the stretch of the value in the file.
#[derive(Debug, Clone)]
pub(crate) struct Group {
    code: i32,
    value: String,
    span: Span,
}

/// The groups of a file, read one after the other.
struct Groups<'s> {
    source: &'s Source,
    line: u32,
}

impl Groups<'_> {
    /// The next group; none at the end of the file.
    fn next(&mut self) -> Result<Option<Group>, Diagnostic> {
        while self.line <= self.source.lines() {
            let span = self.source.line(self.line);
            let text = self.source.text_of(span);
            let text = text.trim_matches(['\u{feff}', ' ', '\t', '\r']);
            if text.is_empty() && self.line >= self.source.lines() {
                return Ok(None);
            }
            let Ok(code) = text.parse::<i32>() else {
                let message = "a group code of DXF, a whole number, should stand here";
                let help = "save the drawing once more as DXF text (ASCII)";
                return Err(Diagnostic::new(self.source, span, message).help(help));
            };
            let value_span = self.source.line(self.line + 1);
            if self.line + 1 > self.source.lines() {
                return Err(cut_off(self.source));
            }
            self.line += 2;
            // 999 is a comment.
            if code != 999 {
                let value = self.source.text_of(value_span).trim().to_owned();
                return Ok(Some(Group { code, value, span: value_span }));
            }
        }
        Ok(None)
    }
}

fn cut_off(source: &Source) -> Diagnostic {
    let message = "the file ends before its drawing does";
    let help = "copy or save the drawing once more";
    Diagnostic::new(source, source.line(source.lines()), message).help(help)
}

/// Units by their number in `$INSUNITS`.
fn unit(code: &str) -> Option<Unit> {
    let (name, nm, units) = match code {
        "1" => ("inches", 25_400_000.0, Units::Inch),
        "2" => ("feet", 304_800_000.0, Units::Inch),
        "4" => ("millimeters", 1e6, Units::Mm),
        "5" => ("centimeters", 1e7, Units::Mm),
        "6" => ("meters", 1e9, Units::Mm),
        "9" => ("thousandths of an inch", 25_400.0, Units::Inch),
        "13" => ("micrometers", 1e3, Units::Mm),
        "14" => ("decimeters", 1e8, Units::Mm),
        _ => return None,
    };
    Some(Unit { name, nm, units })
}

/// Reads a drawing.
///
/// # Errors
/// The first place at which the text is not DXF.
pub(crate) fn read(source: &Source) -> Result<Drawing, Diagnostic> {
    let head = &source.bytes()[..source.bytes().len().min(32)];
    if head.windows(10).any(|window| window == b"Binary DXF") {
        let help = "save it as DXF text (ASCII)";
        let message = "this is a binary DXF file, which is not read";
        return Err(Diagnostic::new(source, Span::new(0, 0), message).help(help));
    }
    let mut groups = Groups { source, line: 1 };
    let mut drawing = Drawing::empty();
    let mut drawn = false;
    while let Some(group) = groups.next()? {
        match (group.code, group.value.as_str()) {
            (9, "$INSUNITS") => {
                if let Some(group) = groups.next()?.filter(|group| group.code == 70) {
                    drawing.unit = unit(&group.value);
                }
            }
            (2, "ENTITIES") => {
                entities::read(&mut groups, &mut drawing)?;
                drawn = true;
            }
            (0, "EOF") => break,
            _ => {}
        }
    }
    if drawn { Ok(drawing) } else { Err(no_entities(source)) }
}

fn no_entities(source: &Source) -> Diagnostic {
    let message = "this file has no section ENTITIES, in which DXF keeps its lines";
    let help = "save the drawing once more as DXF text (ASCII)";
    Diagnostic::new(source, source.line(1), message).help(help)
}
