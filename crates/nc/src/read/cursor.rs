//! A place in the text that passes over blanks and sees small letters as capitals.

/// A place in the text.
pub(super) struct Cursor<'t> {
    bytes: &'t [u8],
    next: usize,
    /// One past the last byte taken, before any blanks.
    end: usize,
}

impl<'t> Cursor<'t> {
    pub(super) fn new(bytes: &'t [u8]) -> Cursor<'t> {
        let start = if bytes.starts_with(&[0xEF, 0xBB, 0xBF]) { 3 } else { 0 };
        Cursor { bytes, next: start, end: start }
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
    pub(super) fn adjoins(&mut self) -> bool {
        self.peek();
        self.next == self.end
    }

    /// The next byte of this line that is no blank, as a capital; none at its end.
    pub(super) fn peek(&mut self) -> Option<u8> {
        loop {
            match self.bytes.get(self.next) {
                Some(b' ' | b'\t' | 0 | 0x7F) => self.next += 1,
                None | Some(b'\n' | b'\r') => return None,
                Some(byte) => {
                    return Some(byte.to_ascii_uppercase());
                }
            }
        }
    }

    /// The byte after the next one, blanks passed over.
    pub(super) fn peek_second(&self) -> Option<u8> {
        let mut rest = self.bytes[(self.next + 1).min(self.bytes.len())..].iter();
        rest.find(|byte| !matches!(byte, b' ' | b'\t' | 0 | 0x7F))
            .copied()
            .filter(|byte| !matches!(byte, b'\n' | b'\r'))
            .map(|byte| byte.to_ascii_uppercase())
    }

    /// Whether a letter stands right behind the next byte.
    pub(super) fn after_is_letter(&self) -> bool {
        self.peek_second().is_some_and(|byte| byte.is_ascii_alphabetic())
    }

    /// Whether a letter stands right behind the next byte, without any blank.
    pub(super) fn after_is_letter_adjoining(&self) -> bool {
        self.bytes.get(self.next + 1).is_some_and(u8::is_ascii_alphabetic)
    }

    /// Takes the next byte.
    pub(super) fn bump(&mut self) {
        self.next += 1;
        self.end = self.next;
    }

    /// Goes back to a place.
    pub(super) fn go_to(&mut self, place: usize) {
        (self.next, self.end) = (place, place);
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
        let (next, end) = (self.next, self.end);
        for letter in name {
            if !self.take(*letter) {
                (self.next, self.end) = (next, end);
                return false;
            }
        }
        true
    }

    /// A whole number without a sign; at most nine digits.
    pub(super) fn digits(&mut self) -> Option<u32> {
        let mut number: Option<u32> = None;
        while let Some(digit @ b'0'..=b'9') = self.peek() {
            self.bump();
            let value =
                number.unwrap_or(0).saturating_mul(10).saturating_add(u32::from(digit - b'0'));
            number = Some(value);
        }
        number
    }

    /// Passes over a comment; gives whether it was closed.
    pub(super) fn pass_comment(&mut self, bracket: bool) -> bool {
        let rest = &self.bytes[self.next..];
        let line = rest.iter().position(|byte| matches!(byte, b'\n' | b'\r')).unwrap_or(rest.len());
        let close = if bracket { rest[..line].iter().position(|byte| *byte == b')') } else { None };
        self.next += close.map_or(line, |close| close + 1);
        self.end = self.next;
        close.is_some()
    }

    /// Passes over the line end.
    pub(super) fn next_line(&mut self) {
        if self.bytes.get(self.next) == Some(&b'\r') {
            self.next += 1;
        }
        if self.bytes.get(self.next) == Some(&b'\n') {
            self.next += 1;
        }
        self.end = self.next;
    }
}
