//! No input panics, however wild: an answer or a [`shape::Flaw`].

use crate::turnings::coarse_point;
use proptest::prelude::*;
use shape::{
    Chord, Convex, Edge, LIMIT, Move, Outline, Placed, Point, Region, Reuse, Side, Store, Sweep,
    Turn,
};

fn wild() -> impl Strategy<Value = i64> {
    prop_oneof![
        4 => -20_i64..20,
        2 => -30_000_000_i64..30_000_000,
        1 => prop_oneof![Just(LIMIT), Just(-LIMIT), Just(LIMIT + 1), Just(i64::MAX), Just(i64::MIN)],
        1 => any::<i64>(),
        1 => -LIMIT..=LIMIT,
    ]
}

fn wild_point() -> impl Strategy<Value = Point> {
    (wild(), wild()).prop_map(|(z, r)| Point::new(z, r))
}

fn wild_move() -> impl Strategy<Value = Move> {
    (wild_point(), wild_point(), wild_point(), 0..3).prop_map(|(from, to, center, kind)| match kind
    {
        0 => Move::Line { from, to },
        1 => Move::Arc { from, to, center, turn: Turn::Clockwise },
        _ => Move::Arc { from, to, center, turn: Turn::Counterclockwise },
    })
}

fn wild_chord() -> impl Strategy<Value = Chord> {
    // Fine chords on arcs of 68 m are refused, but those just allowed take long.
    (prop_oneof![1_000_000_i64..9_000_000, Just(i64::MAX), Just(-5)], prop::bool::ANY).prop_map(
        |(tolerance, inside)| Chord {
            tolerance: if tolerance < 0 { 10_000_000 } else { tolerance },
            side: if inside { Side::Inside } else { Side::Outside },
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, ..ProptestConfig::default() })]

    #[test]
    fn wild_outlines_and_moves(
        start in wild_point(),
        edges in prop::collection::vec((wild_point(), wild_point(), 0..3), 0..7),
        way in wild_move(), chord in wild_chord(), shift in wild(), z in wild(), probe in wild_point(),
    ) {
        let edges: Vec<Edge> = edges.into_iter().map(|(to, center, kind)| match kind {
            0 | 1 => Edge::Line(to),
            _ => Edge::Arc { to, center, turn: Turn::Clockwise },
        }).collect();
        let mut store = Store::new(Reuse::Remember, chord);
        let big = Region::rectangle(Point::new(-LIMIT, -LIMIT), Point::new(LIMIT, LIMIT)).unwrap();
        let bar = Region::rectangle(Point::new(-90, 0), Point::new(7, 30)).unwrap().shifted(z);
        let (big, bar) = (store.place(&big), store.place(&bar).moved(shift));
        if let Ok(outline) = Outline::new(start, &edges, chord) {
            let _ = outline.mirrored();
            let id = store.outline(outline);
            for metal in [big, bar] {
                let _ = store.overlap(metal, id, &way, z);
                if let Ok(cut) = store.cut(metal, id, &way) {
                    let region = store.region(cut);
                    let _ = (region.section(z), region.largest_radius(z, shift), region.contains(probe));
                    let _ = (region.outside(), region.inside(), region.volume_mm3(), region.area_mm2());
                    let _ = (store.bounds(cut), store.pieces(cut));
                    let _ = (store.union(cut, big), store.difference(big, cut), store.intersection(bar, cut));
                }
            }
        }
        let unknown = Store::new(Reuse::Remember, chord);
        prop_assert!(unknown.shape(big.id).is_empty());
        prop_assert_eq!(unknown.region(Placed { id: bar.id, shift }), Region::empty());
    }

    #[test]
    fn wild_loops(
        fine in prop::collection::vec(prop::collection::vec(wild_point(), 0..7), 0..4),
        coarse in prop::collection::vec(prop::collection::vec(coarse_point(9), 0..9), 0..4),
    ) {
        let _ = Region::from_loops(&fine);
        let region = Region::from_loops(&coarse).unwrap();
        let again: Vec<Vec<Point>> = region.loops().map(<[Point]>::to_vec).collect();
        prop_assert_eq!(Region::from_loops(&again).unwrap(), region, "canonical form is kept");
        for points in fine {
            let _ = (Convex::hull(&points), Outline::polygon(&points));
        }
    }

    /// A loop's start and the order of loops do not matter.
    #[test]
    fn content_alone_counts(
        loops in prop::collection::vec(prop::collection::vec(coarse_point(12), 3..7), 1..4), turn in 0_usize..7,
    ) {
        let one = Region::from_loops(&loops).unwrap();
        let mut other = loops;
        other.reverse();
        for points in &mut other {
            let n = points.len();
            points.rotate_left(turn % n);
        }
        let two = Region::from_loops(&other).unwrap();
        prop_assert_eq!(&one, &two);
        let mut store = Store::new(Reuse::Remember, Chord::FINE);
        prop_assert_eq!(store.place(&one), store.place(&two));
    }
}

#[test]
fn flaws_are_named() {
    let p = Point::new;
    let polygon =
        |corners: &[Point]| Outline::polygon(corners).map(|_| ()).unwrap_err().to_string();
    assert_eq!(polygon(&[p(0, 0), p(5, 5), p(9, 9)]), "the outline encloses no area");
    assert_eq!(
        polygon(&[p(0, 0), p(9, 9), p(9, 0), p(0, 8)]),
        "the outline crosses or touches itself"
    );
    assert_eq!(polygon(&[p(0, 0), p(i64::MAX, 0), p(9, 0)]), "a coordinate is beyond 68 m");
    let arc = Edge::Arc { to: p(900_000, 0), center: p(100_000, 0), turn: Turn::Clockwise };
    let flaw = Outline::new(p(0, 0), &[arc], Chord::FINE).unwrap_err();
    assert_eq!(flaw.to_string(), "the ends of an arc are not equally far from its center");
    let far = Move::line(p(0, 0), p(LIMIT, 0)).unwrap();
    let tool = Outline::polygon(&[p(0, 0), p(5, 0), p(5, 5)]).unwrap();
    assert_eq!(Sweep::of(&tool, &far, Chord::FINE).unwrap_err(), shape::Flaw::TooFar);
}
