//! What a chuck or collet holds at speed, and what a cut needs.
//!
//! Forces of grip are the sum over all jaws, pressed radially onto the bar from outside.

pub mod friction;
mod seat;

pub use seat::{Reaction, Seat};

use crate::figure::{BadFigure, not_negative, positive, within_floats};
use core::f64::consts::PI;
use model::Length;
use model::quantity::{Force, Mass, MassRadius, SpindleSpeed};

/// The largest share of the grip at rest that may be lost by speed.
///
/// 67 %, EN 1550 as restated in several chuck makers' manuals (makers withheld).
pub const LARGEST_LOSS: f64 = 0.67;

/// Factors by which a grip must exceed what a cut needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Safety {
    /// On the grip at rest and its loss: chuck worn, dry or badly greased.
    pub grip: f64,
    /// On the grip that the cut needs: forces of cutting that are not known better.
    pub machining: f64,
}

impl Safety {
    /// 1.5 and 1.5, the least that VDI 3106 allows, as restated in several chuck makers' manuals
    /// (makers withheld).
    pub const LEAST: Safety = Safety { grip: 1.5, machining: 1.5 };

    fn checked(self) -> Result<Safety, BadFigure> {
        let fits = |factor: f64| factor >= 1.0 && factor.is_finite();
        if fits(self.grip) && fits(self.machining) {
            Ok(self)
        } else {
            Err(BadFigure { what: "safety factor", must: "1 or more" })
        }
    }
}

/// Σ m·r of equal jaws: what speed multiplies.
///
/// `jaws · mass · radius`, the radius from the spindle axis to a jaw's center of gravity.
/// Valid: one jaw or more, mass and radius not negative.
/// Source: VDI 3106 as restated in chuck makers' manuals.
/// Held to: `handbook/holding.toml`.
///
/// # Errors
/// Names the figure that is not valid.
pub fn mass_radius(jaws: u32, mass: Mass, radius: Length) -> Result<MassRadius, BadFigure> {
    let jaws = positive(f64::from(jaws), "number of jaws")?;
    let mass = not_negative(mass.kg(), "mass of a jaw")?;
    let radius = not_negative(radius.m(), "radius of a jaw's center of gravity")?;
    within_floats(jaws * mass * radius, "mass times radius of the jaws").map(MassRadius::from_kg_m)
}

/// How a holding device loses grip with speed. Every kind loses with the square of the speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Loss {
    /// Jaws that slide outward: `Σ(m·r)·ω²`.
    Jaws(MassRadius),
    /// A share of the grip at rest that is lost at a speed, as makers of collets tell it.
    Share {
        /// From 0 to 1.
        lost: f64,
        /// The speed at which it is lost.
        at: SpindleSpeed,
    },
}

impl Loss {
    /// The force lost per square of the angular speed, in N·s².
    fn per_square(self, at_rest: Force) -> Result<f64, BadFigure> {
        match self {
            Loss::Jaws(sum) => not_negative(sum.kg_m(), "mass times radius of the jaws"),
            Loss::Share { lost, at } => {
                if !(0.0..=1.0).contains(&lost) {
                    return Err(BadFigure { what: "share of the grip lost", must: "from 0 to 1" });
                }
                let omega = radians(positive(at.rpm(), "speed of the share of grip lost")?);
                within_floats(lost * at_rest.n() / (omega * omega), "loss of grip")
            }
        }
    }

    /// The jaws that would lose as much at every speed.
    ///
    /// Valid: grip at rest not negative.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn mass_radius(self, at_rest: Force) -> Result<MassRadius, BadFigure> {
        not_negative(at_rest.n(), "grip at rest")?;
        self.per_square(at_rest).map(MassRadius::from_kg_m)
    }

    /// Force that the grip loses at a speed.
    ///
    /// `F_c = Σ(m·r)·(π·n/30)²`, or `F_c = share·F_0·(n/n_share)²`.
    /// Valid: grip at rest and speed not negative. Gripping from outside; from inside speed adds.
    /// Source: VDI 3106 as restated in chuck makers' manuals; the square of the speed also in
    /// measurements on a flexible chuck (Loughborough thesis, repository.lboro.ac.uk 9577880).
    /// Held to: `handbook/holding.toml`.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn at(self, at_rest: Force, speed: SpindleSpeed) -> Result<Force, BadFigure> {
        not_negative(at_rest.n(), "grip at rest")?;
        let omega = radians(not_negative(speed.rpm(), "spindle speed")?);
        let lost = self.per_square(at_rest)? * omega * omega;
        within_floats(lost, "loss of grip").map(Force::from_n)
    }

    /// The speed at which so much force is lost, in rev/min; infinite where speed takes none.
    fn speed_of(self, at_rest: Force, lost: f64) -> Result<SpindleSpeed, BadFigure> {
        let per_square = self.per_square(at_rest)?;
        Ok(SpindleSpeed::from_rpm(if per_square > 0.0 {
            30.0 / PI * libm::sqrt(lost / per_square)
        } else {
            f64::INFINITY
        }))
    }
}

