//! What bending does to the diameter along a cut.

use super::{Cantilever, Load};
use crate::figure::{BadFigure, finite, not_negative, positive, within_floats};
use model::Length;
use model::quantity::{Deflection, Force, Torque};

/// Stick-out as a multiple of the diameter; 3 to 4 is the most without support.
///
/// Valid: both above zero.
/// Source: 3 a bench lathe owner's manual (maker withheld); 3 to 4 common practice.
/// Held to: `handbook/bending.toml`.
///
/// # Errors
/// Names the figure that is not valid.
pub fn stick_out_ratio(stick_out: Length, diameter: Length) -> Result<f64, BadFigure> {
    Ok(positive(stick_out.mm(), "stick-out")? / positive(diameter.mm(), "diameter")?)
}

/// By how much a diameter comes out too large because the part springs away from the tool.
///
/// `2·(√((r + δ_r)² + δ_t²) − r)`: the axis lies `δ_r` farther from the tool in the radial
/// direction and `δ_t` off in the direction of the cut, which counts in the second order only,
/// about `δ_t²/r` on the diameter.
/// Valid: diameter above zero, deflections finite, the radial one above −r.
/// Source: geometry.
/// Held to: `handbook/bending.toml`.
///
/// # Errors
/// Names the figure that is not valid.
pub fn diameter_error(
    diameter: Length,
    radial: Deflection,
    tangential: Deflection,
) -> Result<Deflection, BadFigure> {
    let radius = 1000.0 * positive(diameter.mm(), "diameter")? / 2.0;
    let radial = finite(radial.um(), "radial deflection")?;
    let across = finite(tangential.um(), "tangential deflection")?;
    let along = positive(radius + radial, "radius and radial deflection together")?;
    // √(a² + t²) − r without taking near figures from each other.
    let error = radial + across * (across / (libm::hypot(along, across) + along));
    within_floats(2.0 * error, "error of the diameter").map(Deflection::from_um)
}

/// A cut along the part with steady forces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cut {
    /// Distance from the jaw face where it starts.
    pub from: Length,
    /// Distance from the jaw face where it ends.
    pub to: Length,
    /// Diameter that it is to leave.
    pub diameter: Length,
    /// Force of the tool on the part away from the tool, across the axis.
    pub passive: Force,
    /// Force in the direction of the cut.
    pub cutting: Force,
    /// Force along the axis, positive toward the chuck.
    pub feed: Force,
}

/// The form that a cut leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct Form {
    /// Distance from the jaw face in mm and error of the diameter there, from the start of the
    /// cut to its end; positive is too large.
    pub errors: Vec<(f64, Deflection)>,
    /// The place of the largest error of either sign, and that error.
    pub worst: (f64, Deflection),
    /// Largest less smallest error of the diameter along the cut.
    pub taper: Deflection,
}

/// Where an error of the diameter passes what is allowed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Broken {
    /// The place nearest to the jaw face at which it is passed, as distance from the jaw face in
    /// mm.
    pub nearest: f64,
    /// The place farthest from it.
    pub farthest: f64,
}

/// How many places of a cut are looked at, with both ends.
const PLACES: u32 = 33;

impl Cantilever {
    /// Error of the diameter at a place of a cut.
    ///
    /// The part bends under the passive force, and under the moment of the feed force at its
    /// radius, which bends it back toward the tool; it bends sideways under the cutting force.
    /// That a cut gets shallower and its force smaller as the part gives way is left out. Steps
    /// are those of the part before the cut: what is in front of the tool bears nothing.
    /// Valid: place on the part, forces finite.
    /// Source: as [`Cantilever::at_load`] and [`diameter_error`].
    /// Held to: `handbook/bending.toml`.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn error_at(&self, cut: &Cut, at: Length) -> Result<Deflection, BadFigure> {
        let radius = positive(cut.diameter.m(), "diameter of a cut")? / 2.0;
        let passive = finite(cut.passive.n(), "passive force")?;
        let feed = finite(cut.feed.n(), "feed force")?;
        let across = finite(cut.cutting.n(), "cutting force")?;
        let bent = |force, moment| {
            let (force, moment) = (Force::from_n(force), Torque::from_nm(moment));
            self.at_load(&Load { at, force, moment })
        };
        let (radial, tangential) = (bent(passive, -feed * radius)?, bent(across, 0.0)?);
        diameter_error(cut.diameter, radial.deflection, tangential.deflection)
    }

    /// The form that a cut leaves, at 33 places from its start to its end.
    ///
    /// Valid, source: as [`Cantilever::error_at`].
    /// Held to: `handbook/bending.toml`.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn form(&self, cut: &Cut) -> Result<Form, BadFigure> {
        let errors: Result<Vec<_>, BadFigure> = (0..PLACES)
            .map(|index| {
                let share = i128::from(index) * i128::from((cut.to - cut.from).nm());
                let at = cut.from + Length::from_nm((share / i128::from(PLACES - 1)) as i64);
                Ok((at.mm(), self.error_at(cut, at)?))
            })
            .collect();
        let errors = errors?;
        let of = |pick: fn(f64, f64) -> f64| errors.iter().map(|(_, e)| e.um()).reduce(pick);
        let (Some(high), Some(low)) = (of(f64::max), of(f64::min)) else {
            return Err(BadFigure { what: "cut", must: "at one place or more" });
        };
        let larger = |a: &(f64, Deflection), b: &(f64, Deflection)| b.1.um().abs() > a.1.um().abs();
        let worst = errors.iter().copied().reduce(|a, b| if larger(&a, &b) { b } else { a });
        let worst = worst.ok_or(BadFigure { what: "cut", must: "at one place or more" })?;
        Ok(Form { errors, worst, taper: Deflection::from_um(high - low) })
    }
}

impl Form {
    /// Where the error of the diameter is larger than allowed, to either side.
    ///
    /// Between the places looked at the error is taken as a straight line, which lies outside of the
    /// true one where a part bends the more the farther out.
    /// Valid: allowance not negative.
    /// Source: geometry.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn broken(&self, allowed: Deflection) -> Result<Option<Broken>, BadFigure> {
        let allowed = not_negative(allowed.um(), "allowed error of the diameter")?;
        let over = |error: Deflection| error.um().abs() > allowed;
        let mut found: Option<(f64, f64)> = None;
        let mut note = |at: f64| {
            let (low, high) = found.unwrap_or((at, at));
            found = Some((low.min(at), high.max(at)));
        };
        for (at, _) in self.errors.iter().filter(|(_, error)| over(*error)) {
            note(*at);
        }
        for pair in self.errors.windows(2) {
            let [(a, one), (b, other)] = *pair else { continue };
            if over(one) != over(other) {
                // Both lie on the side on which the limit is passed, or the line crosses zero.
                let limit = if over(one) { one } else { other }.um().signum() * allowed;
                note(a + (b - a) * (limit - one.um()) / (other.um() - one.um()));
            }
        }
        Ok(found.map(|(nearest, farthest)| Broken { nearest, farthest }))
    }
}
