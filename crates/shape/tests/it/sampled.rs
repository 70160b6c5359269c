//! Sweeps, cuts and overlaps against dense samples: a point is swept if and only if it is in the
//! outline at some place of the way.
//!
//! The oracle decides "in the outline" by the even-odd rule in floating point, written here, at
//! 4,000 places of the way; points nearer to the boundary than the step allows are left out.

use crate::turnings::{MM, insert, turning};
use proptest::prelude::*;
use shape::{Chord, Edge, Move, Outline, Point, Region, Side, Sweep, Turn};

const PLACES: usize = 4_000;

fn inside(outline: &[Point], z: f64, r: f64) -> bool {
    let mut inside = false;
    for i in 0..outline.len() {
        let (a, b) = (outline[i], outline[(i + 1) % outline.len()]);
        let (az, ar, bz, br) = (a.z as f64, a.r as f64, b.z as f64, b.r as f64);
        if (ar > r) != (br > r) && z < (bz - az) * (r - ar) / (br - ar) + az {
            inside = !inside;
        }
    }
    inside
}

/// The least distance of a point from an outline's boundary.
#[allow(clippy::many_single_char_names, reason = "those of a textbook")]
fn distance(outline: &[Point], z: f64, r: f64) -> f64 {
    let edge = |i: usize| {
        let (a, b) = (outline[i], outline[(i + 1) % outline.len()]);
        let (dz, dr) = ((b.z - a.z) as f64, (b.r - a.r) as f64);
        let (pz, pr) = (z - a.z as f64, r - a.r as f64);
        let t = ((pz * dz + pr * dr) / (dz * dz + dr * dr)).clamp(0., 1.);
        f64::hypot(pz - t * dz, pr - t * dr)
    };
    (0..outline.len()).map(edge).fold(f64::INFINITY, f64::min)
}

/// The reference point at `t` of the way, and the way's length.
fn at(way: &Move, t: f64) -> (f64, f64) {
    match *way {
        Move::Line { from, to } => {
            (from.z as f64 + (to.z - from.z) as f64 * t, from.r as f64 + (to.r - from.r) as f64 * t)
        }
        Move::Arc { from, to, center, turn } => {
            let angle = |p: Point| f64::atan2((p.r - center.r) as f64, (p.z - center.z) as f64);
            let full = 2. * std::f64::consts::PI;
            let mut swept = angle(to) - angle(from);
            match turn {
                Turn::Counterclockwise if swept <= 0. => swept += full,
                Turn::Clockwise if swept >= 0. => swept -= full,
                _ => {}
            }
            let radius = f64::hypot((from.z - center.z) as f64, (from.r - center.r) as f64);
            let a = angle(from) + swept * t;
            (center.z as f64 + radius * a.cos(), center.r as f64 + radius * a.sin())
        }
    }
}

fn length(way: &Move) -> f64 {
    (0..64)
        .map(|i| (at(way, f64::from(i) / 64.), at(way, f64::from(i + 1) / 64.)))
        .map(|(a, b)| f64::hypot(b.0 - a.0, b.1 - a.1))
        .sum::<f64>()
        * 1.01
}

