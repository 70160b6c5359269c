//! What the spindle's drive can give at a speed.

use super::{above_zero, finite};
use crate::OutOfRange;
use core::f64::consts::PI;
use model::files::lathe::Drive;
use model::quantity::{Power, SpindleSpeed, Torque};

/// Power that the drive can bring to the cut at a spindle speed.
///
/// With P the motor's power times its efficiency: `P·n/n0` up to the base speed n0 (constant
/// torque), P up to the end of full power n1, `P·n1/n` above it (torque falls with n²).
/// Valid: speeds from standing to the spindle's highest.
/// Source: the usual shape of a drive's power curve, from memory; the figures are the lathe's.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// A speed below zero or beyond the highest, or a drive whose figures are not above zero.
pub fn power_at(
    drive: &Drive,
    speed: SpindleSpeed,
    highest: SpindleSpeed,
) -> Result<Power, OutOfRange> {
    let full = above_zero(drive.power.w() * drive.efficiency)?;
    let base = above_zero(drive.base_speed.rpm())?;
    let (speed, highest) = (speed.rpm(), above_zero(highest.rpm())?);
    if !(0.0..=highest).contains(&speed) {
        return Err(OutOfRange);
    }
    let end = above_zero(drive.full_power_to.map_or(highest, SpindleSpeed::rpm))?.max(base);
    Ok(Power::from_w(if speed < base {
        full * (speed / base)
    } else if speed <= end {
        full
    } else {
        full * (end / speed)
    }))
}

/// Torque that the drive can bring to the spindle at a speed.
///
/// `M = P(n)/ω`, below the base speed `P/ω0`, also standing.
/// Valid: as [`power_at`].
/// Source: the definition of power.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// As [`power_at`].
pub fn torque_at(
    drive: &Drive,
    speed: SpindleSpeed,
    highest: SpindleSpeed,
) -> Result<Torque, OutOfRange> {
    let at = speed.rpm().max(drive.base_speed.rpm().min(highest.rpm()));
    power_at(drive, speed, highest)?;
    let power = power_at(drive, SpindleSpeed::from_rpm(at), highest)?;
    Ok(Torque::from_nm(finite(power.w() * 30.0 / (PI * above_zero(at)?))?))
}
