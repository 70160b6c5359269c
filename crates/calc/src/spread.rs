//! Figures that rest on scattered data, carried as a range.

/// A figure with the range in which it may lie: `low ≤ nominal ≤ high`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread<T> {
    /// The least that it may be.
    pub low: T,
    /// What the data say.
    pub nominal: T,
    /// The most that it may be.
    pub high: T,
}

impl<T: Copy> Spread<T> {
    /// A figure that is known.
    pub const fn exact(value: T) -> Spread<T> {
        Spread { low: value, nominal: value, high: value }
    }

    /// The range of a figure that grows with this one.
    pub fn map<U>(self, growing: impl Fn(T) -> U) -> Spread<U> {
        Spread { low: growing(self.low), nominal: growing(self.nominal), high: growing(self.high) }
    }
}

impl Spread<f64> {
    /// A figure from `1 − share` to `1 + share` of itself.
    ///
    /// Valid: figure and share at or above zero, share at most 1.
    pub const fn either_side(nominal: f64, share: f64) -> Spread<f64> {
        Spread { low: nominal * (1.0 - share), nominal, high: nominal * (1.0 + share) }
    }

    /// The product of two figures at or above zero that scatter apart from each other; the range
    /// is the widest that both together allow.
    #[must_use]
    pub fn times(self, other: Spread<f64>) -> Spread<f64> {
        Spread {
            low: self.low * other.low,
            nominal: self.nominal * other.nominal,
            high: self.high * other.high,
        }
    }
}
