//! What a word that nobody knows was likely meant to be, worked out from the tables of the
//! language. Slips are those of people who type: a digit too many, two digits or letters in each
//! other's place, a point left out, a one for an I, or the number of another code system.

use crate::codes::{Codes, GCode};
use crate::language::{FUNCTIONS, NAMES, OWN_M, PAIRS, STATEMENTS};
use model::files::Control;
use model::files::control::{Code, CodeSystem, Drilling};

/// What a G word that a control does not have was likely meant to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LikelyG {
    /// It has a meaning in another system or with other drilling cycles.
    Elsewhere {
        /// There.
        codes: Codes,
        /// The meaning.
        meaning: GCode,
        /// This control's own word for it; none where it has none.
        here: Option<Code>,
    },
    /// A slip of the fingers.
    Slip(Code),
}

/// What a G word that a control does not have was likely meant to be.
///
/// ```
/// use model::files::control::{Code, CodeSystem, Drilling};
/// use nc::codes::Codes;
/// use nc::likely::{LikelyG, g_word};
/// let codes = Codes { system: CodeSystem::B, drilling: Drilling::Lathe };
/// assert_eq!(g_word(codes, Code::new('G', 100)), Some(LikelyG::Slip(Code::new('G', 10))));
/// ```
pub fn g_word(codes: Codes, written: Code) -> Option<LikelyG> {
    elsewhere(codes, written).or_else(|| {
        let known = |code: &Code| codes.meaning(*code).is_some();
        let with_point = Code { tenths: written.tenths / 10, ..written };
        let point_left_out = written.tenths.is_multiple_of(10)
            && !with_point.tenths.is_multiple_of(10)
            && known(&with_point);
        let slip = point_left_out.then_some(with_point);
        let slip = slip.or_else(|| digit_too_many(written).find(known));
        slip.or_else(|| swapped(written).filter(known)).map(LikelyG::Slip)
    })
}

/// What an M word that a control does not have was likely meant to be; only where it is near,
/// since most M words are a builder's.
pub fn m_word(control: &Control, written: Code) -> Option<Code> {
    let own = |code: &Code| OWN_M.iter().any(|row| row.code == *code);
    let known = |code: &Code| own_or_given(control, *code);
    digit_too_many(written).find(known).or_else(|| swapped(written).filter(own))
}

/// The word that was likely meant by one with a zero before two digits, such as `G011`, which
/// controls read as G11.
pub fn digit_twice(control: &Control, written: &str, read: Code) -> Option<Code> {
    let digits = written.get(1..)?.trim_start().as_bytes();
    let zero_first = digits.len() > 2 && digits[0] == b'0' && digits.iter().all(u8::is_ascii_digit);
    let place = (1..digits.len()).find(|place| digits[*place] == digits[*place - 1])?;
    let (before, behind) = (digits.get(..place)?, digits.get(place + 1..)?);
    let number = before.iter().chain(behind).try_fold(0_u32, |number, digit| {
        number.checked_mul(10)?.checked_add(u32::from(digit - b'0'))
    });
    let meant = Code::new(read.letter, number.filter(|number| *number < 1000 && zero_first)?);
    let known = match read.letter {
        'G' => Codes::of(control).meaning(meant).is_some(),
        _ => own_or_given(control, meant),
    };
    (known && meant != read).then_some(meant)
}

/// The word that was likely meant by one whose letter lies beside G or M on a keyboard: that of an
/// axis that a two-axis lathe does not have, with the number of a motion, or a lone J or K with the
/// number of an M word.
pub fn next_key(control: &Control, letter: u8, number: u32, alone: bool) -> Option<Code> {
    match letter {
        b'B' | b'H' | b'V' | b'Y' if number <= 3 => Some(Code::new('G', number)),
        b'J' | b'K' if alone && number < 1000 => {
            Some(Code::new('M', number)).filter(|code| own_or_given(control, *code))
        }
        _ => None,
    }
}

fn own_or_given(control: &Control, code: Code) -> bool {
    OWN_M.iter().any(|row| row.code == code) || control.function(code).is_some()
}

/// The name of a statement, operator or function that these letters were likely meant to be.
///
/// ```
/// assert_eq!(nc::likely::name("WHLIE"), Some("WHILE"));
/// assert_eq!(nc::likely::name("HELLO"), None);
/// ```
pub fn name(written: &str) -> Option<&'static str> {
    let plain: String = written.chars().map(letter).collect();
    // The letters of an address may stand before a function.
    let behind = plain.char_indices().nth(1).and_then(|(start, _)| plain.get(start..));
    nearest(&plain).or_else(|| behind.and_then(nearest))
}

