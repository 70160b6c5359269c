//! Words with their values, and the parts of statements.

use super::Reader;
use super::cursor::starts_value;
use crate::tree::{ExpressionId, ItemKind, Number, TroubleKind, Value, Word};

/// The largest block, program or loop number that is read.
const LARGEST: u32 = 999_999_999;
/// A number that takes one digit more still fits.
const FULL: i64 = 99_999_999_999_999_999;

impl Reader<'_> {
    /// A statement's name, or a letter with its value.
    pub(super) fn name_or_word(&mut self, start: usize, letter: u8) {
        let at = &mut self.at;
        match letter {
            b'G' if at.take_name(b"GOTO") => self.goto(start),
            b'I' if at.take_name(b"IF") => self.condition(start, ItemKind::If, &[b"GOTO", b"THEN"]),
            b'T' if at.take_name(b"THEN") => self.push(start, ItemKind::Then),
            b'W' if at.take_name(b"WHILE") => self.condition(start, ItemKind::While, &[b"DO"]),
            b'D' if at.take_name(b"DO") => self.label(start, ItemKind::Do),
            b'E' if at.take_name(b"END") => self.label(start, ItemKind::End),
            b'B' | b'D' | b'P' if at.take_output() => {
                self.at.pass_block();
                self.push(start, ItemKind::Ignored);
            }
            _ => self.word(start, false),
        }
    }

    fn goto(&mut self, start: usize) {
        let target = self.term();
        self.push_with_term(start, ItemKind::Goto(target));
    }

    /// A condition in brackets; one of the names in `then` must follow it.
    fn condition(&mut self, start: usize, kind: fn(ExpressionId) -> ItemKind, then: &[&[u8]]) {
        if self.at.peek() != Some(b'[') {
            // Without its condition, nothing behind it on the line is sure to be meant.
            self.at.pass_block();
            return self.unreadable(start, TroubleKind::IncompleteStatement);
        }
        let condition = self.term();
        let told = self.term_is_bad;
        self.push_with_term(start, kind(condition));
        if !told && !then.iter().any(|name| self.at.name_is(name)) {
            self.trouble(start, TroubleKind::IncompleteStatement);
        }
    }

    fn label(&mut self, start: usize, kind: fn(u32) -> ItemKind) {
        match self.whole() {
            Ok(label) => self.push(start, kind(label)),
            Err(_) => self.unreadable(start, TroubleKind::IncompleteStatement),
        }
    }

    /// `#… = …`.
    pub(super) fn assignment(&mut self, start: usize) {
        self.at.bump();
        self.joins = 0;
        let target = self.primary(0);
        if self.at.take(b'=') {
            let value = self.term();
            self.push_with_term(start, ItemKind::Assign { target, value });
        } else if self.term_is_bad {
            self.push_with_term(start, ItemKind::Unreadable);
        } else {
            self.unreadable(start, TroubleKind::IncompleteStatement);
        }
    }

    pub(super) fn comma_word(&mut self, start: usize) {
        self.at.bump();
        match self.at.peek() {
            Some(b'A'..=b'Z') => self.word(start, true),
            _ => self.unreadable(start, TroubleKind::StrayCharacter),
        }
    }

    pub(super) fn word(&mut self, start: usize, comma: bool) {
        let Some(letter) = self.at.peek() else { return };
        self.at.bump();
        let value = match (self.at.peek(), self.at.peek_second()) {
            (Some(b'#' | b'['), _)
            | (Some(b'-' | b'+'), Some(b'#' | b'[' | b'A'..=b'N' | b'P'..=b'Z')) => {
                Value::Expression(self.signed_primary())
            }
            (Some(b'0'..=b'9' | b'.' | b'-' | b'+'), _) => {
                return self.number_word(start, comma, letter);
            }
            (Some(b'O'), _) if self.at.zero_letter(false, false) => {
                return self.number_word(start, comma, letter);
            }
            (Some(b'A'..=b'Z'), _) if self.function_follows() => {
                Value::Expression(self.signed_primary())
            }
            _ => return self.no_value(start),
        };
        self.push_with_term(start, ItemKind::Word(Word { letter, comma, value }));
    }

    fn number_word(&mut self, start: usize, comma: bool, letter: u8) {
        match self.number(true) {
            Some(number) => {
                let value = Value::Number(number);
                self.push(start, ItemKind::Word(Word { letter, comma, value }));
            }
            None => self.unreadable(start, TroubleKind::BadNumber),
        }
    }

    /// A letter without a number; with more letters behind it, a name that nobody knows. The
    /// second of just two letters is a word of its own where it has a value.
    fn no_value(&mut self, start: usize) {
        let mut letters = 1;
        let mut last = self.at.mark();
        while matches!(self.at.peek(), Some(b'A'..=b'Z')) && self.at.adjoins() {
            last = self.at.mark();
            self.at.bump();
            letters += 1;
        }
        if letters == 2 && self.at.peek().is_some_and(starts_value) && self.at.adjoins() {
            self.at.back_to(last);
            return self.unreadable(start, TroubleKind::NoValue);
        }
        if letters == 1 {
            return self.unreadable(start, TroubleKind::NoValue);
        }
        self.trouble(start, TroubleKind::UnknownName);
        // A bracket behind it is its own: what stands there is not told once more.
        if self.at.peek() == Some(b'[') {
            self.at.pass_to_closing();
        }
        self.at.pass_stray();
        self.push(start, ItemKind::Unreadable);
    }

    /// The digits of a block, program or loop number.
    pub(super) fn whole(&mut self) -> Result<u32, TroubleKind> {
        let (mut number, mut digits) = (0_u32, 0_u32);
        while let Some(digit) = self.digit(digits > 0, false) {
            number = number.saturating_mul(10).saturating_add(u32::from(digit));
            digits += 1;
        }
        match (digits, number) {
            (0, _) => Err(TroubleKind::NoValue),
            (_, ..=LARGEST) => Ok(number),
            _ => Err(TroubleKind::BadNumber),
        }
    }

    /// The next digit; a letter O for a zero is told and taken.
    fn digit(&mut self, after_digits: bool, in_term: bool) -> Option<u8> {
        match self.at.peek() {
            Some(digit @ b'0'..=b'9') => {
                self.at.bump();
                Some(digit - b'0')
            }
            Some(b'O') if self.at.zero_letter(after_digits, in_term) => {
                let start = self.at.start();
                self.at.bump();
                self.trouble(start, TroubleKind::LetterOForZero);
                Some(0)
            }
            _ => None,
        }
    }

    /// A number as written; none where it is not one. All its characters are taken: where it
    /// stands alone, also signs behind digits, which in a term join it to the next.
    pub(super) fn number(&mut self, alone: bool) -> Option<Number> {
        let mut number = Number { digits: 0, decimals: 0, point: false };
        let negative = self.at.peek() == Some(b'-');
        if negative || self.at.peek() == Some(b'+') {
            self.at.bump();
        }
        let (mut digits, mut good) = (0_u32, true);
        loop {
            if let Some(digit) = self.digit(digits > 0 || number.point, !alone) {
                digits += 1;
                good &= add_digit(&mut number, digit);
                continue;
            }
            match self.at.peek() {
                Some(b'.') => {
                    good &= !number.point;
                    number.point = true;
                }
                Some(b'-' | b'+') if alone => good = false,
                _ => break,
            }
            self.at.bump();
        }
        number.digits = if negative { -number.digits } else { number.digits };
        (good && digits > 0).then_some(number)
    }
}

/// Adds a digit; `false` where it no longer fits. Behind the point, digits that no longer fit
/// change nothing that a lathe can do.
fn add_digit(number: &mut Number, digit: u8) -> bool {
    if number.digits > FULL || number.decimals >= 18 {
        return number.point;
    }
    number.digits = number.digits * 10 + i64::from(digit);
    number.decimals += u8::from(number.point);
    true
}
