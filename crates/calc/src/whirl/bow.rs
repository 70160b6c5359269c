//! A bent bar that turns, and a bar that sags: how far it leaves the axis, and what that costs.

use core::f64::consts::PI;
use model::Length;
use model::quantity::{Angle, Force, Mass, SpindleSpeed, Stress, SurfaceSpeed};

use super::band::Factor;
use super::beam::{Beam, Fineness, Mesh};
use super::{GRAVITY, WhirlError};

/// How bent a bar is: how far its middle stands off a straight edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bow {
    /// How far the middle stands off.
    pub rise: Length,
    /// Length of the straight edge.
    pub over: Length,
}

impl Bow {
    /// A bar as it comes: 1 mm over 1 m.
    ///
    /// Source: EN 10278, drawn bars below 0.25 % carbon; the meter as its base is from memory. The
    /// trade's figure for fast work, a total run-out of 0.007 in over a foot, is common practice
    /// and comes to 0.957 mm over 1 m.
    pub const AS_DRAWN: Bow = Bow { rise: Length::from_mm(1), over: Length::from_mm(1000) };

    /// The bow of a bar that is rolled on two rests so far apart, from the total run-out that a
    /// gauge in the middle shows.
    ///
    /// `rise = run-out / 2`.
    /// Valid: any figures.
    /// Source: geometry.
    /// Held to: `handbook/whirl.toml`.
    pub fn of_total_run_out(run_out: Length, over: Length) -> Bow {
        Bow { rise: run_out.half(), over }
    }

    /// What the same bend comes to over another length: `rise · (length/over)²`.
    ///
    /// Valid: one even bend, `rise ≤ over/10`. A kink or a bar bent to and fro is not one.
    /// Source: geometry of a shallow arc.
    /// Held to: `handbook/whirl.toml`.
    ///
    /// # Errors
    /// [`WhirlError::Bow`] for a rise below zero or above a tenth of its length.
    pub fn rise_over(self, length: Length) -> Result<Length, WhirlError> {
        let meters = self.curvature()? * length.m() * length.m() / 8.0;
        Ok(Length::nearest_mm(meters * 1e3))
    }

    /// `8·rise/over²`, 1/m.
    pub(crate) fn curvature(self) -> Result<f64, WhirlError> {
        let (rise, over) = (self.rise.m(), self.over.m());
        if over >= 1e-4 && (0.0..=over / 10.0).contains(&rise) {
            Ok(8.0 * rise / (over * over))
        } else {
            Err(WhirlError::Bow)
        }
    }
}

/// A bar off its axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Bent {
    /// Distance from the bar's end in m, and how far the bar stands off the axis there in mm.
    pub shape: Vec<(f64, f64)>,
    /// Largest distance from the axis.
    pub run_out: Length,
    /// Where that is, from the bar's end.
    pub at: Length,
    /// Largest bending stress that turning or weight puts into the bar; what straightened or
    /// drew it is not in it.
    pub stress: Stress,
    /// Forces of the turning bar, all taken as if on one side: more than its supports carry.
    pub side_force: Force,
    /// How many places of supports with play the bar touches.
    pub touches: usize,
}

/// How far an evenly bent bar runs out at this speed.
///
/// `(K − ω²·M)·u = EI·κ·(moments at both ends)`, the same as `(K − ω²·M)·y = ω²·M·e` with `u = y + e`
/// for a bar whose bow `e` has the curvature κ and that is straight in its supports.
///
/// A support with play holds nothing until the bar touches it. Whatever touches then stays at that
/// distance from the axis, and the rest of the bar bends about it. Where the bar is past a
/// critical speed, it is taken to touch, on the side of its bow, where it stands off most. This
/// bounds the run-out; it does not tell how the bar gets there, nor bouncing in the liner.
///
/// Valid: steady turning; no damping; below `√(g/u)` a bar lies in its liner by its weight rather
/// than whirl.
/// Errors: 1e-5 of the run-out, the closer to a critical speed the more: relative error of the
/// speed times `2r²/(1 − r²)`.
/// Source: Euler–Bernoulli beam elements; from memory.
/// Held to: `handbook/whirl.toml`.
///
/// # Errors
/// What of the bar, bow or speed cannot be, and [`WhirlError::AboveCritical`] where the speed is
/// past a critical speed and no support stops the bar.
pub fn running(beam: &Beam, bow: Bow, speed: SpindleSpeed) -> Result<Bent, WhirlError> {
    let mesh = beam.mesh(Fineness::of_modes(1))?;
    bent(&mesh, beam, bow.curvature()?, rate(speed)?)
}

