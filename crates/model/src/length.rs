//! Exact lengths: whole nanometers, read from and printed as decimal text without binary floats.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Rem, Sub, SubAssign};

/// The unit system a file or program is written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Units {
    /// Millimeters.
    #[default]
    Mm,
    /// Inches of exactly 25.4 mm.
    Inch,
}

impl Units {
    /// Nanometers in one unit.
    pub const fn nanometers(self) -> i64 {
        match self {
            Units::Mm => 1_000_000,
            Units::Inch => 25_400_000,
        }
    }

    /// The short form written after a number: `mm` or `in`.
    pub const fn symbol(self) -> &'static str {
        match self {
            Units::Mm => "mm",
            Units::Inch => "in",
        }
    }

    /// The decimals a shop writes in this unit: 0.001 mm, 0.0001 in.
    pub const fn decimals(self) -> usize {
        match self {
            Units::Mm => 3,
            Units::Inch => 4,
        }
    }
}

/// An exact length along or across the bar, in whole nanometers; may be negative.
///
/// 0.001 mm is 1000 nm and 0.0001 in is 2540 nm, so nothing a drawing or a program says is
/// rounded. Sums that leave the range of about ±9 million km stay at its end instead of wrapping.
///
/// ```
/// use model::{Length, Units};
/// let bar = Length::parse("48", Units::Inch).unwrap();
/// let rest = Length::parse("0.92", Units::Inch).unwrap();
/// let advance = Length::parse("1.07", Units::Inch).unwrap();
/// assert_eq!((bar - rest) / advance, 44); // binary floating point would say 43
/// ```
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Length(i64);

/// Why a text is not a length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LengthError {
    /// No digits, or something else than digits, sign and one point.
    NotANumber,
    /// More decimals than whole nanometers can hold.
    TooFine,
    /// Beyond ±1000 m, longer than any bar or travel.
    TooLarge,
    /// A unit that is neither millimeters nor inches.
    UnknownUnit,
}

impl fmt::Display for LengthError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            LengthError::NotANumber => "this is not a length",
            LengthError::TooFine => "this is finer than one nanometer",
            LengthError::TooLarge => "this is longer than 1000 m",
            LengthError::UnknownUnit => "this unit is neither mm nor in",
        })
    }
}

impl std::error::Error for LengthError {}

impl Length {
    /// No length at all.
    pub const ZERO: Length = Length(0);
    /// The longest length that is read from text: 1000 m.
    pub const LIMIT: Length = Length(1_000_000_000_000);

    /// A length of whole nanometers.
    pub const fn from_nm(nm: i64) -> Length {
        Length(nm)
    }

    /// A length of whole millimeters.
    pub const fn from_mm(mm: i64) -> Length {
        Length(mm.saturating_mul(1_000_000))
    }

    /// A length of whole micrometers.
    pub const fn from_um(um: i64) -> Length {
        Length(um.saturating_mul(1000))
    }

    /// The nearest length to a computed figure in millimeters; not for anything that is counted.
    /// Figures that are not numbers give zero.
    pub fn nearest_mm(mm: f64) -> Length {
        Length((mm * 1e6).round() as i64)
    }

    /// Whole nanometers.
    pub const fn nm(self) -> i64 {
        self.0
    }

    /// Millimeters as a binary float, for physics and pictures.
    pub fn mm(self) -> f64 {
        self.0 as f64 / 1e6
    }

    /// Meters as a binary float, for physics.
    pub fn m(self) -> f64 {
        self.0 as f64 / 1e9
    }

    /// The distance without its sign.
    #[must_use]
    pub const fn abs(self) -> Length {
        Length(self.0.saturating_abs())
    }

    /// Half of it, rounded toward zero to the nanometer.
    #[must_use]
    pub const fn half(self) -> Length {
        Length(self.0 / 2)
    }

    /// `true` below zero.
    pub const fn is_negative(self) -> bool {
        self.0 < 0
    }

    /// `true` above zero.
    pub const fn is_positive(self) -> bool {
        self.0 > 0
    }

    /// Reads a decimal number such as `1.07`, `-.5` or `12`, given in `units`.
    ///
    /// # Errors
    /// Anything but sign, digits and one point; decimals finer than a nanometer; beyond ±1000 m.
    pub fn parse(text: &str, units: Units) -> Result<Length, LengthError> {
        let text = text.trim();
        let (negative, digits) = match text.as_bytes().first() {
            Some(b'-') => (true, &text[1..]),
            Some(b'+') => (false, &text[1..]),
            _ => (false, text),
        };
        let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
        if whole.is_empty() && fraction.is_empty() {
            return Err(LengthError::NotANumber);
        }
        let magnitude = Decimal::from_digits(whole, fraction)?.times(units)?;
        Ok(Length(if negative { -magnitude } else { magnitude }))
    }

