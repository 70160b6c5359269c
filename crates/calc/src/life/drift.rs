//! How far a size drifts while the edge that turns it wears.

use crate::OutOfRange;
use crate::cutting::above_zero;
use model::Length;

/// The wear land at the end of an edge's life, where it is even: ISO 3685 (from memory).
pub const WORN_LAND: Length = Length::from_um(300);

/// How far a diameter has grown, or that of a bore has shrunk, when the land on the flank is so wide.
///
/// `2 · land · tan(clearance)`: the edge goes back until the flank, which stands off the work by the
/// clearance angle, touches it on that land; a rake of zero is taken.
/// Valid: land above zero, clearance above 0° and below 45°.
/// Source: plane geometry.
///
/// # Errors
/// A figure outside of that.
///
/// ```
/// # use calc::life::{size_drift, WORN_LAND};
/// // tan 7° = 0.12278 in any table: 2 · 0.3 mm · 0.12278 = 0.0737 mm.
/// assert_eq!(size_drift(WORN_LAND, 7.0).unwrap().mm(), 0.073_671);
/// ```
pub fn size_drift(land: Length, clearance_deg: f64) -> Result<Length, OutOfRange> {
    let clearance = above_zero(clearance_deg)?;
    if clearance >= 45.0 {
        return Err(OutOfRange);
    }
    let recedes = above_zero(land.mm())? * libm::tan(clearance.to_radians());
    Ok(Length::nearest_mm(2.0 * recedes))
}
