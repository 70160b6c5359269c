//! The plain numbers that nearly every word holds, read eight bytes at a time instead of digit by
//! digit. Whatever is not plain is left to the careful way, which reads plain numbers alike.

use super::cursor::{Cursor, is_blank};
use crate::tree::Number;

impl Cursor<'_> {
    /// Takes the next byte and the number right behind it, where that has at most seven characters
    /// behind its sign and no blanks, and where what follows ends it for sure; otherwise leaves
    /// everything as it is.
    #[expect(clippy::inline_always, reason = "through memory, a number takes as long again")]
    #[inline(always)]
    pub(super) fn take_with_number(&mut self) -> Option<Number> {
        let sign = self.start() + 1;
        let negative = self.byte(sign)? == b'-';
        let first = sign + usize::from(negative);
        let text = u64::from_le_bytes(*self.rest(first).first_chunk()?);
        let (number, length) = plain(text)?;
        let end = first + length;
        if !self.ends_number(end) {
            return None;
        }
        self.take_to(end);
        Some(if negative { Number { digits: -number.digits, ..number } } else { number })
    }

    /// As [`Cursor::take_with_number`], where the number is of digits alone.
    pub(super) fn take_with_whole(&mut self) -> Option<u32> {
        let mark = self.mark();
        let signed = self.byte(self.start() + 1)? == b'-';
        match self.take_with_number() {
            Some(number) if !number.point && !signed => Some(number.digits as u32),
            _ => {
                self.back_to(mark);
                None
            }
        }
    }

    /// Whether a number that was read up to here cannot go on.
    fn ends_number(&self, place: usize) -> bool {
        let end = |place| self.byte(place).map_or(End::Here, |byte| ENDS[usize::from(byte)]);
        match end(place) {
            End::Here => true,
            End::Behind => end(place + 1) == End::Here,
            End::Unsure => false,
        }
    }
}

/// Whether a byte behind digits ends their number.
#[derive(Clone, Copy, PartialEq, Eq)]
enum End {
    Here,
    /// A blank: the byte behind it tells.
    Behind,
    /// Digits, points and signs, and the letter O, which may stand for a zero.
    Unsure,
}

const ENDS: [End; 256] = {
    let mut ends = [End::Here; 256];
    let mut byte = 0_u8;
    loop {
        if is_blank(byte) {
            ends[byte as usize] = End::Behind;
        } else if matches!(byte, b'0'..=b'9' | b'.' | b'-' | b'+' | b'O' | b'o') {
            ends[byte as usize] = End::Unsure;
        }
        if byte == u8::MAX {
            break ends;
        }
        byte += 1;
    }
};

/// Up to seven digits with at most one point at the start of eight bytes, the first of which is the
/// lowest, and how many bytes they take; none where no digit is there.
#[inline]
fn plain(text: u64) -> Option<(Number, usize)> {
    let digits = text ^ eight(b'0');
    let no_points = more_than(0, text ^ eight(b'.'));
    // The length first and from as little as may be: reading the next word waits for it.
    let stops = more_than(9, digits) & no_points;
    let length = stops.trailing_zeros() / 8;
    let points = !no_points & HIGHEST & stops.wrapping_sub(1);
    let point = points != 0;
    let count = length - u32::from(point);
    if stops == 0 || count == 0 || points & points.wrapping_sub(1) != 0 {
        return None;
    }
    // What stands behind a point moves up to what stands before it.
    let before = (points >> 7).wrapping_sub(1);
    let joined = digits & before | (digits >> 8) & !before;
    let number = Number {
        digits: value(joined << (64 - 8 * count)),
        decimals: count.saturating_sub(points.trailing_zeros() / 8) as u8,
        point,
    };
    Some((number, length as usize))
}

const HIGHEST: u64 = eight(0x80);

/// The same byte eight times.
const fn eight(byte: u8) -> u64 {
    u64::from_le_bytes([byte; 8])
}

/// The highest bit of each byte that is more than so much.
const fn more_than(least: u8, bytes: u64) -> u64 {
    (((bytes & !HIGHEST) + eight(0x7F - least)) | bytes) & HIGHEST
}

/// The number that eight digits make, the lowest byte its first: pairs are joined to pairs.
const fn value(digits: u64) -> i64 {
    let pairs = (digits * 10 + (digits >> 8)) & 0x00FF_00FF_00FF_00FF;
    let fours = (pairs * 100 + (pairs >> 16)) & 0x0000_FFFF_0000_FFFF;
    ((fours * 10_000 + (fours >> 32)) & 0xFFFF_FFFF) as i64
}