    /// Reads a number with or without a unit: `1.07 in`, `25mm`, `3/8"`, or plain in `units`.
    ///
    /// # Errors
    /// As [`Length::parse`], and for a unit that is not known or a fraction that is not exact.
    pub fn parse_with_unit(text: &str, units: Units) -> Result<Length, LengthError> {
        let text = text.trim();
        let end = text.find(|c: char| c.is_alphabetic() || c == '"').unwrap_or(text.len());
        let units = match text[end..].trim().to_ascii_lowercase().as_str() {
            "" => units,
            "mm" => Units::Mm,
            "in" | "inch" | "inches" | "\"" => Units::Inch,
            _ => return Err(LengthError::UnknownUnit),
        };
        match text[..end].trim().split_once('/') {
            Some((top, bottom)) => fraction(top, bottom, units),
            None => Length::parse(&text[..end], units),
        }
    }

    /// The nearest multiple of 10^-`decimals` units, halves away from zero.
    #[must_use]
    pub fn round_to(self, units: Units, decimals: usize) -> Length {
        let (count, step) = self.steps(units, decimals);
        let nm = i128::from(units.nanometers()) * count;
        Length(((nm + nm.signum() * step / 2) / step) as i64)
    }

    /// Decimal text in `units` with exactly `decimals` decimals, halves rounded away from zero.
    pub fn text(self, units: Units, decimals: usize) -> String {
        let (count, power) = self.steps(units, decimals);
        let sign = if count < 0 { "-" } else { "" };
        let (count, power) = (count.unsigned_abs(), power.unsigned_abs());
        if decimals == 0 {
            return format!("{sign}{count}");
        }
        format!("{sign}{}.{:0decimals$}", count / power, count % power)
    }

    /// Decimal text in `units`, as short as it can be without losing a nanometer; where no exact
    /// decimal exists (most millimeter figures in inches), rounded to nine decimals.
    pub fn shortest(self, units: Units) -> String {
        let text = self.text(units, 9);
        let text = text.trim_end_matches('0').trim_end_matches('.');
        if text == "-0" { "0".to_owned() } else { text.to_owned() }
    }

    /// Shop text with its unit: three decimals in mm, four in inch, for example `31.500 mm`.
    pub fn shown(self, units: Units) -> String {
        format!("{} {}", self.text(units, units.decimals()), units.symbol())
    }

    /// How often 10^-decimals units go into this, to the nearest, and 10^decimals.
    fn steps(self, units: Units, decimals: usize) -> (i128, i128) {
        let power = 10_i128.pow(decimals.min(12) as u32);
        let unit = i128::from(units.nanometers());
        let scaled = i128::from(self.0) * power;
        ((scaled + scaled.signum() * unit / 2) / unit, power)
    }
}

/// A decimal number as whole digits and how many of them stand behind the point.
struct Decimal {
    digits: i128,
    decimals: u32,
}

impl Decimal {
    fn from_digits(whole: &str, fraction: &str) -> Result<Decimal, LengthError> {
        let fraction = fraction.trim_end_matches('0');
        if fraction.len() > 12 {
            return Err(digits_only(fraction).err().unwrap_or(LengthError::TooFine));
        }
        let whole = whole.trim_start_matches('0');
        digits_only(whole)?;
        digits_only(fraction)?;
        if whole.len() > 9 {
            return Err(LengthError::TooLarge);
        }
        let digits = whole
            .bytes()
            .chain(fraction.bytes())
            .fold(0_i128, |sum, digit| sum * 10 + i128::from(digit - b'0'));
        Ok(Decimal { digits, decimals: fraction.len() as u32 })
    }

    fn times(&self, units: Units) -> Result<i64, LengthError> {
        let scaled = self.digits * i128::from(units.nanometers());
        let power = 10_i128.pow(self.decimals);
        if scaled % power != 0 {
            return Err(LengthError::TooFine);
        }
        let nm = scaled / power;
        if nm > i128::from(Length::LIMIT.0) {
            return Err(LengthError::TooLarge);
        }
        Ok(nm as i64)
    }
}

fn digits_only(text: &str) -> Result<(), LengthError> {
    if text.bytes().all(|byte| byte.is_ascii_digit()) {
        Ok(())
    } else {
        Err(LengthError::NotANumber)
    }
}

fn fraction(top: &str, bottom: &str, units: Units) -> Result<Length, LengthError> {
    let (whole, top) = top.trim().rsplit_once([' ', '-']).unwrap_or(("0", top));
    let whole = Length::parse(whole, units)?;
    let top: i64 = top.trim().parse().map_err(|_| LengthError::NotANumber)?;
    let bottom: i64 = bottom.trim().parse().map_err(|_| LengthError::NotANumber)?;
    if bottom <= 0 || !(0..=1_000_000).contains(&top) {
        return Err(LengthError::NotANumber);
    }
    let nm = top * units.nanometers();
    if nm % bottom != 0 {
        return Err(LengthError::TooFine);
    }
    Ok(whole + Length(nm / bottom))
}

