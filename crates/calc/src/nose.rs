//! What a round tool nose leaves where the program is for its imaginary tip and no nose radius
//! offset is on.
//!
//! The imaginary tip is the corner of the two lines, along X and along Z, that touch the nose; so
//! cylinders and faces come out true, and everything that slants comes out too large.

use crate::OutOfRange;
use model::Length;
use std::f64::consts::SQRT_2;

/// Thickness of the material left on a slanting line, square to it, in millimeters.
///
/// `R·(sin θ + cos θ − 1)`: the distance of the nose from a line at the angle θ to the spindle axis
/// through the imaginary tip.
/// Valid: `0° ≤ θ ≤ 90°` and a line that the nose touches with the side where the tip lies (an
/// outside cone toward the chuck by tip 3).
/// Source: plane geometry.
/// Held to: `handbook/nose.toml`.
///
/// # Errors
/// A radius below zero, or an angle outside the range.
pub fn left_on_slope(radius: Length, degrees: f64) -> Result<f64, OutOfRange> {
    if radius.is_negative() || !(0.0..=90.0).contains(&degrees) {
        return Err(OutOfRange);
    }
    let angle = degrees.to_radians();
    Ok(radius.mm() * (libm::sin(angle) + libm::cos(angle) - 1.0))
}

/// Leg of a chamfer of 45° on the part, in millimeters, where this leg was programmed.
///
/// `c − R·(2 − √2)`: √2 times what [`left_on_slope`] tells at 45° is missing along each leg.
/// Valid: a chamfer of which something is left.
/// Source: plane geometry.
/// Held to: `handbook/nose.toml`.
///
/// # Errors
/// A radius below zero, or a chamfer that the nose does not cut.
pub fn chamfer_leg(radius: Length, programmed: Length) -> Result<f64, OutOfRange> {
    let leg = programmed.mm() - radius.mm() * (2.0 - SQRT_2);
    if radius.is_negative() || leg < 0.0 { Err(OutOfRange) } else { Ok(leg) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn outside_the_range() {
        let radius = Length::from_um(800);
        assert!(left_on_slope(-radius, 45.0).is_err());
        for degrees in [-0.001, 90.001, f64::NAN, f64::INFINITY] {
            assert!(left_on_slope(radius, degrees).is_err(), "{degrees}");
        }
        // 0.8 · 0.5858 = 0.4686.
        assert!(chamfer_leg(radius, Length::from_um(468)).is_err());
        assert!(chamfer_leg(radius, Length::from_um(469)).is_ok());
        assert!(chamfer_leg(-radius, Length::from_mm(1)).is_err());
    }
}
