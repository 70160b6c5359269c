//! Choices that come out the same every time: whole numbers from one seed.

/// A row of whole numbers that looks like chance and hangs on its seed alone.
///
/// `SplitMix64`: G. Steele, D. Lea, C. Flood, "Fast Splittable Pseudorandom Number Generators",
/// OOPSLA 2014 (constants from memory).
#[derive(Debug, Clone)]
pub struct Seed(u64);

impl Seed {
    /// The row that starts from this number.
    pub const fn new(number: u64) -> Seed {
        Seed(number)
    }

    /// The row that belongs to a name.
    pub fn of(name: &str) -> Seed {
        let mut seed = Seed(0);
        for byte in name.bytes() {
            seed.0 = seed.number() ^ u64::from(byte);
        }
        seed
    }

    /// The next number.
    pub fn number(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A whole number from `low` to `high`, both included.
    pub fn between(&mut self, low: i64, high: i64) -> i64 {
        low + (self.number() % (high - low + 1).max(1) as u64) as i64
    }

    /// `true` once in so many times.
    pub fn once_in(&mut self, times: i64) -> bool {
        self.between(1, times) == 1
    }

    /// One of these; none where there is none.
    pub fn one<T: Copy>(&mut self, of: &[T]) -> Option<T> {
        if of.is_empty() {
            return None;
        }
        let index = self.between(0, of.len() as i64 - 1) as usize;
        of.get(index).copied()
    }

    /// The same things in another order.
    pub fn shuffled<T>(&mut self, mut all: Vec<T>) -> Vec<T> {
        for place in (1..all.len()).rev() {
            let other = self.between(0, place as i64) as usize;
            all.swap(place, other);
        }
        all
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_seed_gives_the_same_row_and_keeps_its_range() {
        let row = |number| {
            let mut seed = Seed::new(number);
            (0..50).map(|_| seed.between(-3, 9)).collect::<Vec<_>>()
        };
        assert_eq!(row(7), row(7));
        assert_ne!(row(7), row(8));
        assert!(row(7).iter().all(|one| (-3..=9).contains(one)));
        assert_ne!(Seed::of("one").number(), Seed::of("two").number());
        let mut order = Seed::new(1).shuffled((0..20).collect());
        assert_ne!(order, (0..20).collect::<Vec<_>>());
        order.sort_unstable();
        assert_eq!(order, (0..20).collect::<Vec<_>>());
    }
}
