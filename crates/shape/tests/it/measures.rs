//! Areas and volumes of turned shapes against closed forms and Pappus's theorem.
//! Expected values: the formulas stand beside each case (elementary solids of revolution).

use crate::turnings::{MM, mm, turning};
use proptest::prelude::*;
use shape::{Chord, Edge, Move, Outline, Point, Region, Reuse, Side, Store, Sweep, Turn};

const PI: f64 = std::f64::consts::PI;

fn close(value: f64, expected: f64, relative: f64) {
    assert!((value - expected).abs() <= relative * expected.abs(), "{value} is not {expected}");
}

fn polygon(corners: &[Point]) -> Region {
    Region::from(&Outline::polygon(corners).unwrap())
}

/// V = π r² h, exact: in thirds of π it is 3 r² h.
#[test]
fn cylinder() {
    let bar = Region::rectangle(mm(-50., 0.), mm(0., 10.)).unwrap();
    let (r, h) = (i128::from(10 * MM), i128::from(50 * MM));
    assert_eq!(bar.volume_in_thirds_of_pi(), 3 * r * r * h);
    assert_eq!(bar.twice_area(), 2 * r * h);
    close(bar.volume_mm3(), PI * 100. * 50., 1e-15);
}

/// V = π h (R² + R r + r²) / 3.
#[test]
fn cone_frustum() {
    let cone = polygon(&[mm(0., 0.), mm(30., 0.), mm(30., 4.), mm(0., 9.)]);
    let (h, a, b) = (i128::from(30 * MM), i128::from(9 * MM), i128::from(4 * MM));
    assert_eq!(cone.volume_in_thirds_of_pi(), h * (a * a + a * b + b * b));
}

/// A groove takes V = π (R² − r²) w; the groove is cut by a plunge and widened by a pass.
#[test]
fn ring_groove() {
    let bar = Region::rectangle(mm(-50., 0.), mm(0., 10.)).unwrap();
    let blade = Outline::polygon(&[mm(0., 0.), mm(2., 0.), mm(2., 15.), mm(0., 15.)]).unwrap();
    let sweep = |a, b| Sweep::of(&blade, &Move::line(a, b).unwrap(), Chord::FINE).unwrap();
    let cut = bar.cut(&sweep(mm(-20., 12.), mm(-20., 7.))).cut(&sweep(mm(-20., 7.), mm(-23., 7.)));
    let taken = bar.volume_in_thirds_of_pi() - cut.volume_in_thirds_of_pi();
    let (big, small, w) = (i128::from(10 * MM), i128::from(7 * MM), i128::from(5 * MM));
    assert_eq!(taken, 3 * (big * big - small * small) * w);
    assert_eq!(cut.largest_radius(-22 * MM, -19 * MM), Some(7 * MM));
    assert_eq!(cut.section(-23 * MM).last().unwrap().high, 10 * MM, "the wall belongs to both");
    assert_eq!(cut.section_count(), 1);
}

/// A ball V = 4/3 π R³, between chords inside and tangents outside; they differ from it by no more
/// than the surface 4 π R² times the tolerance.
#[test]
fn ball() {
    for tolerance in [200, 5_000, 100_000] {
        let ball = |side| {
            let half =
                Edge::Arc { to: mm(-8., 0.), center: mm(0., 0.), turn: Turn::Counterclockwise };
            let chord = Chord { tolerance, side };
            Region::from(&Outline::new(mm(8., 0.), &[half], chord).unwrap()).volume_mm3()
        };
        let exact = 4. / 3. * PI * 512.;
        let bound = 4. * PI * 64. * (tolerance as f64 + 1.) * 1e-6;
        let (inside, outside) = (ball(Side::Inside), ball(Side::Outside));
        assert!(inside < exact && exact < outside, "{inside} {outside}");
        assert!(exact - inside <= bound && outside - exact <= bound);
        assert!(exact - inside >= bound / 100., "the chords are not finer than asked for nothing");
    }
}

/// Pappus (Guldin): V = A · 2π · distance of the centroid; a ring of round section has
/// V = 2 π² R r².
#[test]
fn torus() {
    let ring = |side| {
        let around = Edge::Arc { to: mm(3., 20.), center: mm(0., 20.), turn: Turn::Clockwise };
        Region::from(&Outline::new(mm(3., 20.), &[around], Chord { tolerance: 200, side }).unwrap())
    };
    let exact = 2. * PI * PI * 20. * 9.;
    let (inside, outside) = (ring(Side::Inside), ring(Side::Outside));
    assert!(inside.volume_mm3() < exact && exact < outside.volume_mm3());
    close(inside.volume_mm3(), exact, 4. * 200e-6 / 3.);
    close(outside.volume_mm3(), inside.area_mm2() * 2. * PI * 20., 4. * 200e-6 / 3.);
}

