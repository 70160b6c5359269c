//! Chance that comes out the same every time.

/// A row of whole numbers that looks like chance and hangs on its seed alone.
///
/// `SplitMix64`: G. Steele, D. Lea, C. Flood, "Fast Splittable Pseudorandom Number Generators", OOPSLA 2014
/// (constants from memory).
#[derive(Debug, Clone)]
pub(super) struct Chance(u64);

impl Chance {
    pub(super) const fn new(seed: u64) -> Chance {
        Chance(seed)
    }

    fn number(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// From `low` to `high`, both included.
    pub(super) fn between(&mut self, low: i64, high: i64) -> i64 {
        low + (self.number() % (high - low + 1).max(1) as u64) as i64
    }

    pub(super) fn once_in(&mut self, times: i64) -> bool {
        self.between(1, times) == 1
    }

    /// Around zero, with a standard deviation of about 1000: twelve even numbers together are nearly normal.
    pub(super) fn around(&mut self) -> i64 {
        (0..12).map(|_| self.between(0, 1000)).sum::<i64>() - 6000
    }
}
