//! What a gripped length of bar bears.

use super::friction::Coefficients;
use crate::figure::{BadFigure, not_negative, positive, within_floats};
use model::Length;
use model::quantity::{Force, Torque};

const SQRT_3: f64 = 1.732_050_807_568_877_2;

/// What a cut does to the bar where the jaws hold it. Signs are left out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reaction {
    /// Turns the bar in the jaws.
    pub torque: Torque,
    /// Shifts it along the axis.
    pub axial: Force,
    /// Presses it sideways.
    pub radial: Force,
    /// Tips it, about the middle of the gripped length.
    pub overturning: Torque,
}

/// Where and how long a bar is gripped.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seat {
    /// Diameter of the bar in the jaws; across the flats for a hexagon.
    pub diameter: Length,
    /// Length of the bar in the jaws.
    pub length: Length,
    /// Friction between the two.
    pub friction: Coefficients,
}

impl Seat {
    fn diameter_m(&self) -> Result<f64, BadFigure> {
        positive(self.diameter.m(), "gripped diameter")
    }

    /// Grip, without any safety factor, below which a cut turns or shifts the bar.
    ///
    /// `F = √((2·M_t/(D·µ_t))² + (F_a/µ_a)²)`; with one µ this is `√(F_t² + F_a²)/µ`, where
    /// `F_t = F_cut·d_cut/D`.
    /// Valid: diameter and friction above zero.
    /// Source: friction force along the resultant; with one µ and no axial force chuck makers'
    /// manuals restating VDI 3106.
    /// Held to: `handbook/holding.toml`.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn grip_against_slip(&self, on: &Reaction) -> Result<Force, BadFigure> {
        let friction = self.friction.checked()?;
        let torque = not_negative(on.torque.nm().abs(), "torque of the cut")?;
        let axial = not_negative(on.axial.n().abs(), "axial force")?;
        let around = 2.0 * torque / self.diameter_m()? / friction.around;
        within_floats(libm::hypot(around, axial / friction.along), "grip needed").map(Force::from_n)
    }

    /// Grip, without any safety factor, below which an edge of the jaws lifts off the bar. It is
    /// not yet loose there, but no longer runs true.
    ///
    /// `F = 2·P + 12·M/g`: the jaws can only press. A sideways force `P` and a moment `M` add to
    /// the pressure on one side and take from the other, in a straight line along the gripped
    /// length `g`; three or more equal jaws, or a ring, first lift at `P = F/2` or `M = F·g/12`.
    /// Friction along the jaws helps and is left out, for torque and axial force want it.
    /// Valid: three jaws or more, or a collet; length above zero.
    /// Source: statics, derived here (pressure `p(x, φ) = p_0 + (a + b·x)·cos φ`, never negative);
    /// checked by adding up jaws one by one.
    /// Held to: `handbook/holding.toml`.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn grip_against_lift(&self, on: &Reaction) -> Result<Force, BadFigure> {
        let (length, radial, moment) = self.overturned(on)?;
        within_floats(2.0 * radial + 12.0 * moment / length, "grip needed").map(Force::from_n)
    }

    /// Grip, without any safety factor, below which the bar tips out of jaws that only press.
    ///
    /// `F = max(2·P, 2·√3·M/g, 3·M/g + P/2)`: at the utmost each jaw presses at one end of the
    /// gripped length `g`, those on one side in front and the others behind. Three jaws, the fewest,
    /// press with `F/3 + ⅔·P·cos φ`, which must not be negative, and hold least with one of them
    /// across the load (the second term) or in line with it (the third).
    /// Valid: three jaws or more, or a collet; length above zero. How far jaws dig in is left out.
    /// So is the moment across the plane of the load that a force and three jaws askew make: with it
    /// in balance too, up to 3.4 percent more grip is needed, at `P·g` of about `M`; none more for a
    /// force or a moment alone (`handbook/made-by/twice.txt`).
    /// Source: statics, derived here; checked by adding up three jaws in every way of standing.
    /// Held to: `handbook/holding.toml`.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn grip_against_tipping(&self, on: &Reaction) -> Result<Force, BadFigure> {
        let (length, radial, moment) = self.overturned(on)?;
        let (across, in_line) =
            (2.0 * SQRT_3 * moment / length, 3.0 * moment / length + radial / 2.0);
        let needed = (2.0 * radial).max(across).max(in_line);
        within_floats(needed, "grip needed").map(Force::from_n)
    }

    /// Gripped length in m, sideways force in N and overturning moment in N·m.
    fn overturned(&self, on: &Reaction) -> Result<(f64, f64, f64), BadFigure> {
        let length = positive(self.length.m(), "gripped length")?;
        let radial = not_negative(on.radial.n().abs(), "radial force")?;
        Ok((length, radial, not_negative(on.overturning.nm().abs(), "overturning moment")?))
    }

    /// Grip, without any safety factor, below which the bar tips out of three jaws, held by the
    /// friction along the axis alone.
    ///
    /// `F = 4·M/(µ_a·D)`: one jaw with a third of the grip holds by friction, at ¾·D from the line
    /// through the two others.
    /// Valid: diameter and friction above zero.
    /// Source: a chuck maker's manual, permissible overhang (maker withheld): lever 0.75·D and
    /// friction of a third of the grip.
    /// Held to: `handbook/holding.toml`.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn grip_against_tipping_by_friction(&self, on: &Reaction) -> Result<Force, BadFigure> {
        let friction = self.friction.checked()?;
        let moment = not_negative(on.overturning.nm().abs(), "overturning moment")?;
        let needed = 4.0 * moment / (friction.along * self.diameter_m()?);
        within_floats(needed, "grip needed").map(Force::from_n)
    }

    /// Grip that a cut needs, without any safety factor: against slip and overturning together.
    ///
    /// The smaller of two ways in which the jaws can hold: by pressure against tipping and friction
    /// against slip, the larger of both grips; or by friction against both, their sum. A bar held
    /// long is held the first way, a disc the second.
    /// Valid: as the parts.
    /// Source: the parts; that each way in which a body can be in balance is enough is the lower
    /// bound theorem of plasticity.
    /// Held to: `handbook/holding.toml`.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn grip_needed(&self, on: &Reaction) -> Result<Force, BadFigure> {
        let slip = self.grip_against_slip(on)?.n();
        let pressed = self.grip_against_tipping(on)?.n().max(slip);
        let rubbed = self.grip_against_tipping_by_friction(on)?.n() + slip;
        Ok(Force::from_n(pressed.min(rubbed)))
    }

    /// Torque at which the bar turns in the jaws.
    ///
    /// `M = µ_t·F·D/2`.
    /// Valid: grip not negative, diameter and friction above zero.
    /// Source: friction at a radius.
    /// Held to: `handbook/holding.toml`.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn slip_torque(&self, grip: Force) -> Result<Torque, BadFigure> {
        let grip = not_negative(grip.n(), "grip")?;
        let torque = self.friction.checked()?.around * grip * self.diameter_m()? / 2.0;
        within_floats(torque, "slip torque").map(Torque::from_nm)
    }

    /// Force at which the bar moves along the axis.
    ///
    /// `F_a = µ_a·F`.
    /// Valid: grip not negative, friction above zero.
    /// Source: friction.
    /// Held to: `handbook/holding.toml`.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn pull_out_force(&self, grip: Force) -> Result<Force, BadFigure> {
        let grip = not_negative(grip.n(), "grip")?;
        within_floats(self.friction.checked()?.along * grip, "pull-out force").map(Force::from_n)
    }

    /// Largest overturning moment that the jaws hold, beside a sideways force.
    ///
    /// By pressure `min(F·g/(2·√3), (2·F − P)·g/6)` where `F ≥ 2·P`, by friction `µ_a·F·D/4`; the
    /// larger of the two.
    /// Valid: grip not negative, lengths and friction above zero.
    /// Source: as [`Seat::grip_against_tipping`] and [`Seat::grip_against_tipping_by_friction`].
    /// Held to: `handbook/holding.toml`.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn overturning_moment(&self, grip: Force, radial: Force) -> Result<Torque, BadFigure> {
        let grip_n = not_negative(grip.n(), "grip")?;
        let radial = not_negative(radial.n().abs(), "radial force")?;
        let length = positive(self.length.m(), "gripped length")?;
        let (across, in_line) = (grip_n / (2.0 * SQRT_3), (2.0 * grip_n - radial) / 6.0);
        let pressed = if grip_n < 2.0 * radial { 0.0 } else { across.min(in_line) * length };
        let rubbed = self.pull_out_force(grip)?.n() * self.diameter_m()? / 4.0;
        within_floats(pressed.max(rubbed), "overturning moment").map(Torque::from_nm)
    }
}
