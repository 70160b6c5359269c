//! Labels to stick on sawn blanks and on remnants: words for people, and the same as a code that a camera
//! reads (QR code, ISO/IEC 18004). Three columns of eight on a page of A4, in millimeters.

use crate::scene::{Anchor, Role, Scene, Shape};
use qrcode::{Color, EcLevel, QrCode};
use std::ops::Range;

/// What stands on one label.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// The first line, in full.
    pub title: String,
    /// The lines below it.
    pub lines: Vec<String>,
    /// What the code says.
    pub code: String,
}

/// Labels of one page: three columns of eight.
pub const A_PAGE: usize = 24;

/// Size of the paper and of a label, in drawing units of a quarter of a millimeter.
const PAPER: (f64, f64) = (840.0, 1188.0);
const LABEL: (f64, f64) = (280.0, 148.5);
/// Side of a code. Around it stays free what four of its squares take (ISO/IEC 18004).
const CODE: f64 = 84.0;
const MARGIN: f64 = 14.0;
/// Most characters of a line beside the code, and of the title.
const LINE: usize = 22;
const TITLE: usize = 42;

/// Pages of labels.
pub fn scenes(labels: &[Label]) -> Vec<Scene> {
    let pages = labels.chunks(A_PAGE).count();
    labels
        .chunks(A_PAGE)
        .enumerate()
        .map(|(page, labels)| {
            let mut shapes = Vec::new();
            for (index, label) in labels.iter().enumerate() {
                let x = LABEL.0 * (index % 3) as f64;
                let y = LABEL.1 * (index / 3) as f64;
                draw(label, x, y, &mut shapes);
            }
            let words: Vec<&str> = labels.iter().map(|label| label.code.as_str()).collect();
            Scene {
                width: PAPER.0,
                height: PAPER.1,
                title: format!("Labels, page {} of {pages}", page + 1),
                description: words.join(" | "),
                shapes,
            }
        })
        .collect()
}

fn draw(label: &Label, x: f64, y: f64, shapes: &mut Vec<Shape>) {
    let text = |row: f64, words: &str, most: usize| {
        let words = if words.chars().count() > most {
            words.chars().take(most - 1).chain(['…']).collect()
        } else {
            words.to_owned()
        };
        Shape::Text { at: [x + MARGIN, y + MARGIN + row], anchor: Anchor::Start, words }
    };
    shapes.push(text(12.0, &label.title, TITLE));
    for (row, line) in label.lines.iter().enumerate() {
        shapes.push(text(34.0 + 16.0 * row as f64, line, LINE));
    }
    let at = [x + LABEL.0 - MARGIN - CODE, y + MARGIN + 22.0];
    if let Some(code) = code(&label.code, at) {
        shapes.push(code);
    }
}

/// The dark squares of a code; none where the text is longer than any code holds.
fn code(text: &str, [x, y]: [f64; 2]) -> Option<Shape> {
    let (width, runs) = dark_runs(text)?;
    let side = CODE / width as f64;
    let of_run = |(row, run): DarkRun| {
        let (left, right) = (x + side * run.start as f64, x + side * run.end as f64);
        let (top, bottom) = (y + side * row as f64, y + side * (row + 1) as f64);
        vec![[left, top], [right, top], [right, bottom], [left, bottom]]
    };
    let loops = runs.into_iter().map(of_run).collect();
    Some(Shape::Area { loops, role: Role::Code, title: text.to_owned() })
}

/// Dark squares side by side: their row and their columns.
pub(crate) type DarkRun = (usize, Range<usize>);

/// How many squares a code is wide, and its dark runs.
pub(crate) fn dark_runs(text: &str) -> Option<(usize, Vec<DarkRun>)> {
    let code = QrCode::with_error_correction_level(text, EcLevel::M).ok()?;
    let width = code.width();
    let mut runs = Vec::new();
    for (row, squares) in code.to_colors().chunks(width).enumerate() {
        let mut column = 0;
        while column < width {
            let run = squares[column..].iter().take_while(|color| **color == Color::Dark).count();
            if run > 0 {
                runs.push((row, column..column + run));
            }
            column += run.max(1);
        }
    }
    Some((width, runs))
}
