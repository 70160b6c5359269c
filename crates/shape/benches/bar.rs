//! A bar of 44 parts, 210 moves a part, cut with and without remembering, and the plain way: each
//! move one boolean of a general-purpose polygon library over the whole bar, same moves, same
//! sweeps. Compare within one run only.

#![allow(clippy::unwrap_used)]

use clipper2_rust::{FillRule, Path64, Paths64, Point64, difference_64};
use divan::{Bencher, black_box};
use i_overlay::core::{fill_rule, overlay::Overlay, overlay_rule::OverlayRule};
use i_overlay::i_float::int::point::IntPoint;
use shape::{Chord, Edge, Move, Outline, Placed, Point, Region, Reuse, Store, Sweep, Turn};

fn main() {
    divan::main();
}

const MM: i64 = 1_000_000;
const PARTS: i64 = 44;
const PITCH: i64 = 25 * MM;
const RADIUS: i64 = 10 * MM;
/// How much of the bar a part's cuts can reach.
const HEAD: i64 = 40 * MM;
/// The section of one finished part as GEOS finds it: `tests/geos/plain_bar.py`.
const GEOS_PART_MM2: f64 = 106.784_098;

fn mm(z: f64, r: f64) -> Point {
    Point { z: (z * 1e6).round() as i64, r: (r * 1e6).round() as i64 }
}

/// A turning insert with a nose of 0.4 mm, a groover 2 mm wide, a parting blade 3 mm wide.
fn tools() -> [Outline; 3] {
    let nose = Edge::Arc { to: mm(0.4, 0.), center: mm(0.4, 0.4), turn: Turn::Counterclockwise };
    let rest = [mm(9.5, 0.8), mm(9., 9.), mm(0.8, 9.5)].map(Edge::Line);
    let edges: Vec<Edge> = [nose].into_iter().chain(rest).collect();
    let turning = Outline::new(mm(0., 0.4), &edges, Chord::FINE).unwrap();
    let blade = |w: f64| {
        Outline::polygon(&[mm(0., 0.), mm(w, 0.), mm(w - 0.1, 15.), mm(0.1, 15.)]).unwrap()
    };
    [turning, blade(2.), blade(3.)]
}

struct Path {
    at: Point,
    moves: Vec<(usize, Move)>,
}

impl Path {
    fn to(&mut self, tool: usize, z: f64, r: f64) {
        let to = mm(z, r);
        self.moves.push((tool, Move::Line { from: self.at, to }));
        self.at = to;
    }

    fn arc(&mut self, z: f64, r: f64, center: Point, turn: Turn) {
        let to = mm(z, r);
        self.moves.push((0, Move::Arc { from: self.at, to, center, turn }));
        self.at = to;
    }
}

/// Face, 44 roughing passes to a stepped shaft, a finishing pass with taper and radius, a groove,
/// part-off.
fn moves() -> Vec<(usize, Move)> {
    let mut path = Path { at: mm(2., 12.), moves: Vec::new() };
    path.to(0, 0., 11.);
    path.to(0, 0., -0.4);
    path.to(0, 1., 11.);
    for pass in 1..=44_i32 {
        let r = 10. - f64::from(pass) * 0.15;
        let end = -21. + f64::from(pass) * 0.25;
        path.to(0, 1., r);
        path.to(0, end, r);
        path.to(0, end + 0.2, r + 0.3);
        path.to(0, 1., r + 0.3);
    }
    path.to(0, 1., 2.3);
    path.to(0, 0., 2.3);
    path.to(0, -1., 3.3);
    path.to(0, -8., 3.3);
    path.arc(-9.5, 4.8, mm(-8., 4.8), Turn::Clockwise);
    path.to(0, -16., 6.3);
    path.to(0, -20., 8.2);
    path.to(0, -22.2, 8.2);
    path.to(0, -22.2, 11.);
    path.to(0, 2., 12.);
    path.to(1, -14., 12.);
    for depth in 1..=8_i32 {
        path.to(1, -14., 6. - f64::from(depth) * 0.3);
        path.to(1, -14., 6.1 - f64::from(depth) * 0.3);
    }
    path.to(1, -14., 12.);
    path.to(2, -25., 12.);
    path.to(2, -25., -0.2);
    path.to(2, -25., 12.);
    path.moves
}

/// Only what the cuts can reach is a region; the rest of the bar is a length.
fn with_store(reuse: Reuse) -> usize {
    let mut store = Store::new(reuse, Chord::FINE);
    let outlines = tools().map(|t| store.outline(t));
    let moves = moves();
    let mut tail = PARTS * PITCH;
    let mut head: Placed =
        store.place(&Region::rectangle(Point::new(-HEAD, 0), Point::new(0, RADIUS)).unwrap());
    let fresh =
        store.place(&Region::rectangle(Point::new(-PITCH, 0), Point::new(0, RADIUS)).unwrap());
    let (mut fallen, mut part) = (0, head);
    for _ in 0..PARTS {
        for (tool, way) in &moves {
            head = store.cut(head, outlines[*tool], way).unwrap();
        }
        let pieces = store.pieces(head);
        fallen += pieces.len() - 1;
        part = pieces[1];
        head = pieces[0].moved(PITCH);
        tail -= PITCH;
        head = store.union(head, fresh.moved(PITCH - HEAD));
    }
    assert_eq!((fallen, tail), (44, 0));
    // Its chords lie inside, these outside: 0.4 µm along a profile of 60 mm between them.
    assert!((store.region(part).area_mm2() - GEOS_PART_MM2).abs() < 0.024);
    store.len()
}

