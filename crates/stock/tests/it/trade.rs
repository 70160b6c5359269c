//! Saw, clamp and trim against the bar's own arithmetic (`calc::bar`, held to `handbook/bar.toml`).

use calc::bar::{Division, blanks_per_stock};
use model::files::job::BarShape;
use model::files::shop::Saw;
use model::{Length, Money};
use proptest::prelude::*;
use stock::cut_list::NoCutList;
use stock::group::From;
use stock::{Group, Lot, Section, Want, cut};

const fn um(tenths: i64) -> Length {
    Length::from_um(100 * tenths)
}

fn group(want: Want, saw: Saw, length: Length, there: u32) -> Group {
    let section =
        Section { material: "steel".to_owned(), shape: BarShape::Round, size: Length::from_mm(12) };
    let price = Money::from_cents(700);
    let there = Some(there);
    let from = From { remnant: false, length, price, there, heat: None, place: None };
    let (least_useful, loading) = (Length::from_mm(100), Money::from_cents(50));
    let lots = vec![Lot { name: "pin".to_owned(), want }];
    Group { section, lots, from: vec![from], saw, least_useful, loading }
}

proptest! {
    /// One bar gives just as many blanks as the arithmetic of a bar says; one more is refused.
    #[test]
    fn a_bar_gives_what_the_arithmetic_says(
        length in 500..6_000_i64, blank in 300..900_i64, kerf in 0..50_i64, trim in 0..100_i64,
    ) {
        let (bar, blank, kerf, trim) = (um(10 * length), um(blank), um(kerf), um(trim));
        let saw = Saw { kerf, end_trim: trim, ..Saw::PLAIN };
        let most = blanks_per_stock(bar, blank, kerf, trim);
        if most > 0 {
            let want = Want::Blanks { length: blank, count: most };
            let list = cut(&group(want, saw, bar, 1), &mut || true);
            prop_assert!(list.is_ok_and(|it| it.is_proven() && it.blanks(0) == most));
        }
        let want = Want::Blanks { length: blank, count: most + 1 };
        let list = cut(&group(want, saw, bar, 1), &mut || true);
        prop_assert!(matches!(list, Err(NoCutList::NotEnough | NoCutList::Cannot(_))), "{list:?}");
    }

    /// Every blank of an order gives its parts even where the saw cuts it short, fits into its lathe even
    /// where it cuts it long, and every bar keeps what the clamp must hold.
    #[test]
    fn blanks_give_their_parts_and_hang_out_nowhere(
        finished in 50..400_i64, overhead in 100..600_i64, parts_per_advance in 1..4_u32,
        quantity in 1..400_u32, longest in 2_000..12_000_i64, kerf in 0..40_i64, clamp in 0..800_i64,
        tolerance in 0..20_i64,
    ) {
        let division = Division {
            finished: um(finished), part_off: um(25), face_stock: um(5), first_face: um(20),
            jaw_clearance: um(120), least_grip: um(overhead), parts_per_advance,
        };
        let saw = Saw { kerf: um(kerf), end_trim: um(80), least_clamp: um(clamp), length_tolerance: um(tolerance) };
        let want = Want::Parts { division, quantity, longest: um(longest) };
        let bar = um(30_500);
        match cut(&group(want, saw, bar, 1_000), &mut || true) {
            Err(NoCutList::Cannot(_)) => {
                let least = division.shortest_blank(1) + um(2 * tolerance);
                prop_assert!(least > um(longest) || least + saw.kerf > bar - saw.end_trim - saw.least_clamp);
            }
            Err(other) => prop_assert!(false, "{other:?}"),
            Ok(list) => {
                let parts = list.parts(0);
                prop_assert!(parts >= quantity && parts < quantity + parts_per_advance, "{parts}");
                for sawn in &list.bars {
                    let mut used = sawn.trim;
                    for blank in &sawn.blanks {
                        let short = blank.length - saw.length_tolerance;
                        prop_assert_eq!(Some(division.parts_per_bar(short)), blank.parts);
                        prop_assert!(blank.length + saw.length_tolerance <= um(longest));
                        used = used + blank.length + saw.length_tolerance + saw.kerf;
                    }
                    // Where nothing need stay in the clamp, the last blank needs no cut.
                    let last = if clamp == 0 { saw.kerf } else { Length::ZERO };
                    prop_assert!(used <= bar - saw.least_clamp + last);
                }
            }
        }
    }
}
