//! ISO metric threads.
//!
//! Sources: ISO 261 (pitches), ISO 724 (basic sizes), ISO 965-1 (tolerances). The pitch diameter
//! tolerances of grade 6 outside were found in a handbook's restating of ISO 965-1 up to 45 mm, the
//! larger ones and the tables of the other diameters are from memory. Every other grade lies a
//! whole number of places of the series R40 from grade 6, as the tables do.

use super::super::{Limits, Refusal};
use super::{SHARP, ThreadForm, ThreadLimits, other_side, profile_depth, unreadable};
use crate::{Length, Units};

/// Nominal diameter and coarse pitch, in hundredths of a millimeter.
#[rustfmt::skip]
const COARSE: [(i64, i64); 41] = [
    (100, 25), (110, 25), (120, 25), (140, 30), (160, 35), (180, 35), (200, 40), (220, 45),
    (250, 45), (300, 50), (350, 60), (400, 70), (450, 75), (500, 80), (600, 100), (700, 100),
    (800, 125), (900, 125), (1000, 150), (1100, 150), (1200, 175), (1400, 200), (1600, 200),
    (1800, 250), (2000, 250), (2200, 250), (2400, 300), (2700, 300), (3000, 350), (3300, 350),
    (3600, 400), (3900, 400), (4200, 450), (4500, 450), (4800, 500), (5200, 500), (5600, 550),
    (6000, 550), (6400, 600), (6800, 600), (7200, 600),
];

/// Of a pitch, in hundredths of a millimeter: the tolerance of grade 6 of the major diameter outside
/// and of the minor diameter inside, and the distance of the positions g and G, f, and e from the
/// basic profile; micrometers, zero where the standard has none.
#[rustfmt::skip]
const OF_PITCH: [(i64, [i64; 5]); 25] = [
    (20, [56, 0, 17, 0, 0]), (25, [67, 71, 18, 0, 0]), (30, [75, 85, 18, 0, 0]),
    (35, [85, 100, 19, 34, 0]), (40, [95, 112, 19, 34, 0]), (45, [100, 125, 20, 35, 0]),
    (50, [106, 140, 20, 36, 50]), (60, [125, 160, 21, 36, 53]), (70, [140, 180, 22, 38, 56]),
    (75, [140, 190, 22, 38, 56]), (80, [150, 200, 24, 38, 60]), (100, [180, 236, 26, 40, 60]),
    (125, [212, 265, 28, 42, 63]), (150, [236, 300, 32, 45, 67]), (175, [265, 335, 34, 48, 71]),
    (200, [280, 375, 38, 52, 71]), (250, [335, 450, 42, 58, 80]), (300, [375, 500, 48, 63, 85]),
    (350, [425, 560, 53, 70, 90]), (400, [475, 600, 60, 75, 95]), (450, [500, 670, 63, 80, 100]),
    (500, [530, 710, 71, 85, 106]), (550, [560, 750, 75, 90, 112]), (600, [600, 800, 80, 95, 118]),
    (800, [710, 1000, 100, 118, 140]),
];

/// Upper end of a range of diameters in hundredths of a millimeter, and for each pitch in it the
/// tolerance of grade 6 of the pitch diameter outside, in micrometers.
#[rustfmt::skip]
const OF_SIZE: [(i64, &[(i64, i64)]); 9] = [
    (140, &[(20, 48), (25, 53), (30, 56)]),
    (280, &[(20, 50), (25, 56), (35, 63), (40, 67), (45, 71)]),
    (560, &[(35, 67), (50, 75), (60, 85), (70, 90), (75, 90), (80, 95)]),
    (1120, &[(75, 100), (100, 112), (125, 118), (150, 132)]),
    (2240, &[(100, 118), (125, 132), (150, 140), (175, 150), (200, 160), (250, 170)]),
    (4500, &[(100, 125), (150, 150), (200, 170), (300, 200), (350, 212), (400, 224), (450, 236)]),
    (9000, &[(150, 160), (200, 180), (300, 212), (400, 236), (500, 250), (550, 265), (600, 280)]),
    (18_000, &[(200, 190), (300, 224), (400, 250), (600, 300), (800, 335)]),
    (35_500, &[(300, 250), (400, 280), (600, 315), (800, 355)]),
];

/// The rounded numbers of the series R40 from 100 on; the next decades are ten times as large.
#[rustfmt::skip]
const R40: [i64; 40] = [
    100, 106, 112, 118, 125, 132, 140, 150, 160, 170, 180, 190, 200, 212, 224, 236, 250, 265, 280,
    300, 315, 335, 355, 375, 400, 425, 450, 475, 500, 530, 560, 600, 630, 670, 710, 750, 800, 850,
    900, 950,
];

