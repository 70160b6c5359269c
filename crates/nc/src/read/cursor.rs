//! A place in the text that passes over blanks and sees small letters as capitals.

use crate::language::STATEMENTS;
use model::files::control::Semicolon;

/// How many letters O in a row are looked at; no number has more digits.
const MOST_DIGITS: usize = 18;

/// A place in the text.
pub(super) struct Cursor<'t> {
    bytes: &'t [u8],
    next: usize,
    /// One past the last byte taken, before any blanks.
    end: usize,
    /// Before this place no closing square bracket is left.
    no_closing_until: usize,
    semicolon: Semicolon,
}

/// A place that was passed.
#[derive(Clone, Copy)]
pub(super) struct Mark {
    next: usize,
    end: usize,
}

impl<'t> Cursor<'t> {
    pub(super) fn new(bytes: &'t [u8], semicolon: Semicolon) -> Cursor<'t> {
        let start = if bytes.starts_with(&[0xEF, 0xBB, 0xBF]) { 3 } else { 0 };
        Cursor { bytes, next: start, end: start, no_closing_until: 0, semicolon }
    }

    /// Whether any text is left.
    pub(super) const fn more(&self) -> bool {
        self.next < self.bytes.len()
    }

    /// Where the next item starts, once [`Cursor::peek`] has passed the blanks before it.
    pub(super) const fn start(&self) -> usize {
        self.next
    }

    /// Where the last item ended.
    pub(super) const fn end(&self) -> usize {
        self.end
    }

    /// Whether the next byte stands right behind the last one taken.
    pub(super) const fn adjoins(&self) -> bool {
        self.next == self.end
    }

    /// The next byte of this line that is no blank, as a capital; none at its end.
    pub(super) fn peek(&mut self) -> Option<u8> {
        loop {
            match self.bytes.get(self.next) {
                Some(byte) if is_blank(*byte) => self.next += 1,
                None | Some(b'\n' | b'\r') => return None,
                Some(byte) => return Some(byte.to_ascii_uppercase()),
            }
        }
    }

    /// The byte after the next one, blanks passed over.
    pub(super) fn peek_second(&self) -> Option<u8> {
        let mut rest = self.bytes.get(self.next + 1..)?.iter();
        let byte = rest.find(|byte| !is_blank(**byte))?;
        (!matches!(byte, b'\n' | b'\r')).then(|| byte.to_ascii_uppercase())
    }

    /// The byte so many places behind the next one, blanks counted, as a capital.
    fn raw(&self, places: usize) -> Option<u8> {
        self.bytes.get(self.next + places).map(u8::to_ascii_uppercase)
    }

    /// Whether the next two bytes are letters, without a blank between them.
    pub(super) fn name_follows(&mut self) -> bool {
        self.peek().is_some_and(is_letter) && self.raw(1).is_some_and(is_letter)
    }

    /// Whether the next byte is a letter O that can only stand for a zero.
    ///
    /// It stands right behind what was taken last. In a term an R behind it makes it the name OR.
    /// Outside of terms, right behind a word's letter, it is part of a name where more letters
    /// follow, unless they are a word of their own, as in `GOX10`.
    pub(super) fn zero_letter(&mut self, after_digits: bool, in_term: bool) -> bool {
        if self.peek() != Some(b'O') || !self.adjoins() {
            return false;
        }
        if in_term {
            return self.peek_second() != Some(b'R');
        }
        let row = (1..MOST_DIGITS).find(|places| self.raw(*places) != Some(b'O'));
        let places = row.unwrap_or(MOST_DIGITS);
        if after_digits || !self.raw(places).is_some_and(is_letter) {
            return true;
        }
        self.raw(places + 1).is_some_and(starts_value) && !self.inside_name()
    }

    /// Whether the next byte is the middle letter of a name with its bracket, as in `COS[`.
    fn inside_name(&self) -> bool {
        let first = self.next.checked_sub(1).and_then(|place| self.bytes.get(place));
        let first = first.map(u8::to_ascii_uppercase);
        let ends = (first.unwrap_or_default(), self.raw(1).unwrap_or_default());
        matches!(ends, (b'C', b'S') | (b'M', b'D') | (b'P', b'W') | (b'X', b'R'))
            && self.raw(2) == Some(b'[')
    }

    /// The byte at a place.
    pub(super) fn byte(&self, place: usize) -> Option<u8> {
        self.bytes.get(place).copied()
    }

    /// All bytes from a place on.
    pub(super) fn rest(&self, from: usize) -> &'t [u8] {
        self.bytes.get(from..).unwrap_or(&[])
    }

