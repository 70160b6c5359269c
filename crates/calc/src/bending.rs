//! How far a part bends away from the tool, and what that does to its diameter.
//!
//! The part is a stepped round bar that stands out of a chuck which gives way (Euler–Bernoulli).
//! [`Cantilever::with_shear`] adds what shear adds: about `0.55·(d/L)²` of the deflection of a
//! steel bar of diameter `d` at stick-out `L`, 6 % at `L = 3·d` and half at `L = d`.

mod banded;
mod form;

pub use form::{Broken, Cut, Form, diameter_error, stick_out_ratio};

use crate::figure::{BadFigure, finite, not_negative, positive, within_floats};
use banded::{Banded, Factored};
use core::f64::consts::PI;
use model::Length;
use model::quantity::{Deflection, Force, Modulus, RadialCompliance, TiltCompliance, Torque};

/// One stretch of the part with one diameter. A hexagon counts as its inscribed circle, a cone as
/// several stretches: what is taken thinner bends more.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Step {
    /// Length along the axis.
    pub length: Length,
    /// Outer diameter.
    pub diameter: Length,
    /// Diameter of the bore; zero for solid.
    pub bore: Length,
}

/// How a chuck gives way under what it holds. Zero is rigid.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Compliance {
    /// Sideways at the jaw face.
    pub radial: RadialCompliance,
    /// Tilting at the jaw face.
    pub tilt: TiltCompliance,
}

/// A part that stands out of a chuck.
#[derive(Debug, Clone, PartialEq)]
pub struct Cantilever {
    /// Length in mm and `E·I` in N·mm² of each stretch, from the jaw face outward.
    stretches: Vec<(f64, f64)>,
    /// Length in mm and slope for each newton in 1/N that shear adds in each stretch.
    shear: Vec<(f64, f64)>,
    compliance: Compliance,
}

/// A load on the part in one plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// Distance from the jaw face.
    pub at: Length,
    /// Force across the axis.
    pub force: Force,
    /// Moment; positive bends the same way as the force.
    pub moment: Torque,
}

/// How the part stands at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bent {
    /// Distance from the jaw face in mm.
    pub at: f64,
    /// Deflection across the axis.
    pub deflection: Deflection,
    /// Slope in rad.
    pub slope: f64,
}

/// A stretch shorter than this share of the whole is taken together with a piece of its neighbor:
/// beside far longer ones its own figures would drown in rounding.
const SHORTEST: f64 = 1e-3;

/// A chuck this many times stiffer than the part in front of it counts as rigid.
const RIGID: f64 = 1e8;

