//! Times of events, in whole milliseconds, so that sums of them come out.

use crate::quantity::Seconds;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Sub};

/// A point in time: milliseconds since 1970-01-01 00:00 UTC, without leap seconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Stamp(i64);

/// A stretch of time in whole milliseconds; never negative.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Lapse(i64);

impl Stamp {
    /// So many milliseconds after 1970-01-01 00:00 UTC.
    pub const fn from_ms(ms: i64) -> Stamp {
        Stamp(ms)
    }

    /// Milliseconds since 1970-01-01 00:00 UTC.
    pub const fn ms(self) -> i64 {
        self.0
    }

    /// How long it is since an earlier time; nothing where that is not earlier, as after a clock was set back.
    pub const fn since(self, earlier: Stamp) -> Lapse {
        Lapse::from_ms(self.0.saturating_sub(earlier.0))
    }
}

impl Lapse {
    /// No time at all.
    pub const ZERO: Lapse = Lapse(0);

    /// So many milliseconds; none for less than none.
    pub const fn from_ms(ms: i64) -> Lapse {
        if ms < 0 { Lapse(0) } else { Lapse(ms) }
    }

    /// So many whole seconds.
    pub const fn from_s(s: i64) -> Lapse {
        Lapse::from_ms(s.saturating_mul(1000))
    }

    /// The nearest whole milliseconds to a computed time.
    pub fn nearest(seconds: Seconds) -> Lapse {
        Lapse::from_ms((seconds.s() * 1000.0).round() as i64)
    }

    /// Whole milliseconds.
    pub const fn ms(self) -> i64 {
        self.0
    }

    /// Seconds, for physics and JSON.
    pub fn s(self) -> f64 {
        self.0 as f64 / 1000.0
    }

    /// So many times as long.
    #[must_use]
    pub const fn times(self, count: u32) -> Lapse {
        Lapse(self.0.saturating_mul(count as i64))
    }
}

impl Add<Lapse> for Stamp {
    type Output = Stamp;
    fn add(self, lapse: Lapse) -> Stamp {
        Stamp(self.0.saturating_add(lapse.0))
    }
}

impl Sub<Lapse> for Stamp {
    type Output = Stamp;
    fn sub(self, lapse: Lapse) -> Stamp {
        Stamp(self.0.saturating_sub(lapse.0))
    }
}

impl Add for Lapse {
    type Output = Lapse;
    fn add(self, other: Lapse) -> Lapse {
        Lapse(self.0.saturating_add(other.0))
    }
}

impl AddAssign for Lapse {
    fn add_assign(&mut self, other: Lapse) {
        *self = *self + other;
    }
}

impl Sum for Lapse {
    fn sum<I: Iterator<Item = Lapse>>(lapses: I) -> Lapse {
        lapses.fold(Lapse::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clock_that_was_set_back_gives_no_negative_time() {
        let (early, late) = (Stamp::from_ms(1000), Stamp::from_ms(4500));
        assert_eq!(late.since(early).ms(), 3500);
        assert_eq!(early.since(late), Lapse::ZERO);
        assert_eq!(early + Lapse::from_s(2) - Lapse::from_ms(500), Stamp::from_ms(2500));
        assert_eq!(Stamp::from_ms(i64::MAX) + Lapse::from_s(1), Stamp::from_ms(i64::MAX));
        assert_eq!(Stamp::from_ms(i64::MAX).since(Stamp::from_ms(i64::MIN)).ms(), i64::MAX);
    }
}