    /// Takes all before a place.
    pub(super) const fn take_to(&mut self, place: usize) {
        self.next = place;
        self.end = place;
    }

    /// Takes the next byte.
    pub(super) fn bump(&mut self) {
        self.next += 1;
        self.end = self.next;
    }

    /// This place, to come back to.
    pub(super) const fn mark(&self) -> Mark {
        Mark { next: self.next, end: self.end }
    }

    /// Goes back to a place.
    pub(super) fn back_to(&mut self, mark: Mark) {
        (self.next, self.end) = (mark.next, mark.end);
    }

    /// Takes the byte where it is the next one.
    pub(super) fn take(&mut self, byte: u8) -> bool {
        let there = self.peek() == Some(byte);
        if there {
            self.bump();
        }
        there
    }

    /// Takes a word of letters where it comes next, blanks inside allowed.
    pub(super) fn take_name(&mut self, name: &[u8]) -> bool {
        let mark = self.mark();
        let taken = name.iter().all(|letter| self.take(*letter));
        if !taken {
            self.back_to(mark);
        }
        taken
    }

    /// Takes the name of a line that prints or sends something: nothing that moves.
    pub(super) fn take_output(&mut self) -> bool {
        let mut names = STATEMENTS.iter().filter(|row| row.output);
        names.any(|row| self.take_name(row.name.as_bytes()))
    }

    /// Whether a word of letters comes next.
    pub(super) fn name_is(&mut self, name: &[u8]) -> bool {
        let mark = self.mark();
        let there = self.take_name(name);
        self.back_to(mark);
        there
    }

    /// Takes what can start no item: digits, signs and brackets without a letter, and bytes of
    /// no meaning.
    pub(super) fn pass_stray(&mut self) {
        while let Some(byte) = self.peek() {
            if is_letter(byte) || matches!(byte, b'#' | b'(' | b';' | b'/' | b'%' | b',' | b':') {
                return;
            }
            self.bump();
        }
    }

    /// Takes all up to and with the next closing square bracket, where one stands before any
    /// comment and the line's end; otherwise leaves everything as it is.
    pub(super) fn pass_to_closing(&mut self) {
        if self.next < self.no_closing_until {
            return;
        }
        let rest = self.rest(self.next);
        let stop = rest.iter().position(|byte| matches!(byte, b']' | b'(' | b';' | b'\n' | b'\r'));
        let place = self.next + stop.unwrap_or(rest.len());
        if self.bytes.get(place) == Some(&b']') {
            self.take_to(place + 1);
        } else {
            self.no_closing_until = place;
        }
    }

    /// Whether this byte is a semicolon that ends a block.
    pub(super) fn ends_block(&self, byte: u8) -> bool {
        byte == b';' && self.semicolon == Semicolon::BlockEnd
    }

    /// Takes the rest of the block.
    pub(super) fn pass_block(&mut self) {
        let rest = self.rest(self.next);
        let stop = rest.iter().position(|byte| is_line_end(*byte) || self.ends_block(*byte));
        self.take_to(self.next + stop.unwrap_or(rest.len()));
    }

    /// Takes a comment up to its first closing bracket; `false` where the line ends before it.
    pub(super) fn pass_comment(&mut self) -> bool {
        let rest = self.rest(self.next);
        let stop = rest.iter().position(|byte| *byte == b')' || is_line_end(*byte));
        let place = stop.unwrap_or(rest.len());
        let closed = rest.get(place) == Some(&b')');
        self.take_to(self.next + place + usize::from(closed));
        closed
    }

    /// Passes over a line end, where one is next.
    pub(super) fn pass_line_end(&mut self) {
        if self.bytes.get(self.next) == Some(&b'\r') {
            self.next += 1;
        }
        if self.bytes.get(self.next) == Some(&b'\n') {
            self.next += 1;
        }
        self.end = self.next;
    }
}

/// Blanks, and the bytes that punched tapes left behind.
pub(super) const fn is_blank(byte: u8) -> bool {
    matches!(byte, b' ' | b'\t' | 0 | 0x7F)
}

const fn is_line_end(byte: u8) -> bool {
    matches!(byte, b'\n' | b'\r')
}

const fn is_letter(byte: u8) -> bool {
    byte.is_ascii_alphabetic()
}

/// Whether a word's value can start with this byte.
pub(super) const fn starts_value(byte: u8) -> bool {
    matches!(byte, b'0'..=b'9' | b'.' | b'-' | b'+' | b'#' | b'[')
}