impl Cantilever {
    /// A part of these stretches, from the jaw face outward.
    ///
    /// Second moment of area `I = π·(D⁴ − d⁴)/64`.
    /// Valid: one stretch or more, each longer than nothing, its bore smaller than its diameter;
    /// modulus above zero; compliances not negative.
    /// Source: second moment of a ring.
    /// Held to: `handbook/bending.toml`.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn new(
        steps: &[Step],
        modulus: Modulus,
        compliance: Compliance,
    ) -> Result<Cantilever, BadFigure> {
        let modulus = 1000.0 * positive(modulus.gpa(), "modulus of elasticity")?;
        not_negative(compliance.radial.um_per_kn(), "radial compliance of the chuck")?;
        not_negative(compliance.tilt.urad_per_nm(), "tilt compliance of the chuck")?;
        let stretches: Result<Vec<_>, BadFigure> = steps
            .iter()
            .map(|step| Ok((length_of(step)?, modulus * second_moment(step)?)))
            .collect();
        let stretches = stretches?;
        if stretches.is_empty() {
            return Err(BadFigure { what: "part in front of the jaws", must: "one step or more" });
        }
        Ok(Cantilever { stretches, shear: Vec::new(), compliance })
    }

    /// The part with what shear adds to its deflection.
    ///
    /// `δ_s = F·∫dx/(κ·G·A)` up to the load, `G = E/(2·(1 + ν))`; for a ring with `m = d/D`
    /// `κ = 6·(1 + ν)·(1 + m²)²/((7 + 6·ν)·(1 + m²)² + (20 + 12·ν)·m²)`, 0.886 for solid steel.
    /// Valid: `0 ≤ ν ≤ 0.5`, figures as for [`Cantilever::new`].
    /// Source: Timoshenko beam, with the shear coefficient of Cowper (1966); from memory.
    /// Held to: `handbook/bending.toml`.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn with_shear(
        steps: &[Step],
        modulus: Modulus,
        poisson: f64,
        compliance: Compliance,
    ) -> Result<Cantilever, BadFigure> {
        if !(0.0..=0.5).contains(&poisson) {
            return Err(BadFigure { what: "Poisson's ratio", must: "from 0 to 0.5" });
        }
        let part = Cantilever::new(steps, modulus, compliance)?;
        let shear_modulus = 1000.0 * modulus.gpa() / (2.0 * (1.0 + poisson));
        let of =
            |step: &Step| (step.length.mm(), 1.0 / (shear_modulus * shear_area(step, poisson)));
        Ok(Cantilever { shear: steps.iter().map(of).collect(), ..part })
    }

    /// Deflection in mm that shear adds up to a place, for a force beyond it.
    fn shear_to(&self, at: f64, force: f64) -> f64 {
        let mut start = 0.0;
        let add = |sum: f64, &(length, slope): &(f64, f64)| {
            let within = (at - start).clamp(0.0, length);
            start += length;
            sum + force * slope * within
        };
        self.shear.iter().fold(0.0, add)
    }

    /// How far the part stands out of the jaws, in mm.
    pub fn stick_out(&self) -> f64 {
        self.stretches.iter().map(|(length, _)| length).sum()
    }

    /// How the part stands at the load.
    ///
    /// Hermite beam elements, one a stretch, on a spring across and a spring against tilting at the
    /// jaw face; exact for such a beam up to rounding, but for stretches shorter than a thousandth
    /// of the way to the load, which bend as they should at a place up to two thousandths away.
    /// Valid: load on the part, force and moment finite.
    /// Source: Euler–Bernoulli beam theory, any text on finite elements; held to closed forms, to
    /// direct integration and to an independent dense solver.
    /// Held to: `handbook/bending.toml`.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn at_load(&self, load: &Load) -> Result<Bent, BadFigure> {
        let [bent] = self.at_loads(load.at, [(load.force, load.moment)])?;
        Ok(bent)
    }

    /// As [`Cantilever::at_load`], for several forces and moments at one place.
    fn at_loads<const N: usize>(
        &self,
        at: Length,
        loads: [(Force, Torque); N],
    ) -> Result<[Bent; N], BadFigure> {
        let elements = self.elements_to(at.mm())?;
        let seated = self.seated(&elements)?;
        let mut bents = [Bent { at: at.mm(), deflection: Deflection::default(), slope: 0.0 }; N];
        for (bent, (force, moment)) in bents.iter_mut().zip(loads) {
            let unknowns = self.unknowns(seated.as_ref(), force, moment)?;
            let [.., deflection, slope] = unknowns[..] else { return Err(STIFFNESS) };
            *bent = self.bent(at.mm(), deflection, slope, force)?;
        }
        Ok(bents)
    }

    /// How the part stands at the jaw face, at each change of diameter up to the load, at the load
    /// and at its free end.
    ///
    /// Valid, source: as [`Cantilever::at_load`]. Beyond the load the part stays straight.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn line(&self, load: &Load) -> Result<Vec<Bent>, BadFigure> {
        let mut line = self.line_to_load(load)?;
        let end = self.stick_out();
        if let Some(last) = line.last().copied().filter(|last| last.at < end) {
            let deflection = last.deflection.um() + 1000.0 * last.slope * (end - last.at);
            let deflection = Deflection::from_um(within_floats(deflection, "deflection")?);
            line.push(Bent { at: end, deflection, slope: last.slope });
        }
        Ok(line)
    }

    fn line_to_load(&self, load: &Load) -> Result<Vec<Bent>, BadFigure> {
        let elements = self.elements_to(load.at.mm())?;
        let seated = self.seated(&elements)?;
        let unknowns = self.unknowns(seated.as_ref(), load.force, load.moment)?;
        let mut at = 0.0;
        let places = std::iter::once(0.0).chain(elements.iter().map(|(length, _)| {
            at += length;
            at
        }));
        let bent = |(at, unknowns): (f64, &[f64])| {
            let [deflection, slope] = *unknowns else { return Err(STIFFNESS) };
            self.bent(at, deflection, slope, load.force)
        };
        places.zip(unknowns.chunks(2)).map(bent).collect()
    }

    /// A place with the deflection of bending in mm, to which shear is added.
    fn bent(&self, at: f64, bending: f64, slope: f64, force: Force) -> Result<Bent, BadFigure> {
        let deflection = 1000.0 * (bending + self.shear_to(at, force.n()));
        let deflection = Deflection::from_um(within_floats(deflection, "deflection")?);
        Ok(Bent { at, deflection, slope: within_floats(slope, "slope")? })
    }

    /// The stretches from the jaw face to a place on the part.
    fn elements_to(&self, at: f64) -> Result<Vec<(f64, f64)>, BadFigure> {
        if !(at >= 0.0 && at <= self.stick_out() * (1.0 + 1e-12)) {
            return Err(PLACE);
        }
        let mut start = 0.0;
        let pieces = self.stretches.iter().map_while(|&(length, stiffness)| {
            let length = length.min(at - start);
            start += length;
            (length > 0.0).then_some((length, length / stiffness))
        });
        let mut elements = gathered(pieces, SHORTEST * at);
        for (length, stiffness) in &mut elements {
            *stiffness = *length / *stiffness;
        }
        Ok(elements)
    }

    /// The equations of the elements on the springs of the chuck; none where there is no element,
    /// since the load then stands at the very jaw face.
    fn seated(&self, elements: &[(f64, f64)]) -> Result<Option<Factored>, BadFigure> {
        if elements.is_empty() {
            return Ok(None);
        }
        let mut matrix = Banded::new(2 * (elements.len() + 1));
        for (index, &(length, stiffness)) in elements.iter().enumerate() {
            let (k, l) = (stiffness / (length * length * length), length);
            let at = 2 * index;
            let entries = [
                [12.0 * k, 0.0, 0.0, 0.0],
                [6.0 * k * l, 4.0 * k * l * l, 0.0, 0.0],
                [-12.0 * k, -6.0 * k * l, 12.0 * k, 0.0],
                [6.0 * k * l, 2.0 * k * l * l, -6.0 * k * l, 4.0 * k * l * l],
            ];
            for (row, entries) in entries.iter().enumerate() {
                for (column, entry) in entries.iter().enumerate().take(row + 1) {
                    matrix.add(at + row, at + column, *entry);
                }
            }
        }
        self.seat(&mut matrix, elements);
        matrix.factored().map(Some).ok_or(STIFFNESS)
    }

    /// Deflection in mm and slope in rad at each end of the elements, under a load at the last.
    fn unknowns(
        &self,
        seated: Option<&Factored>,
        force: Force,
        moment: Torque,
    ) -> Result<Vec<f64>, BadFigure> {
        let force = finite(force.n(), "force on the part")?;
        let moment = 1000.0 * finite(moment.nm(), "moment on the part")?;
        let Some(seated) = seated else {
            // What the chuck holds rigidly does not move.
            return Ok(vec![
                force * self.compliance.radial.um_per_kn() * 1e-6,
                moment * self.compliance.tilt.urad_per_nm() * 1e-9,
            ]);
        };
        let mut right = vec![0.0; seated.unknowns()];
        if let [.., across, turning] = right.as_mut_slice() {
            (*across, *turning) = (force, moment);
        }
        seated.solve(&mut right);
        Ok(right)
    }

    /// Sets the first end of the beam on the springs of the chuck.
    fn seat(&self, matrix: &mut Banded, elements: &[(f64, f64)]) {
        let Some(&(length, stiffness)) = elements.first() else { return };
        // From µm/kN to mm/N, and from µrad/(N·m) to rad/(N·mm).
        let springs = [
            (self.compliance.radial.um_per_kn() * 1e-6, stiffness / (length * length * length)),
            (self.compliance.tilt.urad_per_nm() * 1e-9, stiffness / length),
        ];
        for (unknown, (compliance, beam)) in springs.into_iter().enumerate() {
            if compliance * beam * RIGID < 1.0 {
                matrix.hold(unknown);
            } else {
                matrix.add(unknown, unknown, 1.0 / compliance);
            }
        }
    }
}

