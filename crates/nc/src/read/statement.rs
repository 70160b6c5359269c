//! Words with their values, and the parts of statements.

use super::Reader;
use crate::tree::{ItemKind, Number, TroubleKind, Value, Word};
use model::Span;

impl Reader<'_> {
    /// A statement's name, or a letter with its value.
    pub(super) fn name_or_word(&mut self, start: usize) {
        let at = &mut self.at;
        if at.take_name(b"GOTO") {
            let target = self.term();
            self.push(start, ItemKind::Goto(target));
        } else if at.take_name(b"IF") {
            self.condition(start, ItemKind::If);
        } else if at.take_name(b"THEN") {
            self.push(start, ItemKind::Then);
        } else if at.take_name(b"WHILE") {
            self.condition(start, ItemKind::While);
        } else if at.take_name(b"DO") {
            self.label(start, ItemKind::Do);
        } else if at.take_name(b"END") {
            self.label(start, ItemKind::End);
        } else if [b"POPEN" as &[u8], b"PCLOS", b"DPRNT", b"BPRNT"]
            .iter()
            .any(|name| at.take_name(name))
        {
            // Output to a printer or file: nothing that moves. The rest of the line belongs to it.
            self.at.pass_comment(false);
            self.push(start, ItemKind::Comment);
        } else {
            self.word(start, false);
        }
    }

    fn condition(&mut self, start: usize, kind: fn(crate::tree::ExpressionId) -> ItemKind) {
        if self.at.peek() != Some(b'[') {
            return self.unreadable(start, TroubleKind::IncompleteStatement);
        }
        let condition = self.term();
        self.push(start, kind(condition));
        if self.at.peek().is_none() {
            self.trouble(start, TroubleKind::IncompleteStatement);
        }
    }

    fn label(&mut self, start: usize, kind: fn(u32) -> ItemKind) {
        match self.at.digits() {
            Some(label) => self.push(start, kind(label)),
            None => self.unreadable(start, TroubleKind::IncompleteStatement),
        }
    }

    /// `#… = …`.
    pub(super) fn assignment(&mut self, start: usize) {
        self.at.bump();
        let target = self.primary(0);
        if !self.at.take(b'=') {
            return self.unreadable(start, TroubleKind::IncompleteStatement);
        }
        let value = self.term();
        self.push(start, ItemKind::Assign { target, value });
    }

    pub(super) fn comma_word(&mut self, start: usize) {
        self.at.bump();
        match self.at.peek() {
            Some(b'A'..=b'Z') => self.word(start, true),
            _ => self.unreadable(start, TroubleKind::StrayCharacter),
        }
    }

    fn word(&mut self, start: usize, comma: bool) {
        let Some(letter) = self.at.peek() else { return };
        self.at.bump();
        let first = self.at.peek();
        let second = self.at.peek_second();
        let value = match (first, second) {
            (Some(b'#' | b'['), _) | (Some(b'-' | b'+'), Some(b'#' | b'[')) => {
                Some(Value::Expression(self.signed_primary()))
            }
            (Some(b'0'..=b'9' | b'.' | b'-' | b'+'), _) => self.number(true).map(Value::Number),
            (Some(b'O'), _) if self.at.adjoins() => self.number(true).map(Value::Number),
            (Some(b'A'..=b'Z'), _) if self.function_follows() => {
                Some(Value::Expression(self.signed_primary()))
            }
            _ => return self.no_value(start),
        };
        match value {
            Some(value) => self.push(start, ItemKind::Word(Word { letter, comma, value })),
            None => self.unreadable(start, TroubleKind::BadNumber),
        }
    }

    /// A letter without a number; with more letters behind it, a name that nobody knows.
    fn no_value(&mut self, start: usize) {
        let mut letters = 1;
        while self.at.adjoins() && matches!(self.at.peek(), Some(b'A'..=b'Z')) && letters < 40 {
            self.at.bump();
            letters += 1;
        }
        let kind = if letters > 1 { TroubleKind::UnknownName } else { TroubleKind::NoValue };
        self.unreadable(start, kind);
    }

    /// A number as written; none where it is not one. All its characters are taken: where it
    /// stands alone, also signs behind digits, which in a term join it to the next.
    pub(super) fn number(&mut self, alone: bool) -> Option<Number> {
        let mut number = Number { digits: 0, decimals: 0, point: false };
        let negative = self.at.peek() == Some(b'-');
        if negative || self.at.peek() == Some(b'+') {
            self.at.bump();
        }
        let (mut digits, mut good) = (0, true);
        loop {
            match self.at.peek() {
                Some(digit @ b'0'..=b'9') => {
                    self.at.bump();
                    good &= self.add_digit(&mut number, &mut digits, digit - b'0');
                }
                Some(b'O') if self.at.adjoins() && !self.at.after_is_letter_adjoining() => {
                    let start = self.at.start();
                    self.at.bump();
                    self.trouble(start, TroubleKind::LetterOForZero);
                    good &= self.add_digit(&mut number, &mut digits, 0);
                }
                Some(b'.') => {
                    self.at.bump();
                    good &= !number.point;
                    number.point = true;
                }
                Some(b'-' | b'+') if alone => {
                    self.at.bump();
                    good = false;
                }
                _ => break,
            }
        }
        number.digits = if negative { -number.digits } else { number.digits };
        (good && digits > 0).then_some(number)
    }

    fn add_digit(&mut self, number: &mut Number, digits: &mut u32, digit: u8) -> bool {
        *digits += 1;
        if number.digits > 99_999_999_999_999_999 {
            // Behind the point, further digits change nothing that a lathe can do.
            return number.point;
        }
        number.digits = number.digits * 10 + i64::from(digit);
        number.decimals += u8::from(number.point);
        true
    }

    pub(super) fn span_from(&self, start: usize) -> Span {
        Span::new(start, self.at.end())
    }
}
