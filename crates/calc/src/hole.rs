//! Holes on the axis: how much a reamer takes, when a drill comes out for its chips, when the face is
//! spotted first.

use crate::OutOfRange;
use model::Length;

/// What a twist drill cuts larger than its own diameter, as the rule of [`reaming_stock`] counts it.
pub const DRILL_CUTS_LARGER: Length = Length::from_um(50);

/// How much smaller than a reamer the drill in front of it should be, on the diameter: from the least
/// to the most.
///
/// 0.1 to 0.2 mm up to 5 mm, 0.2 to 0.3 mm up to 20 mm, 0.3 to 0.5 mm up to 50 mm, 0.5 to 1 mm above,
/// and 0.05 mm more, by which a drill cuts too large.
/// Valid: diameters above zero.
/// Source: the table of undersizes for reaming that trade schools teach, found on a public teaching page of
/// 2023.
///
/// # Errors
/// A diameter that is not above zero.
pub fn reaming_stock(reamer: Length) -> Result<(Length, Length), OutOfRange> {
    let um = Length::from_um;
    if !reamer.is_positive() {
        return Err(OutOfRange);
    }
    let (least, most) = match reamer {
        small if small <= Length::from_mm(5) => (100, 200),
        middle if middle <= Length::from_mm(20) => (200, 300),
        large if large <= Length::from_mm(50) => (300, 500),
        _ => (500, 1000),
    };
    Ok((um(least) + DRILL_CUTS_LARGER, um(most) + DRILL_CUTS_LARGER))
}

/// The deepest that a drill goes at once; none where it may go to the bottom in one stroke.
///
/// Up to three diameters deep in one stroke, beyond in pecks of one diameter.
/// Valid: diameter above zero.
/// Source: three diameters from two public pages of practice (below about 3 to 1 a straight pass; a drill
/// maker's technical tips: 2 to 3 diameters in one step; both found); the peck of one diameter is common
/// practice.
///
/// # Errors
/// A diameter that is not above zero.
pub fn peck(depth: Length, diameter: Length) -> Result<Option<Length>, OutOfRange> {
    if !diameter.is_positive() {
        return Err(OutOfRange);
    }
    Ok((depth > diameter * 3).then_some(diameter))
}

/// Whether a hole is so deep that its drill should find a point in the face: deeper than four diameters.
///
/// Source: common practice; a shorter drill starts by itself on a faced bar.
pub fn wants_spot(depth: Length, diameter: Length) -> bool {
    depth > diameter * 4
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The published table, row by row.
    #[test]
    fn a_reamer_takes_what_the_table_says() {
        let um = Length::from_um;
        for (reamer, least, most) in [
            (4_000, 150, 250),
            (5_000, 150, 250),
            (10_000, 250, 350),
            (25_000, 350, 550),
            (60_000, 550, 1_050),
        ] {
            assert_eq!(reaming_stock(um(reamer)), Ok((um(least), um(most))), "{reamer}");
        }
        assert_eq!(reaming_stock(Length::ZERO), Err(OutOfRange));
    }

    #[test]
    fn pecks_begin_beyond_three_diameters() {
        let mm = Length::from_mm;
        assert_eq!(peck(mm(18), mm(6)), Ok(None));
        assert_eq!(peck(mm(19), mm(6)), Ok(Some(mm(6))));
        assert_eq!(peck(mm(19), mm(0)), Err(OutOfRange));
        assert!(wants_spot(mm(25), mm(6)) && !wants_spot(mm(24), mm(6)));
    }
}
