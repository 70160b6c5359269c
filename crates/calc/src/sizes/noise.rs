//! Seeded chance for the simulations in tests; the engine itself has none.

use libm::{cos, log, sin};
use std::f64::consts::TAU;

/// A generator of 64 bits (xorshift*, Vigna 2016), the same on every system.
pub(crate) struct Noise {
    state: u64,
    kept: Option<f64>,
}

impl Noise {
    pub(crate) fn new(seed: u64) -> Noise {
        let mut noise = Noise { state: seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1, kept: None };
        for _ in 0..8 {
            noise.unit();
        }
        noise
    }

    /// Evenly from 0 to 1, never either.
    pub(crate) fn unit(&mut self) -> f64 {
        self.state ^= self.state >> 12;
        self.state ^= self.state << 25;
        self.state ^= self.state >> 27;
        let bits = self.state.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11;
        (bits as f64 + 0.5) / (1_u64 << 53) as f64
    }

    /// Normal, mean 0, deviation 1 (Box and Muller).
    pub(crate) fn normal(&mut self) -> f64 {
        if let Some(kept) = self.kept.take() {
            return kept;
        }
        let (far, turn) = ((-2.0 * log(self.unit())).sqrt(), TAU * self.unit());
        self.kept = Some(far * sin(turn));
        far * cos(turn)
    }
}

#[test]
fn noise_is_normal() {
    let mut noise = Noise::new(1);
    let many: Vec<f64> = (0..200_000).map(|_| noise.normal()).collect();
    let summary = super::summary::Summary::of(&many).unwrap();
    assert!(summary.mean.abs() < 0.01 && (summary.deviation - 1.0).abs() < 0.01, "{summary:?}");
    let beyond = many.iter().filter(|it| it.abs() > 1.959_964).count() as f64 / 200_000.0;
    assert!((beyond - 0.05).abs() < 0.002, "{beyond}");
    let hang = super::summary::hanging_together(&many).unwrap().unwrap();
    assert!(hang.abs() < 0.01, "{hang}");
}