pub(super) fn rate(speed: SpindleSpeed) -> Result<f64, WhirlError> {
    let rate = speed.rpm() * PI / 30.0;
    if (0.0..1e6).contains(&rate) { Ok(rate) } else { Err(WhirlError::Speed) }
}

pub(super) fn bent(
    mesh: &Mesh,
    beam: &Beam,
    curvature: f64,
    rate: f64,
) -> Result<Bent, WhirlError> {
    let curvature = curvature * mesh.unit;
    let mut load = vec![0.0; mesh.stiffness.size()];
    let last = load.len() - 1;
    load[1] = -curvature;
    load[last] = curvature;
    let shift = mesh.eigenvalue(rate);
    let (shape, touches) = settle(mesh, shift, &load)?;
    Ok(mesh.bent(beam, &shape, &Turning { shift, curvature, rate, weight: 0.0, touches }))
}

/// How far a bar sags under its own weight while it stands.
///
/// `K·y = m·g`; supports with play hold where the bar touches them.
/// Valid: a straight bar; standard gravity, 9.80665 m/s².
/// Errors: 1e-9 of the sag, beyond what stiffness and density are known to.
/// Source: Euler–Bernoulli beam elements; from memory.
/// Held to: `handbook/whirl.toml`.
///
/// # Errors
/// What of the bar or its supports cannot be, and [`WhirlError::Loose`] where too few hold it.
pub fn sag(beam: &Beam) -> Result<Bent, WhirlError> {
    let mesh = beam.mesh(Fineness::of_modes(1))?;
    let unit = mesh.unit;
    let weight = mesh.linear_mass * GRAVITY * unit * unit * unit / mesh.bending;
    let load = mesh.weight(weight, beam);
    let (shape, touches) = settle(&mesh, 0.0, &load).map_err(|_| WhirlError::Loose)?;
    let still = Turning { shift: 0.0, curvature: 0.0, rate: 0.0, weight, touches };
    Ok(mesh.bent(beam, &shape, &still))
}

/// Finds the shape under a load, with what touches of the supports with play, one after another.
fn settle(mesh: &Mesh, shift: f64, load: &[f64]) -> Result<(Vec<f64>, usize), WhirlError> {
    let mut touching: Vec<(usize, f64)> = Vec::new();
    loop {
        let (factor, mut shape) = mesh.placed(shift, load, &touching);
        factor.solve(&mut shape);
        let past = factor.negative > 0 || factor.least < 1e-13;
        let free = mesh.loose.iter().filter(|(at, _)| touching.iter().all(|(held, _)| held != at));
        let beyond = |(at, play): &(usize, f64)| shape[*at].abs() - play;
        let farthest = free.max_by(|a, b| beyond(a).total_cmp(&beyond(b))).copied();
        match farthest {
            Some(next) if past || beyond(&next) > 1e-9 * next.1 => {
                // Past a critical speed the figures point the wrong way: its bow decides the side.
                let side = if past { bow_side(mesh, load, next.0) } else { shape[next.0] };
                touching.push((next.0, next.1.copysign(side)));
            }
            _ if past => return Err(WhirlError::AboveCritical),
            _ => return Ok((shape, touching.len())),
        }
    }
}