/// Pieces, each with its length and what it yields (`length/EI`), gathered so that none is shorter
/// than `least`: a short piece takes from the next what it lacks, the last from the one before.
fn gathered(pieces: impl Iterator<Item = (f64, f64)>, least: f64) -> Vec<(f64, f64)> {
    let mut elements: Vec<(f64, f64)> = Vec::with_capacity(16);
    let mut short: Option<(f64, f64)> = None;
    for (length, yields) in pieces {
        let before = short.take().unwrap_or((0.0, 0.0));
        let lacks = if before.0 > 0.0 { least - before.0 } else { 0.0 };
        // What would be left too short to stand by itself is taken too.
        let taken = if length - lacks < least { length } else { lacks };
        let share = yields * (taken / length);
        let first = (before.0 + taken, before.1 + share);
        if first.0 >= least {
            elements.push(first);
        } else if first.0 > 0.0 {
            short = Some(first);
        }
        if taken < length {
            elements.push((length - taken, yields - share));
        }
    }
    if let Some(short) = short {
        let (length, yields) = elements.pop().unwrap_or_default();
        let lacks = least - short.0;
        if length - lacks < least {
            elements.push((length + short.0, yields + short.1));
        } else {
            let share = yields * (lacks / length);
            elements.extend([(length - lacks, yields - share), (least, short.1 + share)]);
        }
    }
    elements
}

