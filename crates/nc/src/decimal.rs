//! The decimal-point rule: what a number in a word stands for on one control.

use crate::tree::Number;
use model::files::Control;
use model::files::control::WithoutPoint;
use model::quantity::Seconds;
use model::{Length, Units};

/// A place, increment or radius exactly as the control takes it; none where it is beyond any
/// lathe (more than 1000 m).
///
/// With a point the number is in whole units. Without one it is in least increments or in whole
/// units, as the control says. Digits finer than a nanometer are rounded to it, halves away from
/// zero; controls round already at their least increment, at most half of which lies between.
pub fn length(number: Number, units: Units, control: &Control) -> Option<Length> {
    let least = !number.point && control.numbers.without_point == WithoutPoint::LeastIncrement;
    let unit = if least { control.increment(units).nm() } else { units.nanometers() };
    let scaled = i128::from(number.digits) * i128::from(unit);
    let power = 10_i128.checked_pow(u32::from(number.decimals))?;
    let rounded = (scaled + scaled.signum() * (power / 2)) / power;
    let length = Length::from_nm(i64::try_from(rounded).ok()?);
    (length.abs() <= Length::LIMIT).then_some(length)
}

/// A computed value as a place: whole units, rounded to the control's least increment, halves
/// away from zero.
pub fn length_of(value: f64, units: Units, control: &Control) -> Length {
    let increment = control.increment(units).nm();
    let steps = value * units.nanometers() as f64 / increment as f64;
    let limit = (Length::LIMIT.nm() / increment) as f64;
    Length::from_nm(steps.round().clamp(-limit, limit) as i64 * increment)
}

/// The time of a dwell: X and U in seconds (thousandths without a point on a least-increment
/// control), P in milliseconds without a point and in seconds with one.
pub fn dwell(letter: u8, number: Number, control: &Control) -> Seconds {
    let value = number.value();
    let thousandths = match letter {
        b'P' => !number.point,
        _ => !number.point && control.numbers.without_point == WithoutPoint::LeastIncrement,
    };
    Seconds::from_s(if thousandths { value / 1000.0 } else { value })
}

/// What a T word calls.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct ToolCall {
    /// The turret station; 0 where the word calls none.
    pub station: u32,
    /// The number of the offset; 0 where the word calls none, or cancels it.
    pub offset: u32,
}

