//! Words above a drawing, each joined to its place by a line. They keep their order from left to
//! right, and each stands higher than the lines to its right that would run through it: so no
//! word lies on another, nor on a line, and no lines cross.

use super::super::measures::{arrow, width};
use crate::scene::{Anchor, Role, Shape};

/// Height of one row of words.
const ROW: f64 = 15.0;
/// Least distance between two lines that go up.
const APART: f64 = 9.0;
/// Height in which lines spread from their places.
const SPREAD: f64 = 16.0;

/// Words for a place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Label {
    /// The place that they are about.
    pub at: [f64; 2],
    /// The words.
    pub words: String,
}

/// Labels with the place and the row that each got; the lowest row is zero.
pub(super) struct Laid {
    /// Each with the place of its line, and its row.
    labels: Vec<(Label, f64, usize)>,
    /// Height of all rows.
    pub height: f64,
    /// Where the words reach to on the right.
    pub right: f64,
}

/// Finds a row for each; `left` is where the first line may stand.
pub(super) fn lay(mut labels: Vec<Label>, left: f64) -> Laid {
    labels.sort_by(|one, other| one.at[0].total_cmp(&other.at[0]));
    let places: Vec<f64> = labels.iter().map(|label| label.at[0]).collect();
    let lines = apart(&places, left);
    // From the right: what lies to the right of a label is known when its row is chosen.
    let mut laid: Vec<(Label, f64, usize)> = Vec::new();
    for (label, line) in labels.into_iter().zip(lines).rev() {
        let end = line + 8.0 + width(&label.words);
        let under = laid.iter().filter(|(_, other, _)| *other < end + 4.0);
        let row = under.map(|(_, _, row)| row + 1).max().unwrap_or(0);
        laid.push((label, line, row));
    }
    let rows = laid.iter().map(|(_, _, row)| row + 1).max().unwrap_or(0);
    let height = if rows == 0 { 0.0 } else { ROW * rows as f64 + SPREAD };
    let right = laid.iter().map(|(label, line, _)| line + 8.0 + width(&label.words));
    let right = right.fold(0.0, f64::max);
    Laid { labels: laid, height, right }
}

/// The places, moved as little as keeps them apart and in order.
fn apart(places: &[f64], left: f64) -> Vec<f64> {
    // Groups of neighbors that push one another, each with the middle that it wants.
    let mut groups: Vec<(f64, usize)> = Vec::new();
    for place in places {
        groups.push((*place, 1));
        while let [.., (one, many), (other, more)] = groups[..] {
            let reach = APART * (many + more) as f64 / 2.0;
            if other - one >= reach {
                break;
            }
            let all = many + more;
            let middle = (one * many as f64 + other * more as f64) / all as f64;
            groups.truncate(groups.len() - 2);
            groups.push((middle, all));
        }
    }
    let mut lines = Vec::new();
    for (middle, many) in groups {
        let first = middle - APART * (many as f64 - 1.0) / 2.0;
        lines.extend((0..many).map(|index| first + APART * index as f64));
    }
    let mut least = left;
    for line in &mut lines {
        *line = line.max(least);
        least = *line + APART;
    }
    lines
}

impl Laid {
    /// Draws them: `top` is the height just above the drawing.
    pub(super) fn shapes(&self, top: f64) -> Vec<Shape> {
        let mut shapes = Vec::new();
        for (label, line, row) in &self.labels {
            let y = top - SPREAD - ROW * *row as f64;
            let [x, at] = label.at;
            let role = Role::Measure;
            shapes.push(Shape::Way {
                points: vec![
                    [x, at],
                    [x, top],
                    [*line, top - SPREAD + 4.0],
                    [*line, y - 4.0],
                    [*line + 6.0, y - 4.0],
                ],
                role,
            });
            shapes.push(arrow([x, at], [0.0, 1.0]));
            let words = label.words.clone();
            shapes.push(Shape::Text { at: [*line + 8.0, y], anchor: Anchor::Start, words });
        }
        shapes
    }
}
