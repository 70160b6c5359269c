//! Drill sizes by number, letter and fraction of an inch.
//!
//! Source: ASME B94.11M, twist drills, number sizes 1 to 80 and letters A to Z; from memory, held to
//! a published list in `handbook/drawing.toml`. Fractions go by sixty-fourths.

use super::Refusal;
use crate::{Length, Units};

/// Diameters of the number drills 1 to 80, in ten-thousandths of an inch.
#[rustfmt::skip]
const NUMBERS: [i64; 80] = [
    2280, 2210, 2130, 2090, 2055, 2040, 2010, 1990, 1960, 1935,
    1910, 1890, 1850, 1820, 1800, 1770, 1730, 1695, 1660, 1610,
    1590, 1570, 1540, 1520, 1495, 1470, 1440, 1405, 1360, 1285,
    1200, 1160, 1130, 1110, 1100, 1065, 1040, 1015,  995,  980,
     960,  935,  890,  860,  820,  810,  785,  760,  730,  700,
     670,  635,  595,  550,  520,  465,  430,  420,  410,  400,
     390,  380,  370,  360,  350,  330,  320,  310,  292,  280,
     260,  250,  240,  225,  210,  200,  180,  160,  145,  135,
];

/// Diameters of the letter drills A to Z, in thousandths of an inch.
const LETTERS: [i64; 26] = [
    234, 238, 242, 246, 250, 257, 261, 266, 272, 277, 281, 290, 295, 302, 316, 323, 332, 339, 348,
    358, 368, 377, 386, 397, 404, 413,
];

/// 0.0001 in.
const TEN_THOUSANDTH: i64 = 2_540;

/// The diameter of a drill by its name: `#7`, `F`, `5/16`, `1 1/8`.
///
/// # Errors
/// What is neither a number from 1 to 80 after `#`, a letter, nor a fraction of an inch.
pub fn diameter(name: &str) -> Result<Length, Refusal> {
    let text = name.trim().trim_end_matches(['"', ' ']);
    let refused = || {
        let help = "write a number drill as \"#7\", a letter drill as \"F\", a fraction as \"5/16\", \
                    or the `diameter` of the hole";
        Refusal::new(format!("there is no drill \"{name}\""), help)
    };
    let of = |ten_thousandths: i64| Length::from_nm(ten_thousandths * TEN_THOUSANDTH);
    if let Some(number) = text.strip_prefix('#') {
        let number: usize = number.trim().parse().map_err(|_| refused())?;
        let found = number.checked_sub(1).and_then(|index| NUMBERS.get(index));
        return found.map(|size| of(*size)).ok_or_else(refused);
    }
    if let [letter] = text.as_bytes() {
        let place = letter.to_ascii_uppercase().checked_sub(b'A').map(usize::from);
        return place.and_then(|it| LETTERS.get(it)).map(|it| of(it * 10)).ok_or_else(refused);
    }
    let fraction = text.contains('/').then(|| Length::parse_with_unit(text, Units::Inch));
    match fraction {
        Some(Ok(size)) if size.is_positive() => Ok(size),
        _ => Err(refused()),
    }
}

/// The drill of the inch lists that is nearest to a diameter, the larger of two equally near.
/// Larger ones than 1/2 in go by sixty-fourths.
pub fn nearest_inch(wanted: Length) -> Length {
    let of = |ten_thousandths: i64| Length::from_nm(ten_thousandths * TEN_THOUSANDTH);
    let sixty_fourth = Length::from_nm(396_875);
    let below = sixty_fourth * (wanted / sixty_fourth);
    let fractions = [below, below + sixty_fourth];
    let numbers = NUMBERS.iter().map(|size| of(*size));
    let letters = LETTERS.iter().map(|size| of(size * 10));
    let near = |size: &Length| ((*size - wanted).abs(), -*size);
    numbers.chain(letters).chain(fractions).min_by_key(near).unwrap_or(wanted)
}
