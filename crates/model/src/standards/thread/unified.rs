//! Inch threads of ASME B1.1.
//!
//! Source: ASME B1.1 (and FED-STD-H28/2), formulas from memory, held in `handbook/drawing.toml` to
//! limits of the tables found. The minor diameter inside is printed there rounded once more, to
//! 0.001 in, from 6-32 on.

use super::super::{Limits, Refusal, drill};
use super::{SHARP, ThreadForm, ThreadLimits, other_side, profile_depth, unreadable};
use crate::{Length, Units};

/// Nominal diameter in ten-thousandths of an inch, and the threads of an inch of the coarse, fine
/// and extra-fine series in halves; zero for none.
#[rustfmt::skip]
const SERIES: [(i64, [i64; 3]); 34] = [
    (600, [0, 160, 0]), (730, [128, 144, 0]), (860, [112, 128, 0]), (990, [96, 112, 0]),
    (1120, [80, 96, 0]), (1250, [80, 88, 0]), (1380, [64, 80, 0]), (1640, [64, 72, 0]),
    (1900, [48, 64, 0]), (2160, [48, 56, 64]), (2500, [40, 56, 64]), (3125, [36, 48, 64]),
    (3750, [32, 48, 64]), (4375, [28, 40, 56]), (5000, [26, 40, 56]), (5625, [24, 36, 48]),
    (6250, [22, 36, 48]), (6875, [0, 0, 48]), (7500, [20, 32, 40]), (8125, [0, 0, 40]),
    (8750, [18, 28, 40]), (9375, [0, 0, 40]), (10_000, [16, 24, 40]), (10_625, [0, 0, 36]),
    (11_250, [14, 24, 36]), (12_500, [14, 24, 36]), (13_750, [12, 24, 36]),
    (15_000, [12, 24, 36]), (17_500, [10, 0, 0]), (20_000, [9, 0, 0]), (22_500, [9, 0, 0]),
    (25_000, [8, 0, 0]), (27_500, [8, 0, 0]), (30_000, [8, 0, 0]),
];

const NAMES: [&str; 3] = ["UNC", "UNF", "UNEF"];
const INCH: i64 = 25_400_000;
const TEN_THOUSANDTH: i64 = 2_540;

pub(super) fn read(text: &str, plain: &str, inside: bool) -> Result<ThreadForm, Refusal> {
    let refused = || unreadable(text);
    let (front, back) = split_pitch(plain).ok_or_else(refused)?;
    let end = back.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(back.len());
    let halves = halves(back.get(..end).unwrap_or_default()).ok_or_else(refused)?;
    let nominal = nominal(front, halves).ok_or_else(refused)?;
    let rest = back.get(end..).unwrap_or_default().trim().to_ascii_uppercase();
    let (series, class) = match rest.rsplit_once(['-', ' ']) {
        Some((series, class)) => (series.trim(), class.trim()),
        None if rest.starts_with('U') || rest.is_empty() => (rest.as_str(), ""),
        None => ("", rest.as_str()),
    };
    let row = SERIES.iter().find(|row| Length::from_nm(row.0 * TEN_THOUSANDTH) == nominal);
    let own = row.and_then(|row| row.1.iter().position(|it| *it == halves));
    let series = match series {
        "" | "UN" => own.map_or("UN", |index| NAMES[index]),
        named => named_series(text, named, row.map(|row| &row.1), halves)?,
    };
    let usual = if inside { "2B" } else { "2A" };
    let class = if class.is_empty() { usual } else { class };
    let (grade, side) = class.split_at_checked(1).ok_or_else(refused)?;
    let grade = grade.parse().ok().filter(|it| (1..=3).contains(it)).ok_or_else(refused)?;
    match (side, inside) {
        ("A", false) | ("B", true) => {}
        ("A" | "B", _) => return Err(other_side(class, inside, usual)),
        _ => return Err(refused()),
    }
    let pitch = Length::from_nm((2 * INCH + halves / 2) / halves);
    let long = if matches!(series, "UNC" | "UNF") || matches!(halves, 8 | 12 | 16) {
        nominal.mm() / 25.4
    } else {
        9.0 * 2.0 / halves as f64
    };
    let limits = limits(nominal, halves, long, grade, inside);
    Ok(ThreadForm {
        name: format!("{front}-{} {series}-{class}", back.get(..end).unwrap_or_default()),
        nominal,
        pitch,
        starts: 1,
        inside,
        left_hand: false,
        class: class.to_owned(),
        limits: Some(limits),
        depth: profile_depth(pitch, inside),
        tap_drill: inside.then(|| drill::nearest_inch(nominal - pitch)),
    })
}

/// A series that was named has this size with these threads.
fn named_series(
    text: &str,
    named: &str,
    row: Option<&[i64; 3]>,
    halves: i64,
) -> Result<&'static str, Refusal> {
    let index = NAMES.iter().position(|name| *name == named).ok_or_else(|| unreadable(text))?;
    let count = |halves: i64| {
        if halves % 2 == 0 { (halves / 2).to_string() } else { format!("{}.5", halves / 2) }
    };
    match row.map(|row| row[index]) {
        Some(has) if has == halves => Ok(NAMES[index]),
        Some(has) if has > 0 => {
            let message = format!(
                "{named} of this size has {} threads an inch, not {}",
                count(has),
                count(halves)
            );
            Err(Refusal::new(message, format!("write {}, or UN for an odd pitch", count(has))))
        }
        _ => Err(Refusal::new(
            format!("{named} has no thread of this size"),
            "write UN for an odd size or pitch",
        )),
    }
}

