//! Booleans against another polygon library: `clipper2-rust`, a port of Clipper2, on the same grid.
//!
//! Both round crossings, each in its own way, so results are compared by the area in which they
//! differ: at most 2 nm along the edges of both.

use crate::turnings::{MM, turning};
use clipper2_rust::{
    FillRule, Path64, Paths64, Point64, area, difference_64, intersect_64, union_64, xor_64,
};
use proptest::prelude::*;
use shape::{Chord, Point, Region, Sweep};

fn paths(region: &Region) -> Paths64 {
    region.loops().map(path).collect()
}

fn path(points: &[Point]) -> Path64 {
    points.iter().map(|p| Point64 { x: p.z, y: p.r }).collect()
}

fn pieces(sweep: &Sweep) -> Paths64 {
    sweep.pieces().iter().map(|p| path(p.points())).collect()
}

fn perimeter(paths: &Paths64) -> f64 {
    let edge = |p: &Path64, i: usize| {
        let (a, b) = (p[i], p[(i + 1) % p.len()]);
        f64::hypot((b.x - a.x) as f64, (b.y - a.y) as f64)
    };
    paths.iter().map(|p| (0..p.len()).map(|i| edge(p, i)).sum::<f64>()).sum()
}

/// The area in which two results differ, in nm², and what their rounding explains.
fn difference(ours: &Paths64, theirs: &Paths64) -> (f64, f64) {
    let differ: f64 = xor_64(ours, theirs, FillRule::NonZero).iter().map(area).sum();
    (differ.abs(), 2. * (perimeter(ours) + perimeter(theirs)))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    /// The whole of a turning job, cut by cut: the error does not grow.
    #[test]
    fn cuts(job in turning(12)) {
        let (mut ours, mut theirs) = (job.bar.clone(), paths(&job.bar));
        let chord = Chord { tolerance: 20_000, ..Chord::FINE };
        for (tool, way) in &job.moves {
            let sweep = Sweep::of(&job.tools[*tool], way, chord).unwrap();
            ours = ours.cut(&sweep);
            theirs = difference_64(&theirs, &pieces(&sweep), FillRule::NonZero);
        }
        let (differ, explained) = difference(&paths(&ours), &theirs);
        prop_assert!(differ <= explained, "{differ} > {explained}");
        let volume: f64 = job.bar.area_mm2() - ours.area_mm2();
        prop_assert!(volume >= 0.);
    }

    #[test]
    fn booleans(one in turning(6), two in turning(6), dz in -20 * MM..20 * MM) {
        let after = |job: &crate::turnings::Turning| job.moves.iter().fold(job.bar.clone(), |m, (t, way)| {
            m.cut(&Sweep::of(&job.tools[*t], way, Chord { tolerance: 50_000, ..Chord::FINE }).unwrap())
        });
        let (a, b) = (after(&one), after(&two).shifted(dz));
        let (p, q, rule) = (paths(&a), paths(&b), FillRule::NonZero);
        for (name, ours, theirs) in [
            ("union", a.union(&b), union_64(&p, &q, rule)),
            ("intersection", a.intersection(&b), intersect_64(&p, &q, rule)),
            ("difference", a.difference(&b), difference_64(&p, &q, rule)),
        ] {
            let (differ, explained) = difference(&paths(&ours), &theirs);
            prop_assert!(differ <= explained, "{name}: {differ} > {explained}");
        }
    }
}
