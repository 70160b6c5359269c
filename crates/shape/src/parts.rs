//! Splits a polygon into convex parts: ears are cut off, then neighbors joined while they stay
//! convex. Done once a tool, so it is simple rather than fast.

use crate::convex::Convex;
use crate::point::{Flaw, Point, turn};

/// Convex polygons that together are the inside of a simple counterclockwise polygon.
pub(crate) fn convex_parts(points: &[Point]) -> Result<Vec<Convex>, Flaw> {
    let mut parts = ears(points)?;
    while let Some((i, j, joined)) = first_join(&parts) {
        parts[i] = joined;
        parts.swap_remove(j);
    }
    parts.into_iter().map(Convex::from_ccw).collect()
}

fn ears(points: &[Point]) -> Result<Vec<Vec<Point>>, Flaw> {
    if is_convex(points) {
        return Ok(vec![points.to_vec()]);
    }
    let mut rest = points.to_vec();
    let mut out = Vec::with_capacity(points.len());
    while rest.len() > 3 {
        let n = rest.len();
        let ear = (0..n).find(|&i| {
            let (a, b, c) = (rest[(i + n - 1) % n], rest[i], rest[(i + 1) % n]);
            turn(a, b, c) > 0
                && rest
                    .iter()
                    .filter(|&&p| p != a && p != b && p != c)
                    .all(|&p| turn(a, b, p) < 0 || turn(b, c, p) < 0 || turn(c, a, p) < 0)
        });
        // A polygon in a line with a corner has no strict ear; that corner goes without a triangle.
        let flat =
            || (0..n).find(|&i| turn(rest[(i + n - 1) % n], rest[i], rest[(i + 1) % n]) == 0);
        match (ear, flat()) {
            (Some(i), _) => {
                out.push(vec![rest[(i + n - 1) % n], rest[i], rest[(i + 1) % n]]);
                rest.remove(i);
            }
            (None, Some(i)) => drop(rest.remove(i)),
            (None, None) => return Err(Flaw::CrossesItself),
        }
    }
    if turn(rest[0], rest[1], rest[2]) > 0 {
        out.push(rest);
    }
    Ok(out)
}

fn first_join(parts: &[Vec<Point>]) -> Option<(usize, usize, Vec<Point>)> {
    (0..parts.len()).find_map(|i| {
        (i + 1..parts.len()).find_map(|j| Some((i, j, joined(&parts[i], &parts[j])?)))
    })
}

/// Both parts as one, if they share an edge and stay convex.
fn joined(one: &[Point], two: &[Point]) -> Option<Vec<Point>> {
    let (n, m) = (one.len(), two.len());
    let (i, j) = (0..n)
        .flat_map(|i| (0..m).map(move |j| (i, j)))
        .find(|&(i, j)| one[i] == two[(j + 1) % m] && one[(i + 1) % n] == two[j])?;
    let mut out: Vec<Point> = (1..n).map(|k| one[(i + k) % n]).collect();
    out.push(one[i]);
    out.extend((2..m).map(|k| two[(j + k) % m]));
    is_convex(&out).then_some(out)
}

/// Whether a loop only turns left or goes straight on; loops here turn once.
fn is_convex(points: &[Point]) -> bool {
    let n = points.len();
    (0..n).all(|i| turn(points[i], points[(i + 1) % n], points[(i + 2) % n]) >= 0)
}
