//! How far a part bends away from the tool, and what that does to its diameter.
//!
//! The part is a stepped round bar that stands out of a chuck which gives way (Euler–Bernoulli).
//! [`Cantilever::with_shear`] adds what shear adds: about `0.55·(d/L)²` of the deflection of a
//! steel bar of diameter `d` at stick-out `L`, 6 % at `L = 3·d` and half at `L = d`.

mod form;

pub use form::{Broken, Cut, Form, diameter_error, stick_out_ratio};

use crate::figure::{BadFigure, finite, not_negative, positive, within_floats};
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
    /// Its elements from the jaw face outward.
    elements: Vec<Element>,
    compliance: Compliance,
}

/// One stretch of the part: what its outer end does against its inner end.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Element {
    /// In mm.
    length: f64,
    /// `E·I` in N·mm².
    stiffness: f64,
    /// Slope for each newton in 1/N that shear adds; zero where it is left out.
    shear: f64,
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
        let element = |step: &Step| {
            let stiffness = modulus * second_moment(step)?;
            Ok(Element { length: length_of(step)?, stiffness, shear: 0.0 })
        };
        let elements: Vec<Element> = steps.iter().map(element).collect::<Result<_, BadFigure>>()?;
        if elements.is_empty() {
            return Err(BadFigure { what: "part in front of the jaws", must: "one step or more" });
        }
        Ok(Cantilever { elements, compliance })
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
        let mut part = Cantilever::new(steps, modulus, compliance)?;
        let shear_modulus = 1000.0 * modulus.gpa() / (2.0 * (1.0 + poisson));
        for (element, step) in part.elements.iter_mut().zip(steps) {
            element.shear = 1.0 / (shear_modulus * shear_area(step, poisson));
        }
        Ok(part)
    }

    /// How far the part stands out of the jaws, in mm.
    pub fn stick_out(&self) -> f64 {
        self.elements.iter().map(|element| element.length).sum()
    }

    /// How the part stands at the load.
    ///
    /// Finite elements, one a stretch, by the force method: the part is statically determinate, so
    /// that force and moment are known everywhere, and the ends of the elements follow one from
    /// the other. An element of length `l` with force `F` and moment `m` at its outer end turns by
    /// `(m·l + F·l²/2)/(E·I)` and bends by `(m·l²/2 + F·l³/3)/(E·I)`; the chuck gives way below
    /// the first. Nothing is taken from anything near to it, as a stiffness matrix would do with a
    /// short thick stretch beside a long thin one, so that no digits are lost. Exact for such a
    /// beam.
    /// Valid: load on the part, force and moment finite.
    /// Source: Euler–Bernoulli beam theory, any text; held to closed forms, to direct integration
    /// and to stiffness elements with an independent dense solver.
    /// Held to: `handbook/bending.toml`.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn at_load(&self, load: &Load) -> Result<Bent, BadFigure> {
        self.walk(load, |_| ())
    }

    /// How the part stands at the jaw face, at each change of diameter up to the load, at the load
    /// and at its free end.
    ///
    /// Valid, source: as [`Cantilever::at_load`]. Beyond the load the part stays straight.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn line(&self, load: &Load) -> Result<Vec<Bent>, BadFigure> {
        let mut line = Vec::with_capacity(self.elements.len() + 2);
        let last = self.walk(load, |bent| line.push(bent))?;
        let end = self.stick_out();
        if last.at < end {
            let deflection = last.deflection.um() + 1000.0 * last.slope * (end - last.at);
            let deflection = Deflection::from_um(within_floats(deflection, "deflection")?);
            line.push(Bent { at: end, deflection, slope: last.slope });
        }
        Ok(line)
    }

    /// From the jaw face to the load, element by element; tells each end on the way.
    fn walk(&self, load: &Load, mut tell: impl FnMut(Bent)) -> Result<Bent, BadFigure> {
        let force = finite(load.force.n(), "force on the part")?;
        let moment = 1000.0 * finite(load.moment.nm(), "moment on the part")?;
        let end = load.at.mm();
        if !(end >= 0.0 && end <= self.stick_out() * (1.0 + 1e-12)) {
            return Err(PLACE);
        }
        // From µm/kN to mm/N, and from µrad/(N·m) to rad/(N·mm).
        let mut across = force * self.compliance.radial.um_per_kn() * 1e-6;
        let mut slope = (force * end + moment) * self.compliance.tilt.urad_per_nm() * 1e-9;
        let mut at = 0.0;
        let mut bent = place(at, across, slope)?;
        tell(bent);
        for element in &self.elements {
            let length = element.length.min(end - at);
            if length <= 0.0 {
                break;
            }
            at += length;
            let outer = moment + force * (end - at).max(0.0);
            let stiffness = element.stiffness;
            let arm = outer * length / 2.0 + force * length * length / 3.0;
            across += length * (slope + arm / stiffness + force * element.shear);
            slope += length * (outer + force * length / 2.0) / stiffness;
            bent = place(at, across, slope)?;
            tell(bent);
        }
        Ok(bent)
    }
}

/// A place with its deflection in mm.
fn place(at: f64, across: f64, slope: f64) -> Result<Bent, BadFigure> {
    let deflection = Deflection::from_um(within_floats(1000.0 * across, "deflection")?);
    Ok(Bent { at, deflection, slope: within_floats(slope, "slope")? })
}

const PLACE: BadFigure = BadFigure { what: "place of the load", must: "on the part" };

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