const PLACE: BadFigure = BadFigure { what: "place of the load", must: "on the part" };
const STIFFNESS: BadFigure =
    BadFigure { what: "stiffness of the part", must: "within the range of floating point" };

fn length_of(step: &Step) -> Result<f64, BadFigure> {
    positive(step.length.mm(), "length of a step")
}

/// Area of a good step in mm², with the shear coefficient of a ring.
fn shear_area(step: &Step, poisson: f64) -> f64 {
    let (outer, inner) = (step.diameter.mm(), step.bore.mm());
    let hollow = (inner / outer) * (inner / outer);
    let square = (1.0 + hollow) * (1.0 + hollow);
    let below = (7.0 + 6.0 * poisson) * square + (20.0 + 12.0 * poisson) * hollow;
    let coefficient = 6.0 * (1.0 + poisson) * square / below;
    coefficient * PI / 4.0 * (outer - inner) * (outer + inner)
}

/// Second moment of area in mm⁴.
fn second_moment(step: &Step) -> Result<f64, BadFigure> {
    let outer = positive(step.diameter.mm(), "diameter of a step")?;
    let inner = not_negative(step.bore.mm(), "bore of a step")?;
    if inner >= outer {
        return Err(BadFigure { what: "bore of a step", must: "smaller than its diameter" });
    }
    let (outer, inner) = (outer * outer, inner * inner);
    Ok(PI / 64.0 * (outer - inner) * (outer + inner))
}

#[cfg(test)]
mod tests;
