//! One word of a program, such as `M11`.

use crate::files::keys::Keys;
use std::fmt;

/// One M word or G word such as `M11` or `G54.1`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Code {
    /// `G` or `M` or another capital letter.
    pub letter: char,
    /// Ten times the number, so that `G54.1` is 541.
    pub tenths: u32,
}

impl Code {
    /// A code with a whole number.
    pub const fn new(letter: char, number: u32) -> Code {
        Code { letter, tenths: number * 10 }
    }

    /// Reads `M11` or `G54.1`; none for anything else.
    pub fn parse(text: &str) -> Option<Code> {
        let mut chars = text.trim().chars();
        let letter = chars.next().filter(char::is_ascii_alphabetic)?.to_ascii_uppercase();
        let (whole, tenth) = chars.as_str().split_once('.').unwrap_or((chars.as_str(), "0"));
        let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
        if !digits(whole) || !digits(tenth) || whole.len() > 7 || tenth.len() != 1 {
            return None;
        }
        let tenths = whole.parse::<u32>().ok()? * 10 + tenth.parse::<u32>().ok()?;
        Some(Code { letter, tenths })
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.letter, self.tenths / 10)?;
        if self.tenths.is_multiple_of(10) { Ok(()) } else { write!(f, ".{}", self.tenths % 10) }
    }
}

/// Words of a program.
pub(super) fn list(keys: &Keys<'_>, key: &'static str, meaning: &'static str) -> Vec<Code> {
    let texts = keys.texts(key, meaning).required();
    let mut codes = Vec::new();
    for text in &texts {
        match Code::parse(text) {
            Some(code) => codes.push(code),
            None => not_a_code(keys, key, text),
        }
    }
    codes
}

/// One word of a program; none where the key is left out.
pub(super) fn one(keys: &Keys<'_>, key: &'static str, meaning: &'static str) -> Option<Code> {
    let text = keys.text(key, meaning).optional()?;
    let code = Code::parse(&text);
    if code.is_none() {
        not_a_code(keys, key, &text);
    }
    code
}

pub(super) fn not_a_code(keys: &Keys<'_>, key: &str, text: &str) {
    keys.trouble(
        key,
        format!("\"{text}\" is not a word of a program"),
        "write a letter and a number, such as \"M11\"",
    );
}
