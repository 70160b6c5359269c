//! The arithmetic of a bar against fractions of whole numbers without limit, written from the
//! words of the trade: a bar is drawn until the next advance would leave less than the least grip.

#![allow(clippy::unwrap_used, reason = "a division that is not one fails the test")]

use calc::bar::Division;
use model::Length;
use num_bigint::BigInt;
use num_rational::BigRational;
use proptest::prelude::*;

/// A length as a drawing has it: whole steps of 0.001 mm or of 0.0001 in.
#[derive(Debug, Clone, Copy)]
enum Grid {
    Mm,
    Inch,
}

impl Grid {
    fn length(self, steps: i64) -> Length {
        match self {
            Grid::Mm => Length::from_nm(steps * 1000),
            Grid::Inch => Length::from_nm(steps * 2540),
        }
    }

    /// In millimeters: steps/1000, or steps/10000 of 25.4.
    fn millimeters(self, steps: i64) -> BigRational {
        let (top, bottom) = match self {
            Grid::Mm => (1, 1000),
            Grid::Inch => (254, 100_000),
        };
        BigRational::new(BigInt::from(steps) * top, BigInt::from(bottom))
    }
}

/// The figures of a case in steps of its grid.
#[derive(Debug, Clone)]
struct Case {
    grid: Grid,
    bar: i64,
    finished: i64,
    part_off: i64,
    face_stock: i64,
    first_face: i64,
    jaw_clearance: i64,
    least_grip: i64,
    parts_per_advance: u32,
}

impl Case {
    fn division(&self) -> Division {
        let length = |steps| self.grid.length(steps);
        Division {
            finished: length(self.finished),
            part_off: length(self.part_off),
            face_stock: length(self.face_stock),
            first_face: length(self.first_face),
            jaw_clearance: length(self.jaw_clearance),
            least_grip: length(self.least_grip),
            parts_per_advance: self.parts_per_advance,
        }
        .checked()
        .unwrap()
    }

    fn bar(&self) -> Length {
        self.grid.length(self.bar)
    }

    fn pitch(&self) -> BigRational {
        let mm = |steps| self.grid.millimeters(steps);
        mm(self.face_stock) + mm(self.finished) + mm(self.part_off)
    }

    /// n = m·(1 + floor((L − x1 − s − g)/A)), 0 where the numerator is negative.
    fn parts_by_formula(&self) -> BigInt {
        let mm = |steps| self.grid.millimeters(steps);
        let many = BigRational::from(BigInt::from(self.parts_per_advance));
        let advance = many.clone() * self.pitch();
        let stick_out = advance.clone() + mm(self.jaw_clearance);
        let numerator = mm(self.bar) - mm(self.first_face) - stick_out - mm(self.least_grip);
        if numerator < mm(0) {
            return BigInt::from(0);
        }
        let one = BigRational::from(BigInt::from(1));
        (many * (one + (numerator / advance).floor())).to_integer()
    }

    /// The same by drawing the bar again and again.
    fn parts_by_drawing(&self) -> u32 {
        let mm = |steps| self.grid.millimeters(steps);
        let advance = BigRational::from(BigInt::from(self.parts_per_advance)) * self.pitch();
        let needed = advance.clone() + mm(self.jaw_clearance) + mm(self.least_grip);
        let mut left = mm(self.bar) - mm(self.first_face);
        let mut parts = 0;
        while left >= needed {
            left -= &advance;
            parts += self.parts_per_advance;
        }
        parts
    }

    fn remnant(&self, parts: u32) -> BigRational {
        let used = BigRational::from(BigInt::from(parts)) * self.pitch();
        self.grid.millimeters(self.bar) - self.grid.millimeters(self.first_face) - used
    }
}

fn millimeters(length: Length) -> BigRational {
    BigRational::new(BigInt::from(length.nm()), BigInt::from(1_000_000))
}

fn cases() -> impl Strategy<Value = Case> {
    let grid = prop_oneof![Just(Grid::Mm), Just(Grid::Inch)];
    let part = (500_i64..120_000, 0_i64..6000, 0_i64..3000);
    let bar = (0_i64..3_200_000, 0_i64..20_000, 0_i64..40_000, 0_i64..60_000);
    // About half of the bars end exactly at an advance, where a rounded division goes wrong.
    let exactly = prop_oneof![Just(None), (0_i64..60).prop_map(Some)];
    (grid, part, bar, 1_u32..6, exactly).prop_map(|(grid, part, bar, many, exactly)| {
        let (finished, part_off, face_stock) = part;
        let (length, first_face, jaw_clearance, least_grip) = bar;
        let advance = (finished + part_off + face_stock) * i64::from(many);
        let ends = |draws| first_face + jaw_clearance + least_grip + advance * draws;
        Case {
            grid,
            bar: exactly.map_or(length, ends),
            finished,
            part_off,
            face_stock,
            first_face,
            jaw_clearance,
            least_grip,
            parts_per_advance: many,
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 12_000,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn a_bar_is_counted_as_by_fractions(case in cases()) {
        let (division, bar) = (case.division(), case.bar());
        let parts = division.parts_per_bar(bar);
        prop_assert_eq!(BigInt::from(parts), case.parts_by_formula());
        prop_assert_eq!(parts, case.parts_by_drawing());

        let remnant = division.remnant(bar, parts);
        prop_assert_eq!(millimeters(remnant), case.remnant(parts));
        let used = division.pitch() * i64::from(parts);
        prop_assert_eq!(bar, division.first_face + used + remnant);
        if parts > 0 {
            prop_assert!(remnant >= division.jaw_clearance + division.least_grip);
        }
    }

    #[test]
    fn the_shortest_blank_is_the_shortest(case in cases(), wanted in 1_u32..200) {
        let division = case.division();
        let shortest = division.shortest_blank(wanted);
        prop_assert!(division.parts_per_bar(shortest) >= wanted);
        prop_assert!(division.parts_per_bar(shortest - Length::from_nm(1)) < wanted);
    }

    #[test]
    fn no_figures_make_it_panic_or_loop(
        bar in any::<i64>(),
        lengths in any::<[i64; 6]>(),
        parts_per_advance in any::<u32>(),
        parts in any::<u32>(),
    ) {
        let [finished, part_off, face_stock, first_face, jaw_clearance, least_grip] =
            lengths.map(Length::from_nm);
        let division = Division {
            finished, part_off, face_stock, first_face, jaw_clearance, least_grip,
            parts_per_advance,
        };
        let bar = Length::from_nm(bar);
        let counted = division.parts_per_bar(bar);
        let _ = (division.remnant(bar, counted), division.shortest_blank(parts));
        if !division.pitch().is_positive() {
            prop_assert!(division.checked().is_err());
            prop_assert_eq!(counted, 0);
        }
    }
}
