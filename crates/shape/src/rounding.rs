//! Whether rounding a crossing to the grid can change more than that crossing.
//!
//! A rounded crossing bends the two edges it lies on by less than a grid step. If no corner lies
//! between an edge and its bent self, and the bent parts touch nothing but their neighbors, then
//! every decision made with the exact crossing still holds, and the short way of cutting gives what
//! the general way gives.

use crate::convex::Convex;
use crate::point::{Bounds, Point, dot, touches, turn};
use crate::region::Region;

/// A crossing that is not on the grid, rounded, with the edges of metal and tool it lies on.
pub(crate) struct Rounded {
    pub(crate) point: Point,
    pub(crate) on: [(Point, Point); 2],
}

/// An edge from its start to its end with the rounded crossings on it.
type Run = Vec<Point>;

/// Whether the rounded crossings leave everything else as it was.
pub(crate) fn unharmed(region: &Region, piece: &Convex, rounded: &[Rounded]) -> bool {
    let runs = runs(rounded);
    let parts = || runs.iter().flat_map(|run| run.windows(2).map(|w| (w[0], w[1])));
    let is_run = |a: Point, b: Point| runs.iter().any(|run| run[0] == a && run[run.len() - 1] == b);
    let is_rounded = |p: Point| rounded.iter().any(|r| r.point == p);
    let edges = || region.loops().chain([piece.points()]).flat_map(crate::point::edges);

    runs.iter().filter(|run| is_bent(run)).all(|run| {
        let reach = run.iter().fold(Bounds { min: run[0], max: run[0] }, |b, &p| b.with(p));
        let near: Vec<_> = edges().filter(|&(c, d)| reach.near(c, d)).collect();
        near.iter().all(|&(_, corner)| !is_between(run, corner))
            && run.windows(2).all(|w| {
                let own = |c: Point, d: Point| (c, d) == (w[0], w[1]);
                let free = |c: Point, d: Point| apart(w[0], w[1], c, d);
                near.iter()
                    .all(|&(c, d)| is_run(c, d) || !is_rounded(c) && !is_rounded(d) && free(c, d))
                    && parts().all(|(c, d)| own(c, d) || free(c, d))
            })
    })
}

fn runs(rounded: &[Rounded]) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::with_capacity(4);
    for crossing in rounded {
        for (a, b) in crossing.on {
            match runs.iter_mut().find(|run| run[0] == a && run[run.len() - 1] == b) {
                Some(run) => {
                    let nearer = dot(crossing.point.minus(run[1]), b.minus(a)) < 0;
                    run.insert(if nearer { 1 } else { 2 }, crossing.point);
                }
                None => runs.push(vec![a, crossing.point, b]),
            }
        }
    }
    runs
}

fn is_bent(run: &Run) -> bool {
    run.iter().any(|&p| turn(run[0], run[run.len() - 1], p) != 0)
}

/// Whether a corner lies between an edge and its bent self.
fn is_between(run: &Run, corner: Point) -> bool {
    let within = |a: Point, b: Point, c: Point| {
        let sides = [turn(a, b, corner), turn(b, c, corner), turn(c, a, corner)];
        sides.iter().all(|&s| s >= 0) || sides.iter().all(|&s| s <= 0)
    };
    if run.contains(&corner) {
        return false;
    }
    match run[..] {
        [a, p, b] => within(a, p, b),
        [a, p, q, b] => within(a, p, b) || within(a, q, b) || within(a, p, q) || within(p, q, b),
        _ => true,
    }
}

/// Whether two different edges have nothing in common but one end.
fn apart(a: Point, b: Point, c: Point, d: Point) -> bool {
    let fork = |middle: Point, p: Point, q: Point| {
        turn(middle, p, q) != 0 || dot(p.minus(middle), q.minus(middle)) < 0
    };
    if a == c && b == d || a == d && b == c {
        return false;
    }
    if b == c {
        fork(b, a, d)
    } else if a == d {
        fork(a, b, c)
    } else if a == c {
        fork(a, b, d)
    } else if b == d {
        fork(b, a, c)
    } else {
        !touches(a, b, c, d)
    }
}