fn radians(rpm: f64) -> f64 {
    PI * rpm / 30.0
}

/// What the grip is at a speed; nothing where all of it is lost.
///
/// `F = max(0, F_0 − F_c)`.
/// Valid, source: as [`Loss::at`].
/// Held to: `handbook/holding.toml`.
///
/// # Errors
/// Names the figure that is not valid.
pub fn grip_at_speed(at_rest: Force, loss: Loss, speed: SpindleSpeed) -> Result<Force, BadFigure> {
    let taken = loss.at(at_rest, speed)?;
    Ok(Force::from_n((at_rest.n() - taken.n()).max(0.0)))
}

/// Grip at rest that a cut needs at a speed.
///
/// `F_sp0 = S_sp·(F_spz·S_z + F_c)`, with `F_spz` the grip that the cut needs without any factor
/// and `F_c` the loss.
/// Valid: forces not negative, factors 1 or more.
/// Source: VDI 3106 as restated in several chuck makers' manuals (makers withheld).
/// Held to: `handbook/holding.toml`.
///
/// # Errors
/// Names the figure that is not valid.
pub fn grip_at_rest_needed(
    for_cut: Force,
    lost: Force,
    safety: Safety,
) -> Result<Force, BadFigure> {
    let safety = safety.checked()?;
    let for_cut = not_negative(for_cut.n(), "grip for the cut")?;
    let lost = not_negative(lost.n(), "loss of grip")?;
    let needed = safety.grip * (for_cut * safety.machining + lost);
    within_floats(needed, "grip needed").map(Force::from_n)
}

/// Highest speed at which a grip at rest still gives what a cut needs.
///
/// `n = (30/π)·√((F_sp0/S_sp − F_spz·S_z)/Σ(m·r))`; zero where the grip is too small even at rest,
/// infinite where speed takes no grip. The speed limits of chuck and spindle come on top.
/// Valid: forces not negative, factors 1 or more.
/// Source: VDI 3106 as restated in several chuck makers' manuals (makers withheld).
/// Held to: `handbook/holding.toml`.
///
/// # Errors
/// Names the figure that is not valid.
pub fn highest_speed(
    at_rest: Force,
    for_cut: Force,
    loss: Loss,
    safety: Safety,
) -> Result<SpindleSpeed, BadFigure> {
    let safety = safety.checked()?;
    let at_rest_n = not_negative(at_rest.n(), "grip at rest")?;
    let for_cut = not_negative(for_cut.n(), "grip for the cut")?;
    let spare = at_rest_n / safety.grip - for_cut * safety.machining;
    if spare > 0.0 {
        loss.speed_of(at_rest, spare)
    } else {
        loss.per_square(at_rest).map(|_| SpindleSpeed::default())
    }
}

/// Speed at which the loss reaches its largest share of the grip at rest, [`LARGEST_LOSS`].
///
/// `n = (30/π)·√(0.67·F_0/Σ(m·r))`; infinite where speed takes no grip.
/// Valid: grip at rest above zero.
/// Source: EN 1550 as restated in several chuck makers' manuals (makers withheld).
/// Held to: `handbook/holding.toml`.
///
/// # Errors
/// Names the figure that is not valid.
pub fn speed_of_largest_loss(at_rest: Force, loss: Loss) -> Result<SpindleSpeed, BadFigure> {
    let most = LARGEST_LOSS * positive(at_rest.n(), "grip at rest")?;
    loss.speed_of(at_rest, most)
}

/// What is left of the grip where a bar fills only a part of the jaws' length.
///
/// `F·min(1, g/l)`, with `g` the gripped length and `l` the length of the jaws: the pressure
/// between jaws and bar stays what it is with full jaws, and the jaws do not tip.
/// Valid: grip not negative, lengths above zero.
/// Source: common practice; no source.
/// Held to: `handbook/holding.toml`.
///
/// # Errors
/// Names the figure that is not valid.
pub fn short_grip(full: Force, gripped: Length, jaws: Length) -> Result<Force, BadFigure> {
    let full = not_negative(full.n(), "grip at rest")?;
    let gripped = positive(gripped.mm(), "gripped length")?;
    let jaws = positive(jaws.mm(), "length of the jaws")?;
    Ok(Force::from_n(full * (gripped / jaws).min(1.0)))
}

#[cfg(test)]
mod tests;
