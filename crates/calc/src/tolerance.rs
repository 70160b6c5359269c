//! General tolerances: what holds where a drawing gives none.

use crate::OutOfRange;
use model::Length;

/// Upper ends of the ranges of nominal sizes, and the deviation either way, in micrometers.
const LINEAR_MEDIUM: [(i64, i64); 8] = [
    (3_000, 100),
    (6_000, 100),
    (30_000, 200),
    (120_000, 300),
    (400_000, 500),
    (1_000_000, 800),
    (2_000_000, 1_200),
    (4_000_000, 2_000),
];
const EDGE_MEDIUM: [(i64, i64); 3] = [(3_000, 200), (6_000, 500), (4_000_000, 1_000)];

/// Deviation either way of a length or diameter without a tolerance of its own, class m (medium).
///
/// Valid: above zero, to 4 m; the standard wants sizes below 0.5 mm toleranced at the size, here
/// they have what the smallest range has.
/// Source: ISO 2768-1:1989, table 1, class m; found as restated in two public pages, see
/// `handbook/tolerance.toml`.
/// Held to: `handbook/tolerance.toml`.
///
/// # Errors
/// A size beyond the table.
pub fn linear_medium(size: Length) -> Result<Length, OutOfRange> {
    find(&LINEAR_MEDIUM, size)
}

/// Deviation either way of the leg of a chamfer or of an external radius without a tolerance of its
/// own, class m (medium).
///
/// Valid: as [`linear_medium`].
/// Source: ISO 2768-1:1989, table 2, class m; found as restated in two public pages.
/// Held to: `handbook/tolerance.toml`.
///
/// # Errors
/// A size beyond the table.
pub fn edge_medium(size: Length) -> Result<Length, OutOfRange> {
    find(&EDGE_MEDIUM, size)
}

fn find(table: &[(i64, i64)], size: Length) -> Result<Length, OutOfRange> {
    if !size.is_positive() {
        return Err(OutOfRange);
    }
    let row = table.iter().find(|(to, _)| size <= Length::from_um(*to)).ok_or(OutOfRange)?;
    Ok(Length::from_um(row.1))
}
