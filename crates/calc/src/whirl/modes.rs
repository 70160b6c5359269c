//! Lowest natural frequencies and shapes.
//!
//! The pivots of `K − σ·M` tell how many eigenvalues lie below `σ` (Sylvester's law of inertia),
//! so that each one is bracketed for certain before inverse iteration refines it, and none is
//! missed or taken twice.

use core::f64::consts::PI;
use model::quantity::SpindleSpeed;

use super::WhirlError;
use super::band::{Band, Factor};
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
    let fineness = Fineness::of_modes(count);
    let (mesh, pairs) = lowest(beam, fineness, count)?;
    // A bed may keep the longest stretches from bending; then the lowest modes lie in short ones.
    let highest = pairs.iter().map(|(eigenvalue, _)| *eigenvalue).fold(0.0, f64::max);
    let (mesh, pairs) = match fineness.finer(highest) {
        Some(finer) => lowest(beam, finer, count)?,
        None => (mesh, pairs),
    };
    Ok(pairs.into_iter().map(|(eigenvalue, vector)| mode(&mesh, eigenvalue, &vector)).collect())
}

/// Eigenvalues with their vectors.
type Pairs = Vec<(f64, Vec<f64>)>;

fn lowest(beam: &Beam, fineness: Fineness, count: usize) -> Result<(Mesh, Pairs), WhirlError> {
    let mesh = beam.mesh(fineness)?;
    let (stiffness, mass) = mesh.held(true);
    let free = stiffness.size() - mesh.fixed.len() - mesh.loose.len();
    let pairs = Pencil::new(&stiffness, &mass)?.lowest(count.min(free))?;
    Ok((mesh, pairs))
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

/// An eigenvalue below this is rounding, or so near to it that the bar is as good as loose. The
/// longest thin bar held at one end has 1e-8.
const LOOSE: f64 = 1e-10;

/// Two matrices whose eigenvalues are wanted.
pub(super) struct Pencil<'m> {
    stiffness: &'m Band,
    mass: &'m Band,
    /// The stiffness alone, in factors.
    still: Factor,
}