impl fmt::Debug for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm", self.shortest(Units::Mm))
    }
}

impl Add for Length {
    type Output = Length;
    fn add(self, other: Length) -> Length {
        Length(self.0.saturating_add(other.0))
    }
}

impl Sub for Length {
    type Output = Length;
    fn sub(self, other: Length) -> Length {
        Length(self.0.saturating_sub(other.0))
    }
}

impl Neg for Length {
    type Output = Length;
    fn neg(self) -> Length {
        Length(self.0.saturating_neg())
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Length) {
        *self = *self + other;
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Length) {
        *self = *self - other;
    }
}

impl Mul<i64> for Length {
    type Output = Length;
    fn mul(self, count: i64) -> Length {
        Length(self.0.saturating_mul(count))
    }
}

/// How many whole times the divisor goes in, rounded down; zero where the divisor is zero.
impl Div for Length {
    type Output = i64;
    fn div(self, divisor: Length) -> i64 {
        self.0.checked_div_euclid(divisor.0).unwrap_or(0)
    }
}

/// What is left after [`Length::div`]; never negative, zero where the divisor is zero.
impl Rem for Length {
    type Output = Length;
    fn rem(self, divisor: Length) -> Length {
        Length(self.0.checked_rem_euclid(divisor.0).unwrap_or(0))
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Length>>(lengths: I) -> Length {
        lengths.fold(Length::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn nm(text: &str, units: Units) -> Result<i64, LengthError> {
        Length::parse_with_unit(text, units).map(Length::nm)
    }

    #[test]
    fn reads_what_a_shop_writes() {
        assert_eq!(nm("0.001", Units::Mm), Ok(1000));
        assert_eq!(nm("0.0001", Units::Inch), Ok(2540));
        assert_eq!(nm("-.5", Units::Mm), Ok(-500_000));
        assert_eq!(nm("12.", Units::Mm), Ok(12_000_000));
        assert_eq!(nm("1.07 in", Units::Mm), Ok(27_178_000));
        assert_eq!(nm("25mm", Units::Inch), Ok(25_000_000));
        assert_eq!(nm("3/8\"", Units::Mm), Ok(9_525_000));
        assert_eq!(nm("1 1/4 in", Units::Mm), Ok(31_750_000));
        assert_eq!(nm("1/64", Units::Inch), Ok(396_875));
    }

    #[test]
    fn refuses_what_is_not_a_length() {
        for text in ["", ".", "-", "1.2.3", "1e3", "12 ft", "abc", "1/0", "--1", "é"] {
            assert!(nm(text, Units::Mm).is_err(), "{text:?} was read");
        }
        assert_eq!(nm("0.0000001", Units::Mm), Err(LengthError::TooFine));
        assert_eq!(nm("0.000001", Units::Inch), Err(LengthError::TooFine));
        assert_eq!(nm("1/3", Units::Mm), Err(LengthError::TooFine));
        assert_eq!(nm("1000000.1", Units::Mm), Err(LengthError::TooLarge));
        assert_eq!(nm("99999999999999999999999", Units::Mm), Err(LengthError::TooLarge));
        assert_eq!(nm("12 cm", Units::Mm), Err(LengthError::UnknownUnit));
    }

    #[test]
    fn prints_without_binary_rounding() {
        assert_eq!(Length::from_nm(27_178_000).text(Units::Inch, 4), "1.0700");
        assert_eq!(Length::from_nm(-500).text(Units::Mm, 3), "-0.001");
        assert_eq!(Length::from_nm(-499).text(Units::Mm, 3), "0.000");
        assert_eq!(Length::from_mm(31).shortest(Units::Mm), "31");
        assert_eq!(Length::from_mm(-3).shown(Units::Mm), "-3.000 mm");
    }

    #[test]
    fn never_wraps() {
        let most = Length::from_nm(i64::MAX);
        assert_eq!(most + most, most);
        assert_eq!(-Length::from_nm(i64::MIN), most);
        assert_eq!(most * 3, most);
        assert_eq!(most / Length::ZERO, 0);
    }

    proptest! {
        #[test]
        fn text_and_length_are_one(tenth_um in -3_900_000_000_i64..3_900_000_000) {
            for (units, decimals, step) in [(Units::Mm, 4, 100), (Units::Inch, 5, 254)] {
                let length = Length::from_nm(tenth_um * step);
                prop_assert_eq!(Length::parse(&length.text(units, decimals), units), Ok(length));
                prop_assert_eq!(Length::parse(&length.shortest(units), units), Ok(length));
                prop_assert_eq!(length.round_to(units, decimals), length);
            }
        }

        #[test]
        fn reading_never_panics(text in "\\PC{0,12}") {
            let _ = Length::parse_with_unit(&text, Units::Inch);
        }
    }
}