/// The nominal size in front of the dash before the threads an inch, and what comes behind it. A mixed
/// number such as `1-1/8-7` has a dash before, a class such as `-2A` behind.
fn split_pitch(plain: &str) -> Option<(&str, &str)> {
    let counts = |at: &usize| {
        let rest = plain.get(at + 1..).unwrap_or_default().trim_start();
        let end = rest.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len());
        let next = rest.get(end..).unwrap_or_default();
        end > 0 && !next.starts_with(['/', 'A', 'B', 'a', 'b'])
    };
    let at = plain.match_indices('-').map(|(at, _)| at).rfind(counts)?;
    Some((plain.get(..at)?.trim(), plain.get(at + 1..)?.trim()))
}

/// The nominal diameter. A plain whole number is a number size where the thread is as fine as all of
/// those are, 24 an inch and more; else it is inches: `2-56` is small, `2-4.5` large.
fn nominal(text: &str, halves: i64) -> Option<Length> {
    let number = text.strip_prefix('#').unwrap_or(text);
    let size = number.parse::<i64>().ok().filter(|size| (0..=12).contains(size));
    if let Some(size) = size.filter(|_| text.starts_with('#') || halves >= 48) {
        return Some(Length::from_nm((600 + 130 * size) * TEN_THOUSANDTH));
    }
    let text = text.trim_end_matches(['"', ' ']);
    let size = Length::parse_with_unit(text, Units::Inch).ok()?;
    (size.is_positive() && size <= Length::from_mm(152)).then_some(size)
}

/// Threads an inch, in halves: `20`, `4.5`.
fn halves(text: &str) -> Option<i64> {
    let (whole, half) = match text.split_once('.') {
        Some((whole, "5")) => (whole, 1),
        Some(_) => return None,
        None => (text, 0),
    };
    let halves = whole.parse::<i64>().ok()? * 2 + half;
    (4..=400).contains(&halves).then_some(halves)
}

/// The limits of a thread's diameters, by the formulas of ASME B1.1 in inches:
///
/// `Td2 = 0.0015·D^(1/3) + 0.0015·LE^(1/2) + 0.015·P^(2/3)` for 2A, 1.5 and 0.75 times that for 1A
/// and 3A, 1.95, 1.3 and 0.975 times for 1B, 2B and 3B; the allowance of 1A and 2A is 0.3·Td2(2A);
/// `Td = 0.06·P^(2/3)`, 0.09 for 1A; the minor diameter inside has `0.25·P − 0.4·P²` from 1/4 in on
/// for 1B and 2B, else `0.05·P^(2/3) + 0.03·P/D − 0.002` in its bounds. `Td2(2A)` is rounded to
/// 0.000001 in, then basic sizes and tolerances each to 0.0001 in, which gives the tables' last digits.
fn limits(nominal: Length, halves: i64, long: f64, grade: usize, inside: bool) -> ThreadLimits {
    let d = nominal.mm() / 25.4;
    let p = 2.0 / halves as f64;
    let third = libm::cbrt(p);
    let p23 = third * third;
    let base = 0.0015 * libm::cbrt(d) + 0.0015 * libm::sqrt(long) + 0.015 * p23;
    let base = libm::round(base * 1e6) / 1e6;
    let (middle, small) = (inch(d - 0.75 * SHARP * p), inch(d - 1.25 * SHARP * p));
    if inside {
        let flank = inch(base * [1.95, 1.3, 0.975][grade - 1]);
        let fine = (0.05 * p23 + 0.03 * p / d - 0.002).min(0.394 * p);
        let crest = match (grade, d < 0.25) {
            (3, _) => fine.max(0.23 * p - 1.5 * p * p),
            (_, true) => fine.max(0.25 * p - 0.4 * p * p),
            (_, false) => (0.25 * p - 0.4 * p * p).min(0.394 * p),
        };
        let pitch = Limits { most: middle + flank, least: middle };
        return ThreadLimits {
            major: Limits { most: pitch.most + inch(SHARP * p * 11.0 / 12.0), least: nominal },
            pitch,
            minor: Limits { most: small + inch(crest), least: small },
        };
    }
    let allowance = if grade == 3 { Length::ZERO } else { inch(0.3 * base) };
    let flank = inch(base * [1.5, 1.0, 0.75][grade - 1]);
    let crest = inch(if grade == 1 { 0.09 } else { 0.06 } * p23);
    let major = nominal - allowance;
    let pitch = Limits { most: middle - allowance, least: middle - allowance - flank };
    ThreadLimits {
        major: Limits { most: major, least: major - crest },
        pitch,
        minor: Limits { most: small - allowance, least: pitch.least - inch((SHARP - 0.25) * p) },
    }
}

/// Rounded to 0.0001 in; what binary fractions leave beyond the ninth decimal makes no half.
fn inch(value: f64) -> Length {
    let steps = libm::round(libm::round(value * 1e9) / 1e5);
    Length::from_nm(steps as i64 * TEN_THOUSANDTH)
}