/// The nose leaves a fillet: a pass to a shoulder leaves (1 − π/4) r² in the corner.
#[test]
fn fillet_of_the_nose() {
    let bar = Region::rectangle(mm(-50., 0.), mm(0., 10.)).unwrap();
    for (chord, sign) in [(Chord::FINE, -1.), (Chord::FINE_INSIDE, 1.)] {
        let nose =
            Edge::Arc { to: mm(0.8, 0.), center: mm(0.8, 0.8), turn: Turn::Counterclockwise };
        let rest = [Edge::Line(mm(12., 0.)), Edge::Line(mm(12., 12.)), Edge::Line(mm(0., 12.))];
        let edges: Vec<Edge> = [nose].into_iter().chain(rest).collect();
        let tool = Outline::new(mm(0., 0.8), &edges, chord).unwrap();
        let pass = Sweep::of(&tool, &Move::line(mm(1., 9.), mm(-30., 9.)).unwrap(), chord).unwrap();
        let left = bar.cut(&pass).area_mm2() - (50. * 9. + 20.);
        let fillet = (1. - PI / 4.) * 0.64;
        let miss = (left - fillet) * sign;
        assert!(miss > 0. && miss < 0.8 * PI / 2. * 201e-6, "{left} against {fillet}");
    }
}

/// A spherical end turned by an arc move of a pointed tool: what is left is a half ball.
#[test]
fn ball_end() {
    let bar = Region::rectangle(mm(-30., 0.), mm(0., 6.)).unwrap();
    let point = Outline::polygon(&[mm(0., 0.), mm(9., 0.5), mm(9., 9.)]).unwrap();
    for chord in [Chord::FINE, Chord::FINE_INSIDE] {
        let way = Move::Arc {
            from: mm(0., 0.),
            to: mm(-6., 6.),
            center: mm(-6., 0.),
            turn: Turn::Counterclockwise,
        };
        let left = bar.cut(&Sweep::of(&point, &way, chord).unwrap());
        let exact = PI * 36. * 24. + 2. / 3. * PI * 216.;
        let bound = 2. * PI * 36. * 202e-6;
        assert!((left.volume_mm3() - exact).abs() < bound, "{} {exact}", left.volume_mm3());
    }
}

/// A parting tool that passes the center cuts what turns past it there; part-off leaves two pieces.
#[test]
fn part_off() {
    let bar = Region::rectangle(mm(-50., 0.), mm(0., 10.)).unwrap();
    let blade = Outline::polygon(&[mm(0., 0.), mm(2., 0.), mm(2., 15.), mm(0., 15.)]).unwrap();
    let plunge = |to| {
        let way = Move::line(mm(-30., 12.), mm(-30., to)).unwrap();
        bar.cut(&Sweep::of(&blade, &way, Chord::FINE).unwrap())
    };
    let tied = plunge(0.001);
    assert_eq!(tied.pieces().count(), 1);
    let parted = plunge(-0.5);
    let z: Vec<_> = parted.pieces().map(|p| *p.bounds().unwrap()).collect();
    assert_eq!(
        z.iter().map(|b| (b.min.z, b.max.z)).collect::<Vec<_>>(),
        [(-50 * MM, -30 * MM), (-28 * MM, 0)]
    );
    assert_eq!(parted.section(-29 * MM), []);
}

/// A tool fed from beyond the axis (negative r) cuts the metal it meets there.
#[test]
fn beyond_the_axis() {
    let tube = Region::rectangle(mm(-50., 4.), mm(0., 10.)).unwrap();
    let tool = Outline::polygon(&[mm(0., -9.), mm(3., -9.), mm(3., -5.), mm(0., -5.)]).unwrap();
    let way = Move::line(mm(2., 0.), mm(-10., 0.)).unwrap();
    let cut = tube.cut(&Sweep::of(&tool, &way, Chord::FINE).unwrap());
    assert_eq!(
        cut.section(-5 * MM).iter().map(|s| (s.low, s.high)).collect::<Vec<_>>(),
        [(4 * MM, 5 * MM), (9 * MM, 10 * MM)]
    );
}

/// The same through a store, with a tool that stays beyond the axis all the way.
#[test]
fn beyond_the_axis_with_a_store() {
    let mut store = Store::new(Reuse::Remember, Chord::FINE);
    let tube = store.place(&Region::rectangle(mm(-50., 4.), mm(0., 10.)).unwrap());
    let tool = Outline::polygon(&[mm(0., -9.), mm(3., -9.), mm(3., -5.), mm(0., -5.)]).unwrap();
    let tool = store.outline(tool);
    let cut = store.cut(tube, tool, &Move::line(mm(2., 0.), mm(-10., 0.)).unwrap()).unwrap();
    // A ring from r 5 to 9, 10 long.
    assert_eq!(
        store.region(cut).twice_area(),
        i128::from(2 * (50 * 6 - 10 * 4)) * i128::from(MM * MM)
    );
}