impl<'m> Pencil<'m> {
    /// Checks that nothing can move without bending.
    pub(super) fn new(stiffness: &'m Band, mass: &'m Band) -> Result<Pencil<'m>, WhirlError> {
        let still = stiffness.factor(0.0, mass);
        if still.negative > 0 || still.least < 1e-13 {
            return Err(WhirlError::Loose);
        }
        Ok(Pencil { stiffness, mass, still })
    }

    /// How many eigenvalues lie below.
    fn below(&self, shift: f64) -> usize {
        self.stiffness.factor(shift, self.mass).negative
    }

    fn dot(&self, a: &[f64], b: &[f64]) -> f64 {
        self.mass.times(b).iter().zip(a).map(|(x, y)| x * y).sum()
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
        let mut vector = self.start();
        let mut value = 0.0;
        for _ in 0..3 {
            value = self.step(&self.still, 0.0, &mut vector);
        }
        for _ in 0..4 {
            let (last, shift) = (value, value * (1.0 - 1e-9));
            value = self.step(&self.stiffness.factor(shift, self.mass), shift, &mut vector);
            if (value - last).abs() < 1e-9 * value {
                break;
            }
        }
        let proven = value > 0.0 && value.is_finite() && self.below(value * (1.0 - PROOF)) == 0;
        let (value, vector) = if proven { (value, vector) } else { self.next(&[])? };
        // NaN fails as well.
        if value > LOOSE { Ok((value, vector)) } else { Err(WhirlError::Loose) }
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
            let last = value;
            value = self.step(&factor, shift, &mut vector);
            if (value - last).abs() < 1e-13 * value {
                break;
            }
        }
        (value, vector)
    }

    /// One step of inverse iteration about a shift; the vector `v` leaves with a mass of 1. Gives
    /// Rayleigh's quotient `vᵀKv / vᵀMv`, which with `(K − σM)·v = M·x` is `σ + vᵀMx / vᵀMv`.
    fn step(&self, factor: &Factor, shift: f64, vector: &mut Vec<f64>) -> f64 {
        let inertia = self.mass.times(vector);
        vector.clone_from(&inertia);
        factor.solve(vector);
        let squared = self.dot(vector, vector);
        let along: f64 = vector.iter().zip(&inertia).map(|(x, y)| x * y).sum();
        let scale = 1.0 / libm::sqrt(squared);
        if scale.is_finite() {
            for x in vector.iter_mut() {
                *x *= scale;
            }
        }
        shift + along / squared
    }

    /// A vector with something of every mode: heights that no mode repeats.
    fn start(&self) -> Vec<f64> {
        let golden = 0.618_033_988_749_894_9;
        let height = |i: usize| 1.0 + 0.5 * ((i as f64 * golden).fract() - 0.5);
        (0..self.stiffness.size()).map(|i| if i % 2 == 0 { height(i / 2) } else { 0.0 }).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Holds, Section, Support};
    use super::*;
    use model::Length;
    use model::quantity::{BedStiffness, Density, Modulus};
    use nalgebra::{DMatrix, DVector};
    use proptest::prelude::*;

    fn beam(supports: Vec<Support>) -> Beam {
        Beam {
            section: Section::Round { diameter: Length::from_mm(25) },
            length: Length::from_mm(1000),
            modulus: Modulus::from_gpa(205.0),
            density: Density::from_kg_per_m3(7850.0),
            supports,
            masses: Vec::new(),
        }
    }

    fn at(mm: i64, holds: Holds) -> Support {
        Support::new(Length::from_mm(mm), holds)
    }

    fn beta(beam: &Beam, elements: f64) -> f64 {
        let mesh = beam.mesh(Fineness { whole: elements, stretch: 1.0 }).unwrap();
        let (stiffness, mass) = mesh.held(true);
        let (value, _) = Pencil::new(&stiffness, &mass).unwrap().first().unwrap();
        libm::sqrt(libm::sqrt(value)) / mesh.unit
    }

    /// Elements with cubic shapes are too stiff, and their error falls with the fourth power of
    /// their length. βL = 1.875104068711961 from cos βL · cosh βL = −1.
    #[test]
    fn twice_the_elements_leave_a_sixteenth_of_the_error() {
        let tail = beam(vec![at(0, Holds::Clamp)]);
        let errors: Vec<f64> =
            [2.0, 4.0, 8.0].map(|elements| beta(&tail, elements) - 1.875_104_068_711_961).to_vec();
        for pair in errors.windows(2) {
            assert!(pair[1] > 0.0 && (14.0..18.0).contains(&(pair[0] / pair[1])), "{errors:?}");
        }
    }

    /// The two equal stretches beside a clamp swing alike: both modes are there, of one speed.
    #[test]
    fn modes_of_one_speed_are_both_found() {
        let twice = modes(&beam(vec![at(500, Holds::Clamp)]), 4).unwrap();
        for pair in [[0, 1], [2, 3]] {
            let [a, b] = pair.map(|index| &twice[index]);
            assert!((a.speed.rpm() / b.speed.rpm() - 1.0).abs() < 1e-9);
            let along: f64 = a.shape.iter().zip(&b.shape).map(|(a, b)| a.1 * b.1).sum();
            let own: f64 = a.shape.iter().map(|(_, y)| y * y).sum();
            assert!(along.abs() < 0.5 * own, "one mode twice");
        }
        // (1.875104069/0.5)² and (4.694091133/0.5)² apart.
        let ratio = twice[2].speed.rpm() / twice[0].speed.rpm();
        assert!((ratio - libm::pow(4.694_091_133 / 1.875_104_069, 2.0)).abs() < 1e-5);
    }

    /// A stiff bed bends a long bar within 0.08 m, less than an element of the curve would be without
    /// it; the curve's elements follow all the same.
    #[test]
    fn elements_follow_a_stiff_bed() {
        let stiffness = BedStiffness::from_n_per_mm2(100.0);
        let to = Length::from_mm(2500);
        let mut long = beam(vec![at(0, Holds::Bed { to, stiffness })]);
        long.length = Length::from_mm(3000);
        let of = |fineness| {
            let mesh = long.mesh(fineness).unwrap();
            let (stiffness, mass) = mesh.held(true);
            mesh.rate(Pencil::new(&stiffness, &mass).unwrap().first().unwrap().0)
        };
        let fine = of(Fineness { whole: 400.0, stretch: 8.0 });
        assert!((of(Fineness::CURVE) / fine - 1.0).abs() < 1e-5, "{}", of(Fineness::CURVE) / fine);
    }

    #[test]
    fn a_bar_that_can_move_is_loose() {
        for supports in [vec![], vec![at(300, Holds::Pin)], vec![at(0, Holds::Pin)]] {
            assert_eq!(modes(&beam(supports), 1), Err(WhirlError::Loose));
        }
        let held = beam(vec![at(0, Holds::Clamp)]);
        assert_eq!(modes(&held, 0), Err(WhirlError::Modes));
        assert_eq!(modes(&held, 11), Err(WhirlError::Modes));
    }

    fn bands() -> impl Strategy<Value = (Vec<[f64; 4]>, Vec<f64>)> {
        (1_usize..12).prop_flat_map(|size| {
            (
                prop::collection::vec(prop::array::uniform4(-1.0_f64..1.0), size),
                prop::collection::vec(-1.0_f64..1.0, size),
            )
        })
    }

    proptest! {
        /// Product, solution and count of a band against dense matrices of nalgebra.
        #[test]
        fn a_band_is_its_dense_matrix((rows, right) in bands(), shift in -2.0_f64..2.0) {
            let size = rows.len();
            let mut band = Band::zeros(size);
            let mut unit = Band::zeros(size);
            for (i, row) in rows.iter().enumerate() {
                for (away, figure) in row.iter().enumerate().take(i + 1) {
                    band.add(i, i - away, *figure);
                }
                unit.add(i, i, 1.0);
            }
            let dense = DMatrix::from_fn(size, size, |i, j| band.at(i, j));
            let vector = DVector::from_vec(right.clone());
            for (ours, theirs) in band.times(&right).iter().zip((&dense * &vector).iter()) {
                prop_assert!((ours - theirs).abs() < 1e-12);
            }
            let values = dense.clone().symmetric_eigen().eigenvalues;
            prop_assume!(values.iter().all(|value| (value - shift).abs() > 1e-6));
            let factor = band.factor(shift, &unit);
            prop_assert_eq!(factor.negative, values.iter().filter(|value| **value < shift).count());
            let mut ours = right;
            factor.solve(&mut ours);
            let shifted = dense - DMatrix::identity(size, size) * shift;
            let residue = shifted * DVector::from_vec(ours.clone()) - &vector;
            // No rows are exchanged, so that pivots may be small; the beam's matrices have none.
            let large = ours.iter().fold(1.0_f64, |most, x| most.max(x.abs()));
            prop_assume!(factor.least.abs() > 1e-3);
            prop_assert!(residue.amax() < 1e-6 * large, "{}", residue.amax());
        }
    }
}
