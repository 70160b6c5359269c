//! Torque and thrust of a twist drill.

use super::{above_zero, finite, radians, specific_force};
use crate::OutOfRange;
use crate::spread::Spread;
use model::Length;
use model::files::material::CuttingForce;
use model::quantity::{Angle, FeedPerRev, Force, Torque};

/// What a drill asks of spindle and slide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drilling {
    /// Turning effort.
    pub torque: Spread<Torque>,
    /// Push along the axis.
    pub thrust: Spread<Force>,
}

/// Torque and thrust of a two-lipped drill into solid, by the force on each mm² of chip.
///
/// Each lip: `b = d/(2·sin κ)`, `h = f/2·sin κ`, κ half the point angle.
/// `M = kc·f·d²/8·K`. Thrust of the lips `0.5·kc·f·d/2·sin κ·K`; the chisel edge adds as much
/// again in solid and more, so the range is 1 to 2.5 times that, nominally 1.75, which reaches the
/// handbook's thrust for a standard point. K the factors of the cut.
/// Valid: diameter and feed above zero, `0 < κ < 90°`, factors above zero.
/// Source: torque by El-Hofy, Fundamentals of Machining Processes, ch. 5, and Dietrich/Tschätsch;
/// thrust common practice.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// A figure outside of that.
pub fn drilling(
    material: &CuttingForce,
    diameter: Length,
    feed: FeedPerRev,
    point: Angle,
    factors: Spread<f64>,
) -> Result<Drilling, OutOfRange> {
    let (diameter, feed) = (above_zero(diameter.mm())?, above_zero(feed.mm())?);
    if !(point.deg() > 0.0 && point.deg() < 180.0) {
        return Err(OutOfRange);
    }
    above_zero(factors.low)?;
    let sine = libm::sin(radians(point) / 2.0);
    let kc = specific_force(material.kc11, material.mc, feed / 2.0 * sine)?.n_per_mm2();
    let kc = Spread::either_side(kc, material.spread).times(factors);
    let torque = kc.map(|kc| kc * feed * diameter * diameter / 8000.0);
    let lips = kc.map(|kc| 0.5 * kc * feed * diameter / 2.0 * sine);
    let thrust = lips.times(Spread { low: 1.0, nominal: 1.75, high: 2.5 });
    finite(torque.high)?;
    finite(thrust.high)?;
    Ok(Drilling { torque: torque.map(Torque::from_nm), thrust: thrust.map(Force::from_n) })
}

/// The factors of a drill in the handbook's way of reckoning.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Factors {
    /// Kd: how hard the material is to drill; 24 000 for steel of 200 HB.
    pub material: f64,
    /// A: what the chisel edge adds to the torque; 1.085 for a standard point.
    pub chisel_torque: f64,
    /// B: what the chisel edge adds to the thrust; 1.355 for a standard point.
    pub chisel_thrust: f64,
    /// J: thrust of the chisel edge alone; 0.030 for a standard point.
    pub chisel: f64,
    /// W: wear; 1.0 sharp, 1.3 usual.
    pub wear: f64,
}

/// N·m of an inch-pound, from 1 lbf = 4.4482216152605 N.
const INCH_POUND: f64 = 0.025_4 * POUND;
/// N of a pound of force.
const POUND: f64 = 4.448_221_615_260_5;

/// Torque of a drill by the handbook's factors: a second opinion.
///
/// In lb and in: `M = Kd·Ff·FM·A·W`, with `Ff = f^0.8` and `FM = d^1.8`, which the printed tables
/// follow.
/// Valid: 1.6 to 100 mm, 0.01 to 1.25 mm/rev.
/// Source: Machinery's Handbook, 31st ed., p. 1152 and 1153.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// A figure that is not above zero.
pub fn handbook_torque(
    factors: &Factors,
    diameter: Length,
    feed: FeedPerRev,
) -> Result<Torque, OutOfRange> {
    let (diameter, feed) = inches(diameter, feed)?;
    let factor = above_zero(factors.material * factors.chisel_torque * factors.wear)?;
    let torque = factor * libm::pow(feed, 0.8) * libm::pow(diameter, 1.8);
    Ok(Torque::from_nm(finite(torque * INCH_POUND)?))
}

/// Thrust of a drill by the handbook's factors: a second opinion.
///
/// In lb and in: `T = 2·Kd·Ff·FT·B·W + Kd·d²·J·W`, with `Ff = f^0.8` and `FT = d^0.8`.
/// Valid: 1.6 to 100 mm, 0.01 to 1.25 mm/rev.
/// Source: Machinery's Handbook, 31st ed., p. 1152 and 1153.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// A figure that is not above zero; a J below zero.
pub fn handbook_thrust(
    factors: &Factors,
    diameter: Length,
    feed: FeedPerRev,
) -> Result<Force, OutOfRange> {
    let (diameter, feed) = inches(diameter, feed)?;
    let (material, wear) = (above_zero(factors.material)?, above_zero(factors.wear)?);
    if factors.chisel.is_nan() || factors.chisel < 0.0 {
        return Err(OutOfRange);
    }
    let lips = 2.0 * libm::pow(feed, 0.8) * libm::pow(diameter, 0.8);
    let lips = lips * above_zero(factors.chisel_thrust)?;
    let thrust = material * wear * (lips + diameter * diameter * factors.chisel);
    Ok(Force::from_n(finite(thrust * POUND)?))
}

fn inches(diameter: Length, feed: FeedPerRev) -> Result<(f64, f64), OutOfRange> {
    Ok((above_zero(diameter.mm() / 25.4)?, above_zero(feed.mm() / 25.4)?))
}