/// Where sloped edges cross off the grid, the nearest point is taken, a half up. By hand: the lines
/// r = z/2 and z = 3 cross at (3, 1.5), r = z/3 and z = 4 at (4, 1.33), r = 2z/3 and z = 4 at
/// (4, 2.67).
#[test]
fn crossings_are_rounded_to_the_nearest() {
    let p = Point::new;
    for (corner, z, r) in [(p(6, 3), 3, 2), (p(6, 2), 4, 1), (p(6, 4), 4, 3)] {
        let wedge = polygon(&[p(0, 0), p(6, -6), corner]);
        let block = Outline::polygon(&[p(z, -9), p(9, -9), p(9, 9), p(z, 9)]).unwrap();
        let still = Sweep::of(&block, &crate::turnings::still(), Chord::FINE).unwrap();
        for left in [
            wedge.cut(&still),
            wedge.cut_generally(&still),
            wedge.difference(&Region::from(&block)),
        ] {
            assert!(left.loops().flatten().any(|&q| q == p(z, r)), "{left:?}");
        }
    }
}

/// How deep and where: a block 2 mm wide, 3 mm into a face at most 1 mm from its own sides.
#[test]
fn overlap_depth() {
    let bar = Region::rectangle(mm(-50., 0.), mm(0., 10.)).unwrap();
    let block = Outline::polygon(&[mm(0., 0.), mm(6., 0.), mm(6., 4.), mm(0., 4.)]).unwrap();
    let at = |z, r| {
        let way = Move::line(mm(z, r), mm(z, r)).unwrap();
        bar.overlap(&Sweep::of(&block, &way, Chord::FINE).unwrap(), 100)
    };
    assert_eq!(at(0., 3.), None, "touching is no overlap");
    assert_eq!(at(-0.0001, 3.), None, "not deeper than the tolerance");
    assert_eq!(at(-0.0002, 3.).unwrap().depth, 200);
    let hit = at(-0.5, 3.).unwrap();
    assert_eq!((hit.depth, hit.at.z), (500_000, 0));
    let corner = at(-10., 9.).unwrap();
    assert_eq!((corner.depth, corner.at.r), (1_000_000, 10 * MM));
    // Wholly inside: half its smaller side.
    assert_eq!(at(-30., 3.).unwrap().depth, 2_000_000);
}

/// The outer and inner profile of a grooved bush.
#[test]
fn profiles() {
    let bush = polygon(&[
        mm(0., 3.),
        mm(20., 4.),
        mm(20., 10.),
        mm(12., 10.),
        mm(12., 7.),
        mm(8., 7.),
        mm(8., 10.),
        mm(0., 8.),
    ]);
    let outside = [mm(0., 8.), mm(8., 10.), mm(8., 7.), mm(12., 7.), mm(12., 10.), mm(20., 10.)];
    assert_eq!(bush.outside(), [outside.to_vec()]);
    let inside = [mm(0., 3.), mm(8., 3.4), mm(12., 3.6), mm(20., 4.)];
    assert_eq!(bush.inside(), [inside.to_vec()]);
    assert_eq!(bush.least_radius(0, 20 * MM), Some(3 * MM));
    assert_eq!(bush.largest_radius(9 * MM, 11 * MM), Some(7 * MM));
}

proptest! {
    /// Area of the difference, the common part and the sum fit together; so do volumes. Each
    /// rounded crossing may move its edges (at most 100 mm long here) by 1 nm.
    #[test]
    fn areas_add_up(one in turning(6), two in turning(6)) {
        let after = |job: &crate::turnings::Turning| job.moves.iter().fold(job.bar.clone(), |m, (t, way)| {
            m.cut(&Sweep::of(&job.tools[*t], way, Chord { tolerance: 50_000, ..Chord::FINE }).unwrap())
        });
        let (a, b) = (after(&one), after(&two));
        let (sum, common, rest) = (a.union(&b), a.intersection(&b), a.difference(&b));
        let edges = (a.corners() + b.corners() + sum.corners() + common.corners()) as i128;
        let slack = edges * 2 * i128::from(100 * MM);
        let areas = a.twice_area() + b.twice_area() - sum.twice_area() - common.twice_area();
        prop_assert!(areas.abs() <= slack, "{areas}");
        let areas = a.twice_area() - common.twice_area() - rest.twice_area();
        prop_assert!(areas.abs() <= slack, "{areas}");
    }

    /// The parts of a tool are its inside: no more, no less.
    #[test]
    fn convex_parts_are_the_whole(job in turning(8)) {
        let metal = job.moves.iter().fold(job.bar, |m, (t, way)| {
            m.cut(&Sweep::of(&job.tools[*t], way, Chord { tolerance: 50_000, ..Chord::FINE }).unwrap())
        });
        for polygon in metal.polygons() {
            if let Ok(outline) = Outline::polygon(polygon.outer()) {
                let area = |p: &[Point]| Region::from(&Outline::polygon(p).unwrap()).twice_area();
                let parts: i128 = outline.parts().iter().map(|p| area(p.points())).sum();
                prop_assert_eq!(parts, area(outline.points()));
            }
        }
    }
}

trait Sections {
    fn section_count(&self) -> usize;
}

impl Sections for Region {
    fn section_count(&self) -> usize {
        self.pieces().count()
    }
}
