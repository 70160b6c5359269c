//! Chances that come out the same on every run and every system.

/// A row of numbers that look like chance: `SplitMix64` (Steele, Lea and Flood, 2014).
#[derive(Debug, Clone)]
pub struct Chance(u64);

impl Chance {
    /// The row that begins with this seed.
    pub const fn new(seed: u64) -> Chance {
        Chance(seed)
    }

    /// The next whole number.
    pub const fn next_whole(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// The next number above 0 and below 1, each as likely as any other.
    pub fn next_share(&mut self) -> f64 {
        // 53 bits are as many as a float tells apart; half a step keeps it off both ends.
        ((self.next_whole() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    /// The next of a normal distribution with middle 0 and deviation 1 (Box and Muller, 1958).
    pub fn next_normal(&mut self) -> f64 {
        let radius = libm::sqrt(-2.0 * libm::log(self.next_share()));
        radius * libm::cos(core::f64::consts::TAU * self.next_share())
    }

    /// The next factor of a log-normal distribution with middle 1, of which nine of ten lie between
    /// `1/spread` and `spread`.
    pub fn next_factor(&mut self, spread: f64) -> f64 {
        // Nine of ten of a normal distribution lie within 1.6449 deviations.
        libm::exp(self.next_normal() * libm::log(spread.max(1.0)) / NINE_OF_TEN)
    }
}

/// Deviations to both sides within which nine of ten of a normal distribution lie.
pub const NINE_OF_TEN: f64 = 1.644_853_626_951_472_7;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_row_is_the_published_one() {
        // Seed 1234567, as tests of other implementations have it (from memory).
        let mut chance = Chance::new(1_234_567);
        let row: Vec<u64> = (0..3).map(|_| chance.next_whole()).collect();
        assert_eq!(
            row,
            [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]
        );
    }

    #[test]
    fn nine_of_ten_factors_lie_within_the_spread() {
        let mut chance = Chance::new(7);
        let runs = 40_000;
        let within = (0..runs).filter(|_| (0.5..=2.0).contains(&chance.next_factor(2.0))).count();
        let share = within as f64 / f64::from(runs);
        // Three standard errors of a share of 0.9.
        assert!((share - 0.9).abs() < 3.0 * (0.09 / f64::from(runs)).sqrt(), "{share}");
        assert!((chance.next_factor(1.0) - 1.0).abs() < 1e-15);
    }
}