fn elsewhere(codes: Codes, written: Code) -> Option<LikelyG> {
    let systems = [CodeSystem::A, CodeSystem::B, CodeSystem::C];
    let systems = systems.into_iter().map(|system| Codes { system, ..codes });
    let drillings = [Drilling::Lathe, Drilling::Plain];
    let drillings = drillings.into_iter().map(|drilling| Codes { drilling, ..codes });
    systems.chain(drillings).find_map(|there| {
        let meaning = there.meaning(written)?;
        Some(LikelyG::Elsewhere { codes: there, meaning, here: codes.word(meaning) })
    })
}

/// The word with one of two equal digits in a row left out: `G100` gives `G10`.
fn digit_too_many(written: Code) -> impl Iterator<Item = Code> {
    let digits = (written.tenths / 10).to_string();
    let whole = written.tenths.is_multiple_of(10);
    (1..digits.len()).filter_map(move |place| {
        let bytes = digits.as_bytes();
        let doubled = whole && bytes[place] == bytes[place - 1];
        let less = format!("{}{}", &digits[..place], &digits[place + 1..]);
        let number: u32 = less.parse().ok().filter(|_| doubled)?;
        Some(Code::new(written.letter, number))
    })
}

/// The word with its two digits in each other's place: `G79` gives `G97`.
fn swapped(written: Code) -> Option<Code> {
    let (number, tenth) = (written.tenths / 10, written.tenths % 10);
    let (tens, ones) = (number / 10, number % 10);
    let plain = tenth == 0 && (1..10).contains(&tens) && ones > 0 && ones != tens;
    plain.then(|| Code::new(written.letter, ones * 10 + tens))
}

/// A digit that looks like a letter, as that letter.
fn letter(typed: char) -> char {
    match typed.to_ascii_uppercase() {
        '0' => 'O',
        '1' => 'I',
        '5' => 'S',
        other => other,
    }
}

fn nearest(written: &str) -> Option<&'static str> {
    let statements = STATEMENTS.iter().map(|row| row.name);
    let functions = FUNCTIONS.iter().map(|row| row.name).chain(PAIRS.iter().map(|row| row.name));
    // Operators of two letters are near to too much.
    let operators = NAMES.iter().map(|row| row.name).filter(|name| name.len() > 2);
    let slips = match written.len() {
        0..=2 => return None,
        3..=5 => 1,
        _ => 2,
    };
    let names = statements.chain(functions).chain(operators);
    let near = names.map(|name| (strsim::osa_distance(written, name), name));
    near.filter(|(distance, _)| *distance <= slips)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn slip(system: CodeSystem, text: &str) -> Option<Code> {
        let codes = Codes { system, drilling: Drilling::Lathe };
        match g_word(codes, Code::parse(text).unwrap()) {
            Some(LikelyG::Slip(code)) => Some(code),
            Some(LikelyG::Elsewhere { here, .. }) => here,
            None => None,
        }
    }

    /// The trade's table of systems (from memory) says which number does the same.
    #[test]
    fn numbers_of_another_system_are_known() {
        use CodeSystem::{A, B, C};
        let rows = [
            (B, "G50", "G92"),
            (A, "G95", "G99"),
            (A, "G33", "G32"),
            (A, "G78", "G92"),
            (B, "G32", "G33"),
            (C, "G32", "G33"),
            (C, "G50", "G92"),
        ];
        for (system, written, wanted) in rows {
            assert_eq!(slip(system, written), Code::parse(wanted), "{written} in {system:?}");
        }
        // System A has no word for increments: U and W are.
        let codes = Codes { system: A, drilling: Drilling::Lathe };
        let found = g_word(codes, Code::new('G', 91));
        let there = Codes { system: B, ..codes };
        let meaning = GCode::Incremental;
        assert_eq!(found, Some(LikelyG::Elsewhere { codes: there, meaning, here: None }));
    }

    #[test]
    fn slips_of_the_fingers_are_seen() {
        let rows =
            [("G100", "G10"), ("G966", "G96"), ("G541", "G54.1"), ("G79", "G94"), ("G200", "G20")];
        for (written, wanted) in rows {
            assert_eq!(slip(CodeSystem::A, written), Code::parse(wanted), "{written}");
        }
        for written in ["G1.5", "G39", "G123", "G4294967"] {
            assert_eq!(slip(CodeSystem::A, written), None, "{written}");
        }
    }

    #[test]
    fn names_are_near_to_those_of_the_language() {
        let rows = [
            ("WHLIE", Some("WHILE")),
            ("WIHLE", Some("WHILE")),
            ("GOT0", Some("GOTO")),
            ("GTO", Some("GOTO")),
            ("COSN", Some("COS")),
            ("S1N", Some("SIN")),
            ("SQR", Some("SQRT")),
            ("XSIM", Some("SIN")),
            ("THNE", Some("THEN")),
            ("ROUNDD", Some("ROUND")),
            ("PIN", Some("SIN")),
            ("HELLO", None),
            ("AB", None),
            ("ELSE", None),
            ("", None),
        ];
        for (written, wanted) in rows {
            assert_eq!(name(written), wanted, "{written}");
        }
    }
}