/// To which side the load alone bends the bar at an unknown, as far as that can be told.
fn bow_side(mesh: &Mesh, load: &[f64], at: usize) -> f64 {
    let (factor, mut shape) = mesh.placed(0.0, load, &[]);
    factor.solve(&mut shape);
    shape[at]
}

/// What acts on a bar besides its own stiffness.
struct Turning {
    shift: f64,
    curvature: f64,
    rate: f64,
    weight: f64,
    touches: usize,
}

impl Mesh {
    /// `K − shift·M` in factors, and the load, with unknowns placed: the fixed at zero, those that
    /// touch at their play.
    fn placed(&self, shift: f64, load: &[f64], touching: &[(usize, f64)]) -> (Factor, Vec<f64>) {
        let (mut stiffness, mut mass) = (self.stiffness.clone(), self.mass.clone());
        let mut right = load.to_vec();
        let fixed = self.fixed.iter().map(|index| (*index, 0.0));
        for (index, value) in touching.iter().copied().chain(fixed) {
            let (first, last) = (index.saturating_sub(3), (index + 3).min(right.len() - 1));
            for (row, figure) in right.iter_mut().enumerate().take(last + 1).skip(first) {
                *figure -= (stiffness.at(row, index) - shift * mass.at(row, index)) * value;
            }
            stiffness.fix(index, 1.0);
            mass.fix(index, 0.0);
            right[index] = value;
        }
        (stiffness.factor(shift, &mass), right)
    }

    /// A load of so much a length, and the weight of what the bar carries.
    fn weight(&self, weight: f64, beam: &Beam) -> Vec<f64> {
        let mut load = vec![0.0; self.stiffness.size()];
        for (node, x) in self.x.windows(2).enumerate() {
            let length = x[1] - x[0];
            let (half, moment) = (weight * length / 2.0, weight * length * length / 12.0);
            for (at, figure) in [half, moment, half, -moment].into_iter().enumerate() {
                load[2 * node + at] += figure;
            }
        }
        for (at, mass) in &beam.masses {
            load[2 * self.node(*at)] += weight * mass.kg() / (self.linear_mass * self.unit);
        }
        load
    }

    fn bent(&self, beam: &Beam, shape: &[f64], turning: &Turning) -> Bent {
        let mm = self.unit * 1e3;
        let heights = shape.iter().step_by(2).map(|height| height * mm);
        let points: Vec<(f64, f64)> = self.x.iter().map(|x| x * self.unit).zip(heights).collect();
        let farthest = points.iter().copied().fold((0.0, 0.0_f64), |most, point| {
            if point.1.abs() > most.1.abs() { point } else { most }
        });
        let inertia: f64 = self
            .x
            .windows(2)
            .zip(points.windows(2))
            .map(|(x, y)| {
                (x[1] - x[0]) * self.unit * (y[0].1.abs() + y[1].1.abs()) / 2e3 * self.linear_mass
            })
            .sum();
        let carried: f64 = beam
            .masses
            .iter()
            .map(|(at, mass)| mass.kg() * points[self.node(*at)].1.abs() / 1e3)
            .sum();
        let moment = self.largest_moment(shape, turning) * self.bending / self.unit;
        let second = self.bending / (beam.modulus.gpa() * 1e9);
        Bent {
            run_out: Length::nearest_mm(farthest.1.abs()),
            at: Length::nearest_mm(farthest.0 * 1e3),
            stress: Stress::from_mpa(moment * beam.section.reach_mm() * 1e-3 / second * 1e-6),
            side_force: Force::from_n(turning.rate * turning.rate * (inertia + carried)),
            touches: turning.touches,
            shape: points,
        }
    }

    /// Largest bending moment at a node, from the balance of the element beside it.
    fn largest_moment(&self, shape: &[f64], turning: &Turning) -> f64 {
        let mut largest = 0.0_f64;
        for (node, x) in self.x.windows(2).enumerate() {
            let length = x[1] - x[0];
            let bows = [-turning.curvature, turning.curvature];
            let weights = [1.0, -1.0].map(|side| side * turning.weight * length * length / 12.0);
            for (end, row) in [1, 3].into_iter().enumerate() {
                let own = super::beam::element(length, row, &shape[2 * node..2 * node + 4]);
                let moment = own.0 - turning.shift * own.1 - bows[end] - weights[end];
                largest = largest.max(moment.abs());
            }
        }
        largest
    }
}

