//! The short way of cutting and the general way give equal regions; remembering and computing anew
//! give equal ids; a shift changes nothing but the place.

use crate::turnings::{MM, Turning, coarse_convex, coarse_region, turning};
use proptest::prelude::*;
use shape::{Chord, Outline, Placed, Point, Region, Reuse, Store, Sweep};

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(400), ..ProptestConfig::default() })]

    /// Turning passes, plunges, tapers and arcs on a bar, with and without bore.
    #[test]
    fn both_ways_cut_alike(job in turning(12)) {
        let Turning { bar, tools, moves } = job;
        let mut metal = bar;
        for (tool, way) in moves {
            let sweep = Sweep::of(&tools[tool], &way, Chord { tolerance: 20_000, ..Chord::FINE }).unwrap();
            let (short, general) = (metal.cut(&sweep), metal.cut_generally(&sweep));
            prop_assert_eq!(&short, &general, "{:?} without {:?}", metal, sweep.pieces());
            metal = short;
        }
    }

    /// The same at every place along the axis.
    #[test]
    fn a_shift_only_shifts(job in turning(6), dz in -4_000_000_000_i64..4_000_000_000) {
        let mut metal = job.bar.clone();
        let mut moved = job.bar.shifted(dz);
        for (tool, way) in job.moves {
            let sweep = |way| Sweep::of(&job.tools[tool], &way, Chord::FINE).unwrap();
            metal = metal.cut(&sweep(way));
            moved = moved.cut(&sweep(way.shifted(dz)));
            prop_assert_eq!(&metal.shifted(dz), &moved);
        }
    }
}

proptest! {
    // The quickest of these tests, and the one with the rarest cases.
    #![proptest_config(ProptestConfig { cases: cases(6_000), ..ProptestConfig::default() })]

    /// A grid so coarse that everything touches and every crossing is rounded.
    #[test]
    fn both_ways_cut_alike_where_everything_touches(
        (region, pieces) in prop::sample::select(vec![6, 12, 24, 100, 3_000]).prop_flat_map(|size| {
            (coarse_region(size), prop::collection::vec(coarse_convex(size), 1..6))
        })
    ) {
        let mut metal = region;
        for piece in pieces {
            let outline = Outline::polygon(piece.points()).unwrap();
            let sweep = Sweep::of(&outline, &crate::turnings::still(), Chord::FINE).unwrap();
            let (short, general) = (metal.cut(&sweep), metal.cut_generally(&sweep));
            prop_assert_eq!(&short, &general, "{:?} without {:?}", metal, piece);
            metal = short;
        }
    }
}

proptest! {
    // Booleans of whole parts, many a case.
    #![proptest_config(ProptestConfig { cases: cases(60), ..ProptestConfig::default() })]

    /// A store that remembers and one that does not; several parts from one bar.
    #[test]
    fn remembered_and_anew_are_one(job in turning(8), advance in 1_i64..30_000_000) {
        let run = |reuse: Reuse| {
            let mut store = Store::new(reuse, Chord::FINE);
            let tools: Vec<_> = job.tools.iter().map(|t| store.outline(t.clone())).collect();
            let stock = store.place(&job.bar);
            let mut out: Vec<(Placed, Option<shape::Overlap>)> = Vec::new();
            for part in 0..3 {
                let mut metal = stock.moved(part * advance);
                for &(tool, way) in &job.moves {
                    let way = way.shifted(part * advance);
                    let hit = store.overlap(metal, tools[tool], &way, 100).unwrap();
                    metal = store.cut(metal, tools[tool], &way).unwrap();
                    for piece in store.pieces(metal) {
                        out.push((piece, hit));
                    }
                    let rest = store.difference(stock, metal);
                    out.push((store.union(rest, metal), None));
                    out.push((store.intersection(stock, metal), None));
                }
            }
            let shapes: Vec<Region> = out.iter().map(|(p, _)| store.region(*p)).collect();
            format!("{out:?} {shapes:?} {}", store.len())
        };
        prop_assert_eq!(run(Reuse::Remember), run(Reuse::Anew));
    }

    /// A store gives what the regions themselves give, at any place along the axis.
    #[test]
    fn the_store_is_only_a_memory(job in turning(6), dz in -50 * MM..50 * MM, apart in -20 * MM..20 * MM) {
        let mut store = Store::new(Reuse::Remember, Chord::FINE);
        let other = job.bar.shifted(apart);
        let (mut kept, kept_other) = (store.place(&job.bar).moved(dz), store.place(&other).moved(dz));
        let (mut metal, other) = (job.bar.shifted(dz), other.shifted(dz));
        for (tool, way) in job.moves {
            let way = way.shifted(dz);
            let id = store.outline(job.tools[tool].clone());
            let sweep = Sweep::of(&job.tools[tool], &way, Chord::FINE).unwrap();
            prop_assert_eq!(store.overlap(kept, id, &way, 50).unwrap(), metal.overlap(&sweep, 50));
            kept = store.cut(kept, id, &way).unwrap();
            metal = metal.cut(&sweep);
            prop_assert_eq!(&store.region(kept), &metal);
            let pairs = [
                (store.union(kept, kept_other), metal.union(&other)),
                (store.intersection(kept_other, kept), other.intersection(&metal)),
                (store.difference(kept_other, kept), other.difference(&metal)),
            ];
            for (kept, region) in pairs {
                prop_assert_eq!(store.region(kept), region);
            }
            let pieces: Vec<Region> = store.pieces(kept).iter().map(|p| store.region(*p)).collect();
            prop_assert_eq!(pieces, metal.pieces().collect::<Vec<_>>());
        }
    }
}

/// More cases on request: `SHAPE_CASES=100000 cargo test --release`.
fn cases(usual: u32) -> u32 {
    std::env::var("SHAPE_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(usual)
}

/// Cases found by the tests above while the short way did not yet step aside: a crossing rounded
/// onto another corner, and one whose bent edge passes over a corner.
#[test]
fn rounding_that_changes_what_touches() {
    let loops = |points: &[(i64, i64)]| points.iter().map(|&(z, r)| Point::new(z, r)).collect();
    let onto = [(0, 7), (6, 4), (6, 2), (7, 0), (7, 4), (5, 5), (1, 9), (0, 8), (2, 7)];
    let over = [(0, 0), (22, 3), (19, 12), (17, 17), (11, 13), (1, 18), (0, 4)];
    for (metal, piece) in
        [(&onto[..], [(5, 10), (7, 0), (8, 2)]), (&over[..], [(16, 12), (22, 3), (21, 7)])]
    {
        let metal = Region::from_loops(&[loops(metal)]).unwrap();
        let piece: Vec<Point> = loops(&piece);
        let still =
            Sweep::of(&Outline::polygon(&piece).unwrap(), &crate::turnings::still(), Chord::FINE);
        let still = still.unwrap();
        assert_eq!(metal.cut(&still), metal.cut_generally(&still));
        assert_eq!(metal.cut(&still).pieces().count(), 2);
    }
}
