//! A curve as lines and arcs that stay within a tolerance of it.

use crate::drawing::{Run, Spot, Stroke};
use model::Span;

/// How far the lines and arcs may stand off the curve: 0.002 mm, in nanometers.
pub(crate) const TOLERANCE_NM: f64 = 2_000.0;

/// Most halvings of one curve: 4096 arcs.
const HALVINGS: u32 = 12;

/// Strokes that stay within `tolerance` (in the drawing's own unit) of the curve from 0 to 1, measured at
/// seven places of each stroke; none where that takes more than 4096 of them.
pub(crate) fn strokes(
    curve: &dyn Fn(f64) -> Spot,
    tolerance: f64,
    span: Span,
) -> Option<Vec<Stroke>> {
    let mut strokes = Vec::new();
    fit(curve, (0.0, 1.0), tolerance, span, HALVINGS, &mut strokes).then_some(strokes)
}

fn fit(
    curve: &dyn Fn(f64) -> Spot,
    (start, end): (f64, f64),
    tolerance: f64,
    span: Span,
    halvings: u32,
    strokes: &mut Vec<Stroke>,
) -> bool {
    let middle = f64::midpoint(start, end);
    let (from, via, to) = (curve(start), curve(middle), curve(end));
    let run = through(from, via, to, tolerance);
    let near = (1..8).all(|place| {
        let at = curve(start + (end - start) * f64::from(place) / 8.0);
        off(at, from, to, run) <= tolerance
    });
    if near {
        strokes.push(Stroke { from, to, run, span, worked_out: false });
        return true;
    }
    halvings > 0
        && fit(curve, (start, middle), tolerance, span, halvings - 1, strokes)
        && fit(curve, (middle, end), tolerance, span, halvings - 1, strokes)
}

/// The arc through three places; a straight line where they lie on one, within a tenth of the tolerance.
fn through(from: Spot, via: Spot, to: Spot, tolerance: f64) -> Run {
    let (ax, ay) = (via.x - from.x, via.y - from.y);
    let (bx, by) = (to.x - from.x, to.y - from.y);
    let cross = ax * by - ay * bx;
    let chord = libm::hypot(bx, by);
    if chord == 0.0 || (cross / chord).abs() <= tolerance / 10.0 {
        return Run::Straight;
    }
    let (a, b) = (ax * ax + ay * ay, bx * bx + by * by);
    let x = (by * a - ay * b) / (2.0 * cross);
    let y = (ax * b - bx * a) / (2.0 * cross);
    let center = Spot { x: from.x + x, y: from.y + y };
    Run::Arc { center, radius: libm::hypot(x, y), ccw: cross > 0.0 }
}

/// How far a place stands off a stroke.
fn off(at: Spot, from: Spot, to: Spot, run: Run) -> f64 {
    match run {
        Run::Arc { center, radius, .. } => {
            (libm::hypot(at.x - center.x, at.y - center.y) - radius).abs()
        }
        Run::Straight => {
            let (x, y) = (to.x - from.x, to.y - from.y);
            let square = x * x + y * y;
            let along = ((at.x - from.x) * x + (at.y - from.y) * y) / square;
            let along = if along.is_finite() { along.clamp(0.0, 1.0) } else { 0.0 };
            libm::hypot(at.x - from.x - along * x, at.y - from.y - along * y)
        }
    }
}
