//! Time on the lathe in whole nanoseconds: a cycle that comes again takes exactly as long again,
//! whatever the hour, and a thousand of them a thousand times as long.

use model::quantity::Seconds;
use std::ops::{Add, AddAssign, Sub};

/// An instant of a run, counted from the start of the program.
///
/// Sums saturate at 292 years.
///
/// ```
/// use prove::instant::Instant;
/// let mut now = Instant::START;
/// for _ in 0..10 {
///     now += 0.1;
/// }
/// assert_eq!(now, Instant::START + 1.0);
/// assert_eq!(now - Instant::START, 1.0);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Instant {
    nanoseconds: i64,
}

impl Instant {
    /// When the program is started.
    pub const START: Instant = Instant { nanoseconds: 0 };

    /// Seconds since the start, as a figure to show.
    pub fn s(self) -> f64 {
        self - Instant::START
    }

    /// Time since the start.
    pub fn since_start(self) -> Seconds {
        Seconds::from_s(self.s())
    }

    /// The exact way from an earlier instant to this one, in nanoseconds.
    pub(crate) const fn nanoseconds_after(self, earlier: Instant) -> i64 {
        self.nanoseconds.saturating_sub(earlier.nanoseconds)
    }

    /// This instant so many times so many nanoseconds later.
    pub(crate) const fn later(self, nanoseconds: i64, times: i64) -> Instant {
        let way = nanoseconds.saturating_mul(times);
        Instant { nanoseconds: self.nanoseconds.saturating_add(way) }
    }
}

impl Add<f64> for Instant {
    type Output = Instant;

    /// So many seconds later; what is no number is no time.
    fn add(self, seconds: f64) -> Instant {
        self.later(nanoseconds(seconds), 1)
    }
}

impl AddAssign<f64> for Instant {
    fn add_assign(&mut self, seconds: f64) {
        *self = *self + seconds;
    }
}

impl Sub for Instant {
    type Output = f64;

    /// Seconds from the other instant to this one.
    fn sub(self, earlier: Instant) -> f64 {
        seconds(self.nanoseconds_after(earlier))
    }
}

fn nanoseconds(seconds: f64) -> i64 {
    // A cast saturates, and takes what is no number for zero.
    (seconds * 1e9).round() as i64
}

fn seconds(nanoseconds: i64) -> f64 {
    nanoseconds as f64 / 1e9
}