/// How many times the bow of a bar on two pins it is bent out at this speed.
///
/// `1/(1 − r²)` with `r = n/n_critical`; the added bow is `r²/(1 − r²)`.
/// Valid: a bow in the shape of the first mode, `0 ≤ r < 1`.
/// Source: response of one mode; from memory.
/// Held to: `handbook/whirl.toml`.
///
/// # Errors
/// [`WhirlError::AboveCritical`] at and above the critical speed, [`WhirlError::Speed`] for a
/// figure that is no speed.
pub fn growth(speed: SpindleSpeed, critical: SpindleSpeed) -> Result<f64, WhirlError> {
    let (speed, critical) = (rate(speed)?, rate(critical)?);
    if speed >= critical {
        return Err(WhirlError::AboveCritical);
    }
    let ratio = speed / critical;
    Ok(1.0 / ((1.0 - ratio) * (1.0 + ratio)))
}

/// Force of a mass that turns about an axis beside its middle.
///
/// `F = m·e·ω²`.
/// Valid: mass and distance not below zero.
/// Source: mechanics.
/// Held to: `handbook/whirl.toml`.
///
/// # Errors
/// [`WhirlError::Speed`] for a figure that is no speed; [`WhirlError::Mass`] for a mass that is none,
/// and [`WhirlError::Place`] for a distance below zero.
pub fn unbalance(mass: Mass, off: Length, speed: SpindleSpeed) -> Result<Force, WhirlError> {
    let rate = rate(speed)?;
    if !(0.0..=1e6).contains(&mass.kg()) {
        return Err(WhirlError::Mass);
    }
    if off.is_negative() {
        return Err(WhirlError::Place);
    }
    Ok(Force::from_n(mass.kg() * off.m() * rate * rate))
}

/// Critical speed as shops estimate it, from how far the bar sags.
///
/// `n = 30/π·√(g/δ)`.
/// Valid: a bar on two pins, where it is 0.888 of the true speed; so on the safe side.
/// Source: Rayleigh's quotient with the largest sag instead of the mean; from memory.
/// Held to: `handbook/whirl.toml`.
///
/// # Errors
/// [`WhirlError::Place`] for a sag of zero or less.
pub fn sag_estimate(sag: Length) -> Result<SpindleSpeed, WhirlError> {
    if !sag.is_positive() {
        return Err(WhirlError::Place);
    }
    Ok(SpindleSpeed::from_rpm(libm::sqrt(GRAVITY / sag.m()) * 30.0 / PI))
}

/// Speed of the end of a bar that has bent away from the axis, the whole of it at one angle.
///
/// `v = 2π·n·L·sin α`.
/// Valid: a length not below zero and any angle; the sign of the angle is left out.
/// Source: the case of a death behind a lathe, FACE 10WA001: 3 ft bent to 80° at 1000 rev/min.
/// Held to: `handbook/whirl.toml`.
///
/// # Errors
/// [`WhirlError::Speed`] for a figure that is no speed, [`WhirlError::Length`] for a length below
/// zero, [`WhirlError::Place`] for an angle that is not a figure.
pub fn flung_end(
    length: Length,
    bend: Angle,
    speed: SpindleSpeed,
) -> Result<SurfaceSpeed, WhirlError> {
    let rate = rate(speed)?;
    if length.is_negative() {
        return Err(WhirlError::Length);
    }
    if !bend.deg().is_finite() {
        return Err(WhirlError::Place);
    }
    let across = length.m() * libm::sin(bend.deg().to_radians()).abs();
    Ok(SurfaceSpeed::from_m_per_min(rate * across * 60.0))
}
