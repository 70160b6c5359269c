//! Lowest natural frequencies and shapes.
//!
//! The pivots of `K − σ·M` tell how many eigenvalues lie below `σ` (Sylvester's law of inertia),
//! so that each one is bracketed for certain before inverse iteration refines it, and none is
//! missed or taken twice.

use core::f64::consts::PI;
use model::quantity::SpindleSpeed;

use super::WhirlError;
use super::band::Band;
use super::beam::{Beam, Fineness, Mesh};

/// One natural mode of a bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Mode {
    /// Critical speed: the bar's natural frequency as a spindle speed.
    pub speed: SpindleSpeed,
    /// Wave number `β = (ω²·m/EI)^(1/4)` in 1/m.
    pub beta: f64,
    /// Its shape: distance from the bar's end in m, and how far the bar swings there; the largest
    /// is 1 or −1.
    pub shape: Vec<(f64, f64)>,
}

/// Lowest natural modes of a bar on its supports, lowest first.
///
/// `EI·y'''' = ω²·m·y` by Hermite beam elements, `K·y = ω²·M·y`; critical speed `n = 30·ω/π`.
/// Supports with play hold as if they had none.
///
/// Valid: slender bars. What is left out, with `r² = I/A` and `c² = E/ρ`: turning inertia lowers
/// the speed of a mode by `½·ω·r/c`, the gyroscopic effect of a bar that whirls with the spindle
/// raises it by twice that, so that both together raise it by `½·ω·r/c`, and shear lowers it by
/// about `1.6·ω·r/c`. At 5000 rev/min a steel bar of 25 mm has `ω·r/c = 0.0006`: all of it is a
/// tenth of a percent. A held length of five diameters comes to some 3 %, but its critical speed
/// is then beyond 100 000 rev/min.
/// Errors: modes up to the number asked for within 1e-6 of their speed (elements and rounding
/// together) where no support gives way; supports within 1/2000 of the bar's length count as one.
/// Source: Euler–Bernoulli beam, consistent mass; any text on finite elements; from memory.
/// Held to: `handbook/whirl.toml`.
///
/// # Errors
/// What of the bar or its supports cannot be, [`WhirlError::Loose`] where the bar can move away
/// without bending, and [`WhirlError::Modes`] for none or more than ten modes.
pub fn modes(beam: &Beam, count: usize) -> Result<Vec<Mode>, WhirlError> {
    if !(1..=10).contains(&count) {
        return Err(WhirlError::Modes);
    }
    let mesh = beam.mesh(Fineness::of_modes(count))?;
    let (stiffness, mass) = mesh.held(true);
    let free = stiffness.size() - mesh.fixed.len() - mesh.loose.len();
    let pairs = Pencil::new(&stiffness, &mass)?.lowest(count.min(free))?;
    Ok(pairs.into_iter().map(|(eigenvalue, vector)| mode(&mesh, eigenvalue, &vector)).collect())
}

fn mode(mesh: &Mesh, eigenvalue: f64, vector: &[f64]) -> Mode {
    let largest = vector
        .iter()
        .step_by(2)
        .fold(0.0_f64, |most, y| if y.abs() > most.abs() { *y } else { most });
    let scale = if largest == 0.0 { 0.0 } else { 1.0 / largest };
    let shape = mesh.x.iter().zip(vector.iter().step_by(2));
    Mode {
        speed: SpindleSpeed::from_rpm(mesh.rate(eigenvalue) * 30.0 / PI),
        beta: libm::sqrt(libm::sqrt(eigenvalue)) / mesh.unit,
        shape: shape.map(|(x, y)| (x * mesh.unit, y * scale)).collect(),
    }
}

/// How near the shifts beside an eigenvalue are that prove where it lies.
const PROOF: f64 = 1e-6;

/// Two matrices whose eigenvalues are wanted.
pub(super) struct Pencil<'m> {
    stiffness: &'m Band,
    mass: &'m Band,
}