/// `Some(true)` if swept, `Some(false)` if farther than `margin` from everything swept.
fn sampled(outline: &Outline, way: &Move, p: Point, margin: f64) -> Option<bool> {
    let mut nearest = f64::INFINITY;
    for fold in [1., -1.] {
        for i in 0..=PLACES {
            let (z, r) = at(way, i as f64 / PLACES as f64);
            let (z, r) = (p.z as f64 - z, fold * p.r as f64 - r);
            let deep = distance(outline.points(), z, r);
            if inside(outline.points(), z, r) {
                if deep > margin {
                    return Some(true);
                }
                nearest = 0.;
            }
            nearest = nearest.min(deep);
        }
    }
    (nearest > margin + length(way) / PLACES as f64).then_some(false)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn swept_points_are_those_the_outline_passes(
        job in turning(3),
        probes in prop::collection::vec((-32_000_000_i64..15_000_000, 0_i64..24_000_000), 40),
    ) {
        for (tool, way) in job.moves.iter().take(2) {
            let outline = &job.tools[*tool];
            let sweep = Sweep::of(outline, way, Chord::FINE).unwrap();
            let region = Region::from(&sweep);
            for &(z, r) in &probes {
                let p = Point::new(z, r);
                // 200 nm for the chord, 1 nm for the grid.
                if let Some(swept) = sampled(outline, way, p, 202.) {
                    prop_assert_eq!(region.contains(p), swept, "{:?} {:?}", p, way);
                    prop_assert_eq!(job.bar.cut(&sweep).contains(p), job.bar.contains(p) && !swept);
                }
            }
        }
    }

    /// With `Side::Outside` no point of the true sweep is missed, with arcs of tool and way both.
    #[test]
    fn outside_covers_the_true_sweep(
        nose in 1_i64..3_000, radius in 1_i64..20_000, start in 0.0..6.2_f64, swept in 0.1..6.0_f64,
        t in 0.0..1.0_f64, angle in 0.0..6.3_f64, tolerance in 100_i64..100_000,
    ) {
        let (nose, radius) = (nose * 1_000, radius * 1_000);
        let chord = Chord { tolerance, side: Side::Outside };
        let center = Point::new(0, 60 * MM);
        let rim = |a: f64| Point::new(
            center.z + (radius as f64 * a.cos()).round() as i64,
            center.r + (radius as f64 * a.sin()).round() as i64,
        );
        let disc = Outline::new(
            Point::new(nose, 0),
            &[Edge::Arc { to: Point::new(nose, 0), center: Point::new(0, 0), turn: Turn::Clockwise }],
            chord,
        ).unwrap();
        let (from, to) = (rim(start), rim(start + swept));
        prop_assume!(from != to);
        let way = Move::Arc { from, to, center, turn: Turn::Counterclockwise };
        let (z, r) = at(&way, t);
        // A point of the true disc at a place of the true way, 2 nm inside.
        let reach = (nose as f64 - 2.).max(0.);
        let p = Point::new((z + reach * angle.cos()).round() as i64, (r + reach * angle.sin()).round() as i64);
        let sweep = Sweep::of(&disc, &way, chord).unwrap();
        let covered = |p| sweep.pieces().iter().any(|piece| {
            Region::from(&Outline::polygon(piece.points()).unwrap()).contains(p)
        });
        prop_assert!(covered(p), "{p:?}");
        // And no more than the tolerances of tool and way beyond it.
        let beyond = nose as f64 + 2. * tolerance as f64 + 4.;
        let ring = |a: f64, b: f64| Point::new(
            (center.z as f64 + b * a.cos()).round() as i64,
            (center.r as f64 + b * a.sin()).round() as i64,
        );
        prop_assert!(!covered(ring(start + swept * t, radius as f64 + beyond)));
        if radius as f64 > beyond + 10. {
            prop_assert!(!covered(ring(start + swept * t, radius as f64 - beyond)));
        }
    }

    /// The depth of an overlap is the greatest distance from the piece's outline of any point that
    /// is in both, as far as a grid of samples can tell.
    #[test]
    fn depth_is_the_deepest_sample(job in turning(4), z in -20_000_000_i64..2_000_000, r in 1_000_000_i64..12_000_000) {
        let metal = job.moves.iter().fold(job.bar.clone(), |m, (t, way)| {
            m.cut(&Sweep::of(&job.tools[*t], way, Chord { tolerance: 50_000, ..Chord::FINE }).unwrap())
        });
        let tool = insert(800, 200);
        let place = Move::line(Point::new(z, r), Point::new(z, r)).unwrap();
        let sweep = Sweep::of(&tool, &place, Chord::FINE).unwrap();
        let found = metal.overlap(&sweep, 0);
        let mut best: f64 = 0.;
        for piece in sweep.pieces() {
            let b = piece.bounds();
            for i in 1..40 {
                for j in 1..40 {
                    let p = Point::new(
                        b.min.z + (b.max.z - b.min.z) * i / 40,
                        b.min.r + (b.max.r - b.min.r) * j / 40,
                    );
                    if inside(piece.points(), p.z as f64, p.r as f64) && metal.contains(p) {
                        best = best.max(distance(piece.points(), p.z as f64, p.r as f64));
                    }
                }
            }
        }
        match found {
            None => prop_assert!(best < 2., "missed {best}"),
            Some(found) => {
                prop_assert!(best <= found.depth as f64 + 2., "{best} against {found:?}");
                prop_assert!(metal.contains(found.at) || metal_near(&metal, found.at));
                // It is really that deep there.
                let deep = sweep.pieces().iter()
                    .filter(|p| inside(p.points(), found.at.z as f64, found.at.r as f64))
                    .map(|p| distance(p.points(), found.at.z as f64, found.at.r as f64))
                    .fold(0., f64::max);
                prop_assert!((deep - found.depth as f64).abs() <= 3., "{deep} against {found:?}");
            }
        }
    }
}

fn metal_near(metal: &Region, p: Point) -> bool {
    [(-1, 0), (1, 0), (0, -1), (0, 1), (-1, -1), (1, 1), (-1, 1), (1, -1)]
        .iter()
        .any(|&(z, r)| metal.contains(Point::new(p.z + z, p.r + r)))
}