#[divan::bench]
fn remembered(bencher: Bencher) {
    bencher.bench(|| with_store(black_box(Reuse::Remember)));
}

#[divan::bench]
fn anew(bencher: Bencher) {
    bencher.bench(|| with_store(black_box(Reuse::Anew)));
}

/// The first part alone: the cost of moves that were never seen.
#[divan::bench]
fn one_part(bencher: Bencher) {
    let (tools, moves) = (tools(), moves());
    bencher.bench(|| {
        let bar = Region::rectangle(Point::new(-HEAD, 0), Point::new(0, RADIUS)).unwrap();
        moves.iter().fold(bar, |bar, (tool, way)| {
            bar.cut(&Sweep::of(&tools[*tool], way, Chord::FINE).unwrap())
        })
    });
}

#[divan::bench]
fn one_part_generally(bencher: Bencher) {
    let (tools, moves) = (tools(), moves());
    bencher.bench(|| {
        let bar = Region::rectangle(Point::new(-HEAD, 0), Point::new(0, RADIUS)).unwrap();
        moves.iter().fold(bar, |bar, (tool, way)| {
            bar.cut_generally(&Sweep::of(&tools[*tool], way, Chord::FINE).unwrap())
        })
    });
}

#[divan::bench]
fn sweeps_of_one_part(bencher: Bencher) {
    let (tools, moves) = (tools(), moves());
    bencher.bench(|| {
        moves
            .iter()
            .map(|(tool, way)| Sweep::of(&tools[*tool], way, Chord::FINE).unwrap().pieces().len())
            .sum::<usize>()
    });
}

/// Whether the tool of each move would hit a part that is finished: every collision question of a
/// part, none remembered.
#[divan::bench]
fn overlaps_of_one_part(bencher: Bencher) {
    let (tools, moves) = (tools(), moves());
    let bar = Region::rectangle(Point::new(-HEAD, 0), Point::new(0, RADIUS)).unwrap();
    let part = moves.iter().fold(bar, |bar, (tool, way)| {
        bar.cut(&Sweep::of(&tools[*tool], way, Chord::FINE).unwrap())
    });
    bencher.bench(|| {
        let hit = |(tool, way): &(usize, Move)| {
            part.overlap(&Sweep::of(&tools[*tool], way, Chord::FINE).unwrap(), 500).is_some()
        };
        let hits = moves.iter().filter(|m| hit(m)).count();
        assert_eq!(hits, 0);
    });
}

/// The sweeps, made before the clock runs: the plain ways pay for their booleans only.
fn plain_sweeps() -> Vec<Vec<Vec<Point>>> {
    let tools = tools();
    let sweep = |(tool, way): &(usize, Move)| {
        let sweep = Sweep::of(&tools[*tool], way, Chord::FINE).unwrap();
        sweep.pieces().iter().map(|p| p.points().to_vec()).collect()
    };
    moves().iter().map(sweep).collect()
}

fn whole_bar(shift: i64) -> [Point; 4] {
    let (low, high) = (Point::new(-HEAD - PARTS * PITCH + shift, 0), Point::new(shift, RADIUS));
    [low, Point::new(high.z, low.r), high, Point::new(low.z, high.r)]
}

#[divan::bench(sample_count = 10)]
fn plain_i_overlay(bencher: Bencher) {
    let grid = |p: &Point| IntPoint::<i64>::new(p.z, p.r);
    let sweeps: Vec<Vec<Vec<IntPoint<i64>>>> = plain_sweeps()
        .iter()
        .map(|pieces| pieces.iter().map(|p| p.iter().map(grid).collect()).collect())
        .collect();
    bencher.bench(|| {
        let mut bar = vec![vec![whole_bar(0).iter().map(grid).collect::<Vec<_>>()]];
        for _ in 0..PARTS {
            for clip in &sweeps {
                bar = Overlay::<i64>::from_subj_and_clip(&bar, clip)
                    .overlay(OverlayRule::Difference, fill_rule::FillRule::Positive);
            }
            bar.retain(|shape| shape[0].iter().any(|p| p.z() < -HEAD));
            for p in bar.iter_mut().flatten().flatten() {
                p.x += PITCH;
            }
        }
        bar
    });
}

trait Along {
    fn z(&self) -> i64;
}

impl Along for IntPoint<i64> {
    fn z(&self) -> i64 {
        self.x
    }
}

#[divan::bench(sample_count = 10)]
fn plain_clipper2(bencher: Bencher) {
    let grid = |p: &Point| Point64 { x: p.z, y: p.r };
    let path = |p: &Vec<Point>| p.iter().map(grid).collect::<Path64>();
    let sweeps: Vec<Paths64> =
        plain_sweeps().iter().map(|pieces| pieces.iter().map(path).collect()).collect();
    bencher.bench(|| {
        let mut bar: Paths64 = vec![whole_bar(0).iter().map(grid).collect()];
        for _ in 0..PARTS {
            for clip in &sweeps {
                bar = difference_64(&bar, clip, FillRule::NonZero);
            }
            bar.retain(|path| path.iter().any(|p| p.x < -HEAD));
            for p in bar.iter_mut().flatten() {
                p.x += PITCH;
            }
        }
        bar
    });
}
