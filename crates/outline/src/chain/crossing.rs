//! An outline neither crosses nor touches itself.

use super::{Around, Chain, Edge, Place};
use crate::drawing::Scale;
use crate::{JOIN, Refused};
use model::{Diagnostic, Source};

/// Says where the outline crosses or touches itself.
pub(super) fn none(source: &Source, chain: &Chain, scale: &Scale) -> Result<(), Refused> {
    let edges = &chain.edges;
    for (index, a) in edges.iter().enumerate() {
        for (later, b) in edges.iter().enumerate().skip(index + 1) {
            if apart(a, b) {
                continue;
            }
            let shared = [
                (later == index + 1).then_some(a.to),
                (chain.closed && index == 0 && later + 1 == edges.len()).then_some(a.from),
            ];
            let at = meet(a, b).into_iter().find(|at| !is_any(*at, &shared));
            let at = at.or_else(|| {
                shared.iter().flatten().copied().find(|it| turns_back(a, b, *it)).map(exact)
            });
            if let Some((x, y)) = at {
                let place = scale.place(x.round() as i64, y.round() as i64);
                let message = format!("the outline crosses or touches itself at {place}");
                let help = "draw the outline of the section as one line that meets itself nowhere";
                return Err(Diagnostic::new(source, b.span, message).help(help).into());
            }
        }
    }
    Ok(())
}

const fn exact(place: Place) -> (f64, f64) {
    (place.x as f64, place.y as f64)
}

fn is_any(at: (f64, f64), places: &[Option<Place>]) -> bool {
    let off = 2.0 * JOIN as f64;
    let near = |place: &Place| {
        (at.0 - place.x as f64).abs() <= off && (at.1 - place.y as f64).abs() <= off
    };
    places.iter().flatten().any(near)
}

/// Whether two straight lines that share a place lie on each other there.
fn turns_back(a: &Edge, b: &Edge, shared: Place) -> bool {
    if a.around.is_some() || b.around.is_some() {
        return false;
    }
    let from_shared = |edge: &Edge| {
        let far = if super::near(edge.from, shared) { edge.to } else { edge.from };
        ((far.x - shared.x) as f64, (far.y - shared.y) as f64)
    };
    let ((ax, ay), (bx, by)) = (from_shared(a), from_shared(b));
    let cross = (ax * by - ay * bx).abs();
    let shorter = libm::hypot(ax, ay).min(libm::hypot(bx, by));
    let longer = libm::hypot(ax, ay).max(libm::hypot(bx, by));
    ax * bx + ay * by > 0.0 && cross / longer <= 1.5 && shorter > 0.0
}

/// Left, bottom, right, top.
fn bounds(edge: &Edge) -> [f64; 4] {
    if let Some(around) = edge.around {
        let r = around.radius;
        return [around.x - r, around.y - r, around.x + r, around.y + r];
    }
    let (from, to) = (exact(edge.from), exact(edge.to));
    [from.0.min(to.0), from.1.min(to.1), from.0.max(to.0), from.1.max(to.1)]
}

fn apart(a: &Edge, b: &Edge) -> bool {
    let (a, b) = (bounds(a), bounds(b));
    let join = JOIN as f64;
    a[2] + join < b[0] || b[2] + join < a[0] || a[3] + join < b[1] || b[3] + join < a[1]
}

/// The places at which two edges meet.
fn meet(a: &Edge, b: &Edge) -> Vec<(f64, f64)> {
    match (a.around, b.around) {
        (None, None) => straights(a, b).into_iter().collect(),
        (None, Some(around)) => straight_and_arc(a, b, around),
        (Some(around), None) => straight_and_arc(b, a, around),
        (Some(first), Some(second)) => arcs(a, first, b, second),
    }
}

fn straights(a: &Edge, b: &Edge) -> Option<(f64, f64)> {
    let ((ax, ay), (bx, by)) = (exact(a.from), exact(b.from));
    let (ux, uy) = ((a.to.x - a.from.x) as f64, (a.to.y - a.from.y) as f64);
    let (vx, vy) = ((b.to.x - b.from.x) as f64, (b.to.y - b.from.y) as f64);
    let cross = ux * vy - uy * vx;
    let (wx, wy) = (bx - ax, by - ay);
    let lengths = (libm::hypot(ux, uy), libm::hypot(vx, vy));
    if cross.abs() <= 1e-9 * lengths.0 * lengths.1 {
        // Side by side: they meet where they lie on one line and an end of one lies within the other.
        let off = (ux * wy - uy * wx).abs() / lengths.0;
        let on = |x: f64, y: f64| (ux * x + uy * y) / (lengths.0 * lengths.0);
        let (start, end) = (on(wx, wy), on(wx + vx, wy + vy));
        let (low, high) = (start.min(end).max(0.0), start.max(end).min(1.0));
        let overlap = (high - low) * lengths.0 > 2.0 * JOIN as f64;
        let middle = f64::midpoint(low, high);
        return (off <= 1.5 && overlap).then_some((ax + middle * ux, ay + middle * uy));
    }
    let s = (wx * vy - wy * vx) / cross;
    let t = (wx * uy - wy * ux) / cross;
    let slack = (JOIN as f64 / lengths.0, JOIN as f64 / lengths.1);
    let within = |share: f64, slack: f64| share >= -slack && share <= 1.0 + slack;
    (within(s, slack.0) && within(t, slack.1)).then_some((ax + s * ux, ay + s * uy))
}

fn on_arc(edge: &Edge, around: Around, (x, y): (f64, f64)) -> bool {
    edge.holds(libm::atan2(y - around.y, x - around.x))
}

fn straight_and_arc(line: &Edge, arc: &Edge, around: Around) -> Vec<(f64, f64)> {
    let (x, y) = exact(line.from);
    let (ux, uy) = ((line.to.x - line.from.x) as f64, (line.to.y - line.from.y) as f64);
    let length = libm::hypot(ux, uy);
    let (wx, wy) = (around.x - x, around.y - y);
    let along = (wx * ux + wy * uy) / length;
    let off = (ux * wy - uy * wx) / length;
    // A line that touches the arc within a thousandth of a micrometer is tangent, which outlines are often.
    let square = around.radius * around.radius - off * off;
    if square < 0.0 || around.radius - off.abs() < 1.5 {
        return Vec::new();
    }
    let half = libm::sqrt(square);
    let places =
        [along - half, along + half].map(|at| (at, (x + at * ux / length, y + at * uy / length)));
    let within = |at: f64| at >= 0.0 && at <= length;
    places
        .into_iter()
        .filter(|(at, it)| within(*at) && on_arc(arc, around, *it))
        .map(|it| it.1)
        .collect()
}

fn arcs(a: &Edge, first: Around, b: &Edge, second: Around) -> Vec<(f64, f64)> {
    let (dx, dy) = (second.x - first.x, second.y - first.y);
    let distance = libm::hypot(dx, dy);
    if distance < 1.5 {
        return Vec::new();
    }
    let along = (distance * distance + first.radius * first.radius - second.radius * second.radius)
        / (2.0 * distance);
    if first.radius - along.abs() < 1.5 {
        return Vec::new();
    }
    let half = libm::sqrt(first.radius * first.radius - along * along);
    let (ux, uy) = (dx / distance, dy / distance);
    let places =
        [half, -half].map(|off| (first.x + along * ux - off * uy, first.y + along * uy + off * ux));
    let on_both = |it: &(f64, f64)| on_arc(a, first, *it) && on_arc(b, second, *it);
    places.into_iter().filter(on_both).collect()
}
