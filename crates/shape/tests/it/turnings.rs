//! Random shapes and turning jobs for the property tests.
#![allow(dead_code, unreachable_pub, missing_docs)]

use proptest::prelude::*;
use shape::{Chord, Convex, Edge, Move, Outline, Point, Region, Turn};

pub const UM: i64 = 1_000;
pub const MM: i64 = 1_000_000;

pub fn mm(z: f64, r: f64) -> Point {
    Point { z: (z * 1e6).round() as i64, r: (r * 1e6).round() as i64 }
}

/// An insert with a nose: tip at the origin, cutting towards −z and −r, nose radius in µm.
pub fn insert(nose: i64, lead: i64) -> Outline {
    let r = nose * UM;
    Outline::new(
        Point::new(0, r),
        &[
            Edge::Arc {
                to: Point::new(r, 0),
                center: Point::new(r, r),
                turn: Turn::Counterclockwise,
            },
            Edge::Line(Point::new(8 * MM, lead * UM)),
            Edge::Line(Point::new(8 * MM, 9 * MM)),
            Edge::Line(Point::new(lead * UM, 9 * MM)),
        ],
        Chord { tolerance: 20_000, ..Chord::FINE },
    )
    .unwrap()
}

pub fn blade(width: i64, length: i64) -> Outline {
    Outline::polygon(&[
        Point::new(0, 0),
        Point::new(width, 0),
        Point::new(width - width / 10, length),
        Point::new(width / 10, length),
    ])
    .unwrap()
}

/// Not convex: a shank with a hook, as a boring bar or a holder has.
pub fn hook() -> Outline {
    Outline::polygon(&[mm(0., 0.), mm(2., 0.), mm(2.5, 3.), mm(20., 3.), mm(20., 6.), mm(0.5, 6.)])
        .unwrap()
}

pub fn still() -> Move {
    Move::line(Point::default(), Point::default()).unwrap()
}

#[derive(Debug, Clone)]
pub struct Turning {
    pub bar: Region,
    pub tools: Vec<Outline>,
    pub moves: Vec<(usize, Move)>,
}

fn place() -> impl Strategy<Value = Point> {
    let coordinate = |low: i64, high: i64| {
        prop_oneof![
            3 => (low..=high).prop_map(|c| c * MM),
            2 => (low * 1000..=high * 1000).prop_map(|c| c * UM),
            1 => low * MM..=high * MM,
        ]
    };
    (coordinate(-30, 4), coordinate(-1, 12)).prop_map(|(z, r)| Point::new(z, r))
}

/// Moves one after another, most of them along an axis, as a program has.
fn way() -> impl Strategy<Value = Vec<Move>> {
    let step = (place(), 0..6_usize);
    (place(), prop::collection::vec(step, 1..4)).prop_map(|(start, steps)| {
        let mut from = start;
        let mut out = Vec::new();
        for (p, kind) in steps {
            let to = match kind {
                0 | 1 => Point::new(p.z, from.r),
                2 | 3 => Point::new(from.z, p.r),
                _ => p,
            };
            let corner = Point::new(from.z, to.r);
            let round = (to.z - from.z).abs() == (to.r - from.r).abs() && to.z != from.z;
            out.push(if kind == 5 && round {
                Move::Arc { from, to, center: corner, turn: Turn::Clockwise }
            } else if kind == 5 {
                // A quarter circle as large as the step along z.
                let d = (to.z - from.z).clamp(-3 * MM, 3 * MM);
                let to = Point::new(from.z + d, from.r + d.abs());
                let center = Point::new(from.z, from.r + d.abs());
                let turn = if d > 0 { Turn::Counterclockwise } else { Turn::Clockwise };
                if d == 0 { Move::Line { from, to } } else { Move::Arc { from, to, center, turn } }
            } else {
                Move::Line { from, to }
            });
            from = match out[out.len() - 1] {
                Move::Line { to, .. } | Move::Arc { to, .. } => to,
            };
        }
        out
    })
}

pub fn turning(most: usize) -> impl Strategy<Value = Turning> {
    let moves = prop::collection::vec((0..4_usize, way()), 1..most);
    let bar = (0..6_i64, 7..11_i64, prop::bool::ANY);
    (moves, bar, 1..900_i64, -500..500_i64).prop_map(
        |(moves, (bore, radius, solid), nose, lead)| {
            let low = if solid { 0 } else { bore * MM };
            let bar =
                Region::rectangle(Point::new(-40 * MM, low), Point::new(0, radius * MM)).unwrap();
            let tools = vec![insert(nose, lead), insert(400, 0), blade(3 * MM, 15 * MM), hook()];
            let moves =
                moves.into_iter().flat_map(|(t, ways)| ways.into_iter().map(move |w| (t, w)));
            Turning { bar, tools, moves: moves.collect() }
        },
    )
}

pub fn coarse_point(size: i64) -> impl Strategy<Value = Point> {
    (0..size, 0..size).prop_map(|(z, r)| Point::new(z, r))
}

pub fn coarse_convex(size: i64) -> impl Strategy<Value = Convex> {
    prop::collection::vec(coarse_point(size), 3..8)
        .prop_filter_map("no area", |points| Convex::hull(&points).ok())
}

pub fn coarse_region(size: i64) -> impl Strategy<Value = Region> {
    prop::collection::vec(coarse_convex(size), 1..5).prop_map(|parts| {
        let part = |c: &Convex| Region::from(&Outline::polygon(c.points()).unwrap());
        let sum = parts.iter().fold(Region::empty(), |sum, c| sum.union(&part(c)));
        if parts.len() > 3 { sum.difference(&part(&parts[0])) } else { sum }
    })
}