/// The number so many places further in the series R40, in micrometers; figures below 100 µm are
/// whole micrometers like those of the tables.
fn places(um: i64, steps: i64) -> Option<i64> {
    let mut decade = 1000;
    let mut scaled = um * 1000;
    while scaled >= 1_000_000 {
        scaled /= 10;
        decade *= 10;
    }
    while scaled < 100_000 {
        scaled *= 10;
        decade /= 10;
    }
    let near = |value: &i64| (value * 1000 - scaled).abs();
    let place = (0..40).min_by_key(|place| near(&R40[*place as usize]))? + steps;
    let value = R40[place.rem_euclid(40) as usize];
    let mut value = value * decade;
    for _ in 0..place.div_euclid(40).abs() {
        value = if place < 0 { value / 10 } else { value * 10 };
    }
    Some((value + 500) / 1000)
}

/// A class: the grades of the pitch diameter and of the crests, and the letter.
struct Class {
    pitch: i64,
    crest: i64,
    letter: char,
}

impl Class {
    fn read(text: &str) -> Option<Class> {
        let half = |text: &str| {
            let grade = text.get(..1)?.parse().ok()?;
            let mut letters = text.get(1..)?.chars();
            Some((grade, letters.next().filter(|_| letters.next().is_none())?))
        };
        let ((pitch, letter), (crest, second)) = match text.len() {
            2 => (half(text)?, half(text)?),
            4 => (half(text.get(..2)?)?, half(text.get(2..)?)?),
            _ => return None,
        };
        (letter == second).then_some(Class { pitch, crest, letter })
    }

    fn name(&self) -> String {
        let Class { pitch, crest, letter } = self;
        if pitch == crest {
            format!("{pitch}{letter}")
        } else {
            format!("{pitch}{letter}{crest}{letter}")
        }
    }
}

pub(super) fn read(text: &str, plain: &str, inside: bool) -> Result<ThreadForm, Refusal> {
    let rest = plain.get(1..).unwrap_or_default();
    let (nominal, rest) = number(rest).ok_or_else(|| unreadable(text))?;
    let nominal = Length::parse(nominal, Units::Mm).map_err(|_| unreadable(text))?;
    let coarse =
        COARSE.iter().find(|row| hundredths(row.0) == nominal).map(|row| hundredths(row.1));
    let (pitch, starts, written, rest) = match rest.strip_prefix(['x', 'X', '×']) {
        Some(rest) => {
            let (pitch, starts, rest) = pitch(rest).ok_or_else(|| unreadable(text))?;
            (pitch, starts, true, rest)
        }
        None => match coarse {
            Some(pitch) => (pitch, 1, false, rest),
            None => {
                let message =
                    format!("ISO 261 has no coarse thread M{}", nominal.shortest(Units::Mm));
                return Err(Refusal::new(message, "write its pitch, as in \"M8x1\""));
            }
        },
    };
    let class = rest.trim_start_matches([' ', '-']);
    let small = nominal <= hundredths(140);
    let usual = match (inside, small) {
        (false, false) => "6g",
        (false, true) => "6h",
        (true, false) => "6H",
        (true, true) => "5H",
    };
    let class = if class.is_empty() { usual } else { class };
    let class = Class::read(class).ok_or_else(|| unreadable(text))?;
    if class.letter.is_ascii_uppercase() != inside {
        return Err(other_side(&class.name(), inside, usual));
    }
    let limits = limits(nominal, pitch, &class, inside)?;
    let size = nominal.shortest(Units::Mm);
    let step = pitch.shortest(Units::Mm);
    let lead = (pitch * i64::from(starts)).shortest(Units::Mm);
    let pitch_text = match (starts, written && coarse != Some(pitch)) {
        (1, true) => format!("x{step}"),
        (1, false) => String::new(),
        _ => format!("xPh{lead}P{step}"),
    };
    let drill = (nominal - pitch).nm() + 25_000;
    Ok(ThreadForm {
        name: format!("M{size}{pitch_text}-{}", class.name()),
        nominal,
        pitch,
        starts,
        inside,
        left_hand: false,
        class: class.name(),
        limits: Some(limits),
        depth: profile_depth(pitch, inside),
        tap_drill: inside.then(|| Length::from_nm(drill - drill.rem_euclid(50_000))),
    })
}

const fn hundredths(hundredths: i64) -> Length {
    Length::from_um(hundredths * 10)
}

/// The decimal number at the beginning of a text, and the rest.
fn number(text: &str) -> Option<(&str, &str)> {
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(text.len());
    (end > 0).then(|| text.split_at(end))
}

