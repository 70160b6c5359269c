//! Lengths below a drawing: each in a row of its own, all from one place, so that no word can lie
//! on another (ISO 129-1, dimensions from a common feature).

use crate::scene::{Anchor, Role, Shape};

/// Height of one row.
pub(super) const ROW: f64 = 17.0;
/// Room between the drawing and the first row.
pub(super) const GAP: f64 = 12.0;
/// Length of an arrow.
const ARROW: f64 = 8.0;
/// Width that a letter takes at most, in the letters of pictures.
const LETTER: f64 = 6.6;

/// One length from the common place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Measure {
    /// Where it ends on the paper.
    pub to: f64,
    /// Where the line that helps it begins, in height.
    pub from_height: f64,
    /// What it says.
    pub words: String,
}

/// Width that words take at most.
pub(super) fn width(words: &str) -> f64 {
    words.chars().count() as f64 * LETTER
}

/// The rows below `top`, the shortest length first; `start` is the common place and the height at
/// which its line begins. Gives the height at which they end. Words that do not fit between their
/// arrows stand beside the common place, where no line passes.
pub(super) fn rows(
    start: [f64; 2],
    top: f64,
    measures: &[Measure],
    shapes: &mut Vec<Shape>,
) -> f64 {
    let mut measures = measures.to_vec();
    let long = |measure: &Measure| (measure.to - start[0]).abs();
    measures.sort_by(|one, other| long(one).total_cmp(&long(other)));
    let mut y = top + GAP;
    for measure in &measures {
        y += ROW;
        shapes.push(line([measure.to, measure.from_height + 2.0, measure.to, y + 3.0]));
        row(start[0], y, measure, shapes);
    }
    if !measures.is_empty() {
        shapes.push(line([start[0], start[1] + 2.0, start[0], y + 3.0]));
    }
    y + 6.0
}

fn row(start: f64, y: f64, measure: &Measure, shapes: &mut Vec<Shape>) {
    // The rest of the drawing lies on the other side of the common place.
    let toward = (measure.to - start).signum();
    let long = (measure.to - start).abs();
    let words = measure.words.clone();
    if long >= width(&words) + 2.0 * ARROW + 4.0 {
        shapes.push(line([start, y, measure.to, y]));
        shapes.push(arrow([start, y], [-toward, 0.0]));
        shapes.push(arrow([measure.to, y], [toward, 0.0]));
        let middle = f64::midpoint(start, measure.to);
        shapes.push(Shape::Text { at: [middle, y - 3.0], anchor: Anchor::Middle, words });
        return;
    }
    let (mut from, mut to) = (start, measure.to);
    if long < 2.0 * ARROW + 4.0 {
        // Too short for arrows inside: they point at it from both sides.
        shapes.push(arrow([start, y], [toward, 0.0]));
        shapes.push(arrow([measure.to, y], [-toward, 0.0]));
        (from, to) = (start - toward * 2.0 * ARROW, measure.to + toward * 2.0 * ARROW);
    } else {
        shapes.push(arrow([start, y], [-toward, 0.0]));
        shapes.push(arrow([measure.to, y], [toward, 0.0]));
        from -= toward * ARROW;
    }
    shapes.push(line([from, y, to, y]));
    let anchor = if toward < 0.0 { Anchor::Start } else { Anchor::End };
    shapes.push(Shape::Text { at: [from - toward * 4.0, y + 4.0], anchor, words });
}

fn line(at: [f64; 4]) -> Shape {
    Shape::Line { at, role: Role::Measure }
}

/// An arrow with its tip at a place, pointing one way (a step of length one).
pub(super) fn arrow(tip: [f64; 2], way: [f64; 2]) -> Shape {
    let back = [tip[0] - way[0] * ARROW, tip[1] - way[1] * ARROW];
    let side = [-way[1] * ARROW * 0.18, way[0] * ARROW * 0.18];
    let loops = vec![vec![
        tip,
        [back[0] + side[0], back[1] + side[1]],
        [back[0] - side[0], back[1] - side[1]],
    ]];
    Shape::Area { loops, role: Role::Arrow, title: String::new() }
}
