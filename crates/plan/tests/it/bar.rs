//! The figures of a bar, against arithmetic done by hand beside each.

use crate::shop::{self, PIN, SPACER};
use model::{Length, Units};
use plan::bar::divide;

fn mm(text: &str) -> Length {
    Length::parse(text, Units::Mm).unwrap()
}

fn inch(text: &str) -> Length {
    Length::parse(text, Units::Inch).unwrap()
}

/// f 0.5 + Lp 28 + w 2.5 = 31; A = 31; s = 31 + 12 = 43.
/// The shortest blank is 998.5: (998.5 − 2 − 43 − 30) / 31 = 923.5 / 31 = 29.79, so 1 + 29 = 30.
#[test]
fn the_pin_is_counted_on_the_shortest_blank() {
    let bar = divide(&shop::demo(PIN));
    assert_eq!(bar.division.pitch(), mm("31"));
    assert_eq!(bar.division.stick_out(), mm("43"));
    assert_eq!(bar.parts_per_bar, 30);
    // 1000 − 2 − 30 × 31.
    assert_eq!(bar.remnant, mm("68"));
    // 43 + 2 + 985 − 10.
    assert_eq!(bar.longest_blank, mm("1020"));
    // 0.5 − 43.
    assert_eq!(bar.jaw_face, mm("-42.5"));
    // 998.5 − 2 − 43 − 29 × 31: more than the least grip of 30.
    assert_eq!(bar.last_grip, mm("54.5"));
}

/// 400 parts: 13 bars give 390, the 14th has to give 10.
#[test]
fn the_pins_order_is_shared_out_to_bars() {
    let bar = divide(&shop::demo(PIN));
    assert_eq!((bar.blanks, bar.parts_in_last), (Some(14), 10));
    // 2 + 43 + 30 + 9 × 31, and 1.5 for the tolerance.
    assert_eq!(bar.shortest_last, mm("355.5"));
    // (3050 − 8 + 2) / (1000 + 2) = 3.04; 14 blanks from 3 each are 5 stock bars.
    let stock = bar.stock.unwrap();
    assert_eq!((stock.blanks_each, stock.bars), (3, Some(5)));
    // π/4 · 12² mm² · 14 m · 7870 kg/m³ = 12.461 kg.
    assert!((bar.mass.kg() - 12.461).abs() < 0.001, "{:?}", bar.mass);
}

/// 29 pulls and a risk of 0.001 leave 3.45e-5 a pull, which a table of the normal distribution
/// gives at 3.98 deviations (from memory): 0.02 + 3.98 × 0.05 = 0.219 mm.
#[test]
fn the_least_face_stock_comes_from_the_grippers_scatter() {
    let bar = divide(&shop::demo(PIN));
    let least = bar.least_face_stock.unwrap();
    assert!((least - mm("0.219")).abs() <= mm("0.001"), "{least:?}");
    assert!(bar.chance_of_loss.ratio() < 1e-12);
}

/// f 0.015 + Lp 0.625 + w 0.1 = 0.74; A = 1.48; the jaw clearance is left out, so 0.1 + 0.4 = 0.5;
/// s = 1.98. (35.9375 − 0.06 − 1.98 − 1.25) / 1.48 = 32.6475 / 1.48 = 22.06, so 2 × 23 = 46.
#[test]
fn the_spacer_comes_two_to_an_advance() {
    let bar = divide(&shop::demo(SPACER));
    assert_eq!(bar.division.jaw_clearance, inch("0.5"));
    assert_eq!(bar.division.advance(), inch("1.48"));
    assert_eq!(bar.parts_per_bar, 46);
    // 36 − 0.06 − 46 × 0.74.
    assert_eq!(bar.remnant, inch("1.9"));
    // 1.98 + 0.06 + 37 − 0.5.
    assert_eq!(bar.longest_blank, inch("38.54"));
    // 35.9375 − 0.06 − 1.98 − 22 × 1.48.
    assert_eq!(bar.last_grip, inch("1.3375"));
    // 250 = 5 × 46 + 20; (144 − 0.25 + 0.08) / 36.08 = 3.99, so 3 blanks a stock bar and 2 bars.
    assert_eq!((bar.blanks, bar.parts_in_last), (Some(6), 20));
    assert_eq!(bar.stock.unwrap().bars, Some(2));
}

/// Common practice, no source: 48 in bar, advance 1.07 in, clearance and grip 0.92 in together,
/// no first-face stock: 44 parts, remnant 0.92 in. Binary floating point says 43.
#[test]
fn a_bar_that_comes_out_even_is_not_rounded_down() {
    let mut job = shop::demo(SPACER);
    job.file.advance.parts = 1;
    job.file.advance.first_face = Length::ZERO;
    job.file.bar.length = inch("48");
    job.file.bar.length_tolerance = Length::ZERO;
    job.file.part.length = inch("0.955"); // 1.07 − 0.1 − 0.015
    job.lathe.chuck.least_grip = inch("0.42"); // 0.92 − 0.5
    let bar = divide(&job);
    assert_eq!(bar.division.advance(), inch("1.07"));
    assert_eq!((bar.parts_per_bar, bar.remnant), (44, inch("0.92")));
}
