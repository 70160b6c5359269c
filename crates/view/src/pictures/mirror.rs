//! Both halves of what turns about the axis, from the one half that is known.

use shape::{Point, Region};

/// The loops of a region on both sides of the axis, where `place` says at which height above or
/// below the axis (z, r in millimeters) lies on the paper; a loop that lies on the axis is one on
/// both sides.
pub(super) fn halves(region: &Region, place: impl Fn(f64, f64) -> [f64; 2]) -> Vec<Vec<[f64; 2]>> {
    let half = |points: &[Point], side: f64| -> Vec<[f64; 2]> {
        points.iter().map(|at| place(at.z as f64 / 1e6, side * at.r as f64 / 1e6)).collect()
    };
    let both = region.loops().map(|points| match from_axis_to_axis(points) {
        Some(points) => {
            let mut whole = half(&points, 1.0);
            whole.extend(half(&points, -1.0).into_iter().rev());
            vec![whole]
        }
        None => vec![half(points, 1.0), half(points, -1.0)],
    });
    both.flatten().collect()
}

/// A loop begun behind its edge on the axis; none where it has no such edge, or several.
fn from_axis_to_axis(points: &[Point]) -> Option<Vec<Point>> {
    let next = |index: usize| (index + 1) % points.len();
    let on_axis = |index: &usize| points[*index].r == 0 && points[next(*index)].r == 0;
    let mut edges = (0..points.len()).filter(on_axis);
    let (edge, None) = (edges.next()?, edges.next()) else { return None };
    let mut turned = points.to_vec();
    turned.rotate_left(next(edge));
    Some(turned)
}