/// Pitch and starts: `1.5`, or `Ph3P1.5` for two starts.
fn pitch(text: &str) -> Option<(Length, u32, &str)> {
    let parse = |text: &str| Length::parse(text, Units::Mm).ok().filter(|it| it.is_positive());
    let Some(rest) = text.strip_prefix("Ph").or_else(|| text.strip_prefix("PH")) else {
        let (pitch, rest) = number(text)?;
        return Some((parse(pitch)?, 1, rest));
    };
    let (lead, rest) = number(rest)?;
    let (pitch, rest) = number(rest.strip_prefix(['P', 'p'])?)?;
    let (lead, pitch) = (parse(lead)?, parse(pitch)?);
    let starts = lead / pitch;
    ((lead % pitch) == Length::ZERO && (1..=99).contains(&starts)).then_some((
        pitch,
        starts as u32,
        rest,
    ))
}

/// The limits of a thread's diameters.
///
/// `D2 = D − 0.6495·P`, `D1 = D − 1.0825·P` (ISO 724); the tolerance hangs below the position of an
/// outside thread and stands above that of an inside one (ISO 965-1).
fn limits(
    nominal: Length,
    pitch: Length,
    class: &Class,
    inside: bool,
) -> Result<ThreadLimits, Refusal> {
    let odd =
        "take a pitch of ISO 261, or give `diameter`, `pitch` and `depth` instead of `thread`";
    let name = || format!("M{}x{}", nominal.shortest(Units::Mm), pitch.shortest(Units::Mm));
    let no_pitch = || Refusal::new(format!("ISO 965-1 has no tolerances for {}", name()), odd);
    let above = nominal >= hundredths(99);
    let row =
        OF_SIZE.iter().find(|row| above && nominal <= hundredths(row.0)).ok_or_else(no_pitch)?;
    let (_, base) = row.1.iter().find(|it| hundredths(it.0) == pitch).ok_or_else(no_pitch)?;
    let (_, of) = OF_PITCH.iter().find(|it| hundredths(it.0) == pitch).ok_or_else(no_pitch)?;
    let no_class = || {
        let would_do = if inside { "4H to 8H, 5G or 6G" } else { "3h to 9h, 4g to 8g, 6f or 6e" };
        let message = format!("ISO 965-1 has no class {} for {}", class.name(), name());
        Refusal::new(message, format!("it has {would_do}, crests of grade 4, 6 or 8 outside"))
    };
    let off = match class.letter.to_ascii_lowercase() {
        'h' => Some(0),
        'g' => Some(of[2]),
        'f' if !inside => Some(of[3]).filter(|it| *it > 0),
        'e' if !inside => Some(of[4]).filter(|it| *it > 0),
        _ => None,
    };
    let off = Length::from_um(off.ok_or_else(no_class)?);
    let known = if inside { 4..=8 } else { 3..=9 };
    if !known.contains(&class.pitch) {
        return Err(no_class());
    }
    // Inside, grade 6 is 1.32 times as wide as outside: five places. Each grade is four places.
    let steps = 4 * (class.pitch - 6) + if inside { 5 } else { 0 };
    // Grade 4 and 8 of crests lie eight places from grade 6.
    let crest = match (inside, class.crest) {
        (_, 4) => Some(-8),
        (_, 6) => Some(0),
        (_, 8) => Some(8),
        (true, 5) => Some(-4),
        (true, 7) => Some(4),
        _ => None,
    };
    let crest_base = if inside { of[1] } else { of[0] };
    let crest = crest.filter(|_| crest_base > 0).and_then(|steps| places(crest_base, steps));
    let crest = Length::from_um(crest.ok_or_else(no_class)?);
    let flank = Length::from_um(places(*base, steps).ok_or_else(no_class)?);
    Ok(from_tolerances(nominal, pitch, off, (flank, crest), inside))
}

/// The limits from the position and the tolerances of flanks and crests.
fn from_tolerances(
    nominal: Length,
    pitch: Length,
    off: Length,
    (flank, crest): (Length, Length),
    inside: bool,
) -> ThreadLimits {
    let less =
        |pitches: f64| nominal - Length::nearest_mm(pitch.mm() * pitches).round_to(Units::Mm, 3);
    let (middle, small) = (less(0.75 * SHARP), less(1.25 * SHARP));
    if inside {
        let pitch_limits = Limits { most: middle + off + flank, least: middle + off };
        // The deepest ground: the sharp triangle, cut off by a twelfth of its height.
        let ground = Length::nearest_mm(pitch.mm() * SHARP * 11.0 / 12.0).round_to(Units::Mm, 3);
        return ThreadLimits {
            major: Limits { most: pitch_limits.most + ground, least: nominal + off },
            pitch: pitch_limits,
            minor: Limits { most: small + off + crest, least: small + off },
        };
    }
    let pitch_limits = Limits { most: middle - off, least: middle - off - flank };
    // The deepest ground: a round of P/8 on both flanks.
    let ground = Length::nearest_mm(pitch.mm() * (SHARP - 0.25)).round_to(Units::Mm, 3);
    ThreadLimits {
        major: Limits { most: nominal - off, least: nominal - off - crest },
        pitch: pitch_limits,
        minor: Limits { most: small - off, least: pitch_limits.least - ground },
    }
}