/// What the number of a T word calls: its last digits, as many as the control says, are the
/// offset, the ones before them the station. A number that is no longer than an offset, such as
/// T3 where two digits are the offset, is a station alone.
///
/// Source: common practice, from memory; which digits are which varies by builder.
pub fn tool(number: u32, control: &Control) -> ToolCall {
    let split = 10_u32.pow(control.numbers.tool_offset_digits.min(9));
    if number < split {
        ToolCall { station: number, offset: 0 }
    } else {
        ToolCall { station: number / split, offset: number % split }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tree::{ItemKind, Value};
    use model::Source;
    use proptest::prelude::*;

    fn control(without_point: &str) -> Control {
        let text = format!(
            "units = \"mm\"\nname = \"test\"\ncode_system = \"A\"\n\
             [numbers]\nwithout_point = \"{without_point}\"\n\
             [writing]\nsafe_start = []\n[variables]\n[reset]\n\
             [read_ahead]\nmost_blocks = 2\nstoppers = []\n"
        );
        let read = Control::read(&Source::new("control.toml", text));
        assert!(read.diagnostics.is_empty(), "{:?}", read.diagnostics);
        read.value.unwrap()
    }

    fn number(word: &str) -> (u8, Number) {
        let tree = crate::read::read(&Source::new("test.nc", word));
        let ItemKind::Word(word) = tree.items[0].kind else { panic!("{word} is no word") };
        let Value::Number(number) = word.value else { panic!("no number") };
        (word.letter, number)
    }

    fn nm(word: &str, units: Units, without_point: &str) -> i64 {
        length(number(word).1, units, &control(without_point)).unwrap().nm()
    }

    /// A8 and A9: the rule from memory, common practice; the forms stand in public programs.
    #[test]
    fn a_number_without_a_point_counts_as_the_control_says() {
        let mm =
            |word| (nm(word, Units::Mm, "least-increment"), nm(word, Units::Mm, "whole-units"));
        assert_eq!(mm("X100"), (100_000, 100_000_000));
        assert_eq!(mm("X100."), (100_000_000, 100_000_000));
        assert_eq!(mm("X1.5"), (1_500_000, 1_500_000));
        assert_eq!(mm("Z-.5"), (-500_000, -500_000));
        assert_eq!(mm("Z-5"), (-5000, -5_000_000));
        let inch = |word| nm(word, Units::Inch, "least-increment");
        assert_eq!(inch("X100"), 254_000, "0.0100 in");
        assert_eq!(inch("U750"), 1_905_000, "0.0750 in");
        assert_eq!(inch("R500"), 1_270_000, "0.0500 in");
        assert_eq!(inch("W70"), 177_800, "0.0070 in");
    }

    #[test]
    fn what_no_lathe_reaches_is_no_length() {
        let control = control("whole-units");
        assert_eq!(length(number("X1000001").1, Units::Mm, &control), None);
        assert_eq!(length(number("X999999999999999999").1, Units::Inch, &control), None);
        assert_eq!(nm("X.00000050", Units::Mm, "whole-units"), 1, "half a nanometer");
        assert_eq!(nm("X-.00000049", Units::Mm, "whole-units"), 0);
    }

    /// B13, computed: a third of ten, and three of them.
    #[test]
    fn computed_places_are_rounded_to_the_increment() {
        let control = control("least-increment");
        let third = length_of(10.0 / 3.0, Units::Mm, &control);
        assert_eq!(third.nm(), 3_333_000);
        assert_eq!((third + third + third).nm(), 9_999_000);
        assert_eq!(length_of(10.0 / 3.0, Units::Inch, &control).nm(), 33_333 * 2540);
        assert_eq!(length_of(0.0005, Units::Mm, &control).nm(), 1000);
        assert_eq!(length_of(-0.0005, Units::Mm, &control).nm(), -1000);
        assert_eq!(length_of(1e300, Units::Mm, &control), Length::LIMIT);
        assert_eq!(length_of(f64::NAN, Units::Mm, &control), Length::ZERO);
    }

    /// B16, from memory: a value from a variable is in whole units, whatever the rule.
    #[test]
    fn the_rule_is_for_written_numbers_only() {
        let control = control("least-increment");
        assert_eq!(length_of(100.0, Units::Mm, &control), Length::from_mm(100));
    }

    /// A10: the rule from memory; `G4 P1.5` as 1.5 s is NISTIR 6556 §3.5.4.
    #[test]
    fn dwells_are_in_seconds_or_thousandths() {
        let (least, whole) = (control("least-increment"), control("whole-units"));
        for (word, on_least, on_whole) in [
            ("X1.5", 1.5, 1.5),
            ("U.5", 0.5, 0.5),
            ("P1500", 1.5, 1.5),
            ("P1200000", 1200.0, 1200.0),
            ("P1.5", 1.5, 1.5),
            ("X1500", 1.5, 1500.0),
        ] {
            let (letter, number) = number(word);
            assert_eq!(dwell(letter, number, &least), Seconds::from_s(on_least), "{word}");
            assert_eq!(dwell(letter, number, &whole), Seconds::from_s(on_whole), "{word}");
        }
    }

    proptest! {
        #[test]
        fn lengths_are_those_of_the_decimal_text(um in -9_999_999_i64..10_000_000) {
            let text = Length::from_um(um).text(Units::Mm, 3);
            prop_assert_eq!(nm(&format!("X{text}"), Units::Mm, "least-increment"), um * 1000);
            prop_assert_eq!(nm(&format!("X{um}"), Units::Mm, "least-increment"), um * 1000);
        }
    }
}
