//! How times scatter, drawn from a seed.

use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::{Rng as _, SeedableRng as _};

/// How a time scatters around what is given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Scatter {
    /// Not at all.
    None,
    /// Between these shares of it, the time itself the most frequent (triangle).
    Between {
        /// The shortest, at most 1.
        least: f64,
        /// The longest, at least 1.
        most: f64,
    },
    /// As if it could end at any moment: exponential, the time being the mean.
    Exponential,
}

impl Scatter {
    /// The mean over the given time.
    pub fn mean(self) -> f64 {
        match self {
            Scatter::None | Scatter::Exponential => 1.0,
            Scatter::Between { least, most } => (least + 1.0 + most) / 3.0,
        }
    }
}

/// A source of chance: the same for the same seed and number on every system.
#[derive(Debug, Clone)]
pub struct Chance(Pcg64Mcg);

impl Chance {
    /// The chance of one run among many of a seed.
    pub fn of(seed: u64, run: u64) -> Chance {
        // Far apart for neighbors; the generator hashes it once more.
        let mixed = seed
            .wrapping_mul(0x9E37_79B9_7F4A_7C15)
            .wrapping_add(run.wrapping_mul(0xD134_2543_DE82_EF95));
        Chance(Pcg64Mcg::seed_from_u64(mixed))
    }

    /// Above 0 and at most 1.
    fn share(&mut self) -> f64 {
        // 53 bits: every such figure is a float.
        ((self.0.next_u64() >> 11) + 1) as f64 / (1_u64 << 53) as f64
    }

    /// A time that scatters so.
    pub fn draw(&mut self, time: f64, scatter: Scatter) -> f64 {
        match scatter {
            Scatter::None => time,
            Scatter::Exponential => -time * libm::log(self.share()),
            Scatter::Between { least, most } => {
                let (below, above) = (1.0 - least, most - 1.0);
                let width = below + above;
                let share = self.share();
                if width <= 0.0 {
                    time
                } else if share * width < below {
                    time * (least + libm::sqrt(share * width * below))
                } else {
                    time * (most - libm::sqrt((1.0 - share) * width * above))
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moments(scatter: Scatter) -> (f64, f64, f64, f64) {
        let mut chance = Chance::of(7, 3);
        let drawn: Vec<f64> = (0..200_000).map(|_| chance.draw(10.0, scatter)).collect();
        let count = drawn.len() as f64;
        let mean = drawn.iter().sum::<f64>() / count;
        let square = drawn.iter().map(|it| (it - mean) * (it - mean)).sum::<f64>() / count;
        let least = drawn.iter().copied().fold(f64::MAX, f64::min);
        (mean, square, least, drawn.iter().copied().fold(0.0, f64::max))
    }

    /// Mean and variance of the laws, as any textbook has them.
    #[test]
    fn times_scatter_as_their_laws_say() {
        let (least, most) = (0.7, 2.0);
        let (mean, square, low, high) = moments(Scatter::Between { least, most });
        let (a, c, b) = (7.0, 10.0, 20.0);
        assert!((mean - (a + b + c) / 3.0).abs() < 0.03, "{mean}");
        let variance = (a * a + b * b + c * c - a * b - a * c - b * c) / 18.0;
        assert!((square / variance - 1.0).abs() < 0.02, "{square} {variance}");
        assert!(low >= a && high <= b && low < 7.2 && high > 19.7);
        let (mean, square, low, _) = moments(Scatter::Exponential);
        assert!((mean - 10.0).abs() < 0.1 && (square / 100.0 - 1.0).abs() < 0.03 && low >= 0.0);
        assert_eq!(moments(Scatter::None), (10.0, 0.0, 10.0, 10.0));
        assert!((Scatter::Between { least, most }.mean() * 10.0 - 37.0 / 3.0).abs() < 1e-12);
    }
}