impl<'m> Pencil<'m> {
    /// Checks that nothing can move without bending.
    pub(super) fn new(stiffness: &'m Band, mass: &'m Band) -> Result<Pencil<'m>, WhirlError> {
        let factor = stiffness.factor(0.0, mass);
        if factor.negative > 0 || factor.least < 1e-13 {
            return Err(WhirlError::Loose);
        }
        Ok(Pencil { stiffness, mass })
    }

    /// How many eigenvalues lie below.
    fn below(&self, shift: f64) -> usize {
        self.stiffness.factor(shift, self.mass).negative
    }

    fn dot(&self, a: &[f64], b: &[f64]) -> f64 {
        self.mass.times(b).iter().zip(a).map(|(x, y)| x * y).sum()
    }

    /// The quotient of energies; an upper bound of the lowest eigenvalue.
    fn quotient(&self, vector: &[f64]) -> f64 {
        let bent: f64 = self.stiffness.times(vector).iter().zip(vector).map(|(x, y)| x * y).sum();
        bent / self.dot(vector, vector)
    }

    /// The lowest eigenvalues with their vectors.
    pub(super) fn lowest(&self, count: usize) -> Result<Vec<(f64, Vec<f64>)>, WhirlError> {
        let mut found: Vec<(f64, Vec<f64>)> = vec![self.first()?];
        while found.len() < count {
            let next = self.next(&found)?;
            found.push(next);
        }
        Ok(found)
    }

    /// The lowest eigenvalue: inverse iteration, then shifts by the quotient, then a proof.
    pub(super) fn first(&self) -> Result<(f64, Vec<f64>), WhirlError> {
        let still = self.stiffness.factor(0.0, self.mass);
        let mut vector = self.start();
        for _ in 0..3 {
            self.step(&still, &mut vector);
        }
        let mut value = self.quotient(&vector);
        for _ in 0..4 {
            let last = value;
            self.step(&self.stiffness.factor(value * (1.0 - 1e-9), self.mass), &mut vector);
            value = self.quotient(&vector);
            if (value - last).abs() < 1e-9 * value {
                break;
            }
        }
        if value > 0.0 && value.is_finite() && self.below(value * (1.0 - PROOF)) == 0 {
            return Ok((value, vector));
        }
        self.next(&[])
    }

    /// The lowest eigenvalue that is not among those found.
    fn next(&self, found: &[(f64, Vec<f64>)]) -> Result<(f64, Vec<f64>), WhirlError> {
        let wanted = found.len() + 1;
        let (mut low, mut high) = (0.0, self.bound(wanted)?);
        if let Some((value, _)) = found.last() {
            low = value * (1.0 - PROOF);
        }
        // Halving the gap in the wave number: eigenvalues span many powers of ten.
        while high - low > 1e-4 * high {
            let middle = if low > 0.0 { libm::sqrt(low * high) } else { high / 16.0 };
            if low == 0.0 && middle < 1e-30 {
                return Err(WhirlError::Loose);
            }
            if self.below(middle) >= wanted { high = middle } else { low = middle }
        }
        loop {
            let (value, vector) = self.refine(f64::midpoint(low, high), found);
            let narrow = high - low <= 1e-11 * high;
            let near = value >= low * (1.0 - PROOF) && value <= high * (1.0 + PROOF);
            if narrow || near {
                return Ok((value, vector));
            }
            let middle = f64::midpoint(low, high);
            if self.below(middle) >= wanted { high = middle } else { low = middle }
        }
    }

    /// A figure with so many eigenvalues below it.
    fn bound(&self, wanted: usize) -> Result<f64, WhirlError> {
        let mut high = 1e-12;
        while self.below(high) < wanted {
            high *= 16.0;
            if high > 1e15 {
                return Err(WhirlError::Loose);
            }
        }
        Ok(high)
    }

    /// Inverse iteration about a shift, square to the vectors found.
    fn refine(&self, shift: f64, found: &[(f64, Vec<f64>)]) -> (f64, Vec<f64>) {
        let factor = self.stiffness.factor(shift, self.mass);
        let mut vector = self.start();
        let mut value = shift;
        for _ in 0..12 {
            // Twice: rounding leaves a rest the first time.
            for (_, other) in found.iter().chain(found) {
                let along = self.dot(other, &vector);
                for (x, y) in vector.iter_mut().zip(other) {
                    *x -= along * y;
                }
            }
            self.step(&factor, &mut vector);
            let last = value;
            value = self.quotient(&vector);
            if (value - last).abs() < 1e-13 * value {
                break;
            }
        }
        (value, vector)
    }

    /// One step of inverse iteration; the vector leaves with a mass of 1.
    fn step(&self, factor: &super::band::Factor, vector: &mut Vec<f64>) {
        *vector = self.mass.times(vector);
        factor.solve(vector);
        let size = libm::sqrt(self.dot(vector, vector));
        let scale = if size > 0.0 && size.is_finite() { 1.0 / size } else { 1.0 };
        for x in vector.iter_mut() {
            *x *= scale;
        }
    }

    /// A vector with something of every mode: heights that no mode repeats.
    fn start(&self) -> Vec<f64> {
        let golden = 0.618_033_988_749_894_9;
        let height = |i: usize| 1.0 + 0.5 * ((i as f64 * golden).fract() - 0.5);
        (0..self.stiffness.size()).map(|i| if i % 2 == 0 { height(i / 2) } else { 0.0 }).collect()
    }
}
