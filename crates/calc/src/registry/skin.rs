//! Calculations of the metal that cleans a diameter up.

use super::figures::Figures;
use super::{Calculation, CaseError};
use crate::skin;
use crate::spread::Spread;
use crate::whirl::Bow;
use model::Length;

type Result<T> = std::result::Result<T, CaseError>;

/// How far a bent bar stands off, and the least bar for a diameter.
pub(super) const ROWS: &[Calculation] = &[
    Calculation { name: "skin.off_axis", unit: "mm", run: |g| Ok(off_axis(g)?.nominal.mm()) },
    Calculation { name: "skin.off_axis_most", unit: "mm", run: |g| Ok(off_axis(g)?.high.mm()) },
    Calculation { name: "skin.least_size", unit: "mm", run: |g| Ok(least_size(g)?.nominal.mm()) },
    Calculation { name: "skin.least_size_most", unit: "mm", run: |g| Ok(least_size(g)?.high.mm()) },
];

fn off_axis(given: &Figures<'_>) -> Result<Spread<Length>> {
    let bow = Bow { rise: given.length("rise")?, over: given.length("over")? };
    Ok(skin::off_axis(bow, given.length("distance")?)?)
}

fn least_size(given: &Figures<'_>) -> Result<Spread<Length>> {
    let (diameter, total_run_out) = (given.length("diameter")?, given.length("total_run_out")?);
    Ok(skin::least_size(diameter, total_run_out, off_axis(given)?))
}
