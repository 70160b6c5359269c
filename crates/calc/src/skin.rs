//! How large a bar must be so that turning takes off all of its skin.
//!
//! The bar turns about the axis of the spindle, and its own middle stands off that axis: by half of
//! what the chuck runs out, and by what it is bent in front of the jaws. A diameter is turned all
//! around exactly where it, with twice that distance, is no more than the bar.

use crate::spread::Spread;
use crate::whirl::{Bow, WhirlError};
use model::Length;

/// How far a bent bar stands off the axis so far in front of jaws that hold it in line with the
/// axis.
///
/// The least is a bar that is straight there; the likely figure one even bend, `4·h·(s/L)²` with the
/// bow `h` over `L`, at the distance `s`; the most one kink right at the jaws, `4·h·s/L`: such a
/// bar stands off the same straight edge by `h`, its middle at the kink.
///
/// Valid: `h ≤ L/10`; one bend. A bar bent to and fro may stand off farther than its bow tells.
/// Source: geometry of a shallow arc and of two straight legs.
/// Held to: `handbook/skin.toml`.
///
/// # Errors
/// [`WhirlError::Bow`] for a bow below zero or above a tenth of its length.
pub fn off_axis(bow: Bow, distance: Length) -> Result<Spread<Length>, WhirlError> {
    let (curvature, away) = (bow.curvature()?, distance.max(Length::ZERO).m());
    let even = 1000.0 * curvature * away * away / 2.0;
    let kink = 1000.0 * curvature * bow.over.m() * away / 2.0;
    Ok(Spread {
        low: Length::ZERO,
        nominal: Length::nearest_mm(even),
        high: Length::nearest_mm(kink.max(even)),
    })
}

/// The least size of bar of which this diameter is turned all around: the diameter, the chuck's total
/// run-out, and twice how far the bar stands off the axis.
///
/// Valid: any lengths at or above zero. Both are taken to lie on one side.
/// Source: common practice.
/// Held to: `handbook/skin.toml`.
pub fn least_size(
    diameter: Length,
    total_run_out: Length,
    off_axis: Spread<Length>,
) -> Spread<Length> {
    off_axis.map(|off| diameter + total_run_out + off * 2)
}
