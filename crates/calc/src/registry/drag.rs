//! Calculations of the drag of a bar and the hold of a gripper.

use super::figures::Figures;
use super::{Calculation, CaseError};
use crate::pull::drag::{self, Stub, Way};
use model::files::gripper::Hold;
use model::quantity::{Acceleration, Force, Mass, Modulus};

type Result<T> = std::result::Result<T, CaseError>;

/// The calculations of the drag of a bar.
pub(super) const ROWS: &[Calculation] = &[
    Calculation { name: "drag.drag", unit: "N", run: drag_of },
    Calculation { name: "drag.heaviest_bar", unit: "kg", run: heaviest_bar },
    Calculation { name: "drag.bow", unit: "mm", run: bow },
    Calculation { name: "drag.side_load", unit: "N", run: side_load },
    Calculation { name: "drag.hold", unit: "N", run: hold },
];

fn way(given: &Figures<'_>) -> Result<Way> {
    Ok(Way {
        friction: given.number("friction")?,
        acceleration: Acceleration::from_m_per_s2(given.number("acceleration_m_per_s2")?),
        side_load: Force::from_n(given.number("side_load_n")?),
    })
}

fn drag_of(given: &Figures<'_>) -> Result<f64> {
    Ok(drag::drag(Mass::from_kg(given.number("mass_kg")?), &way(given)?)?.n())
}

fn heaviest_bar(given: &Figures<'_>) -> Result<f64> {
    let hold = Force::from_n(given.number("hold_n")?);
    Ok(drag::heaviest_bar(hold, &way(given)?, given.number("factor")?)?.kg())
}

fn bow(given: &Figures<'_>) -> Result<f64> {
    Ok(drag::bow_mm(given.length("runout")?, given.length("base")?, given.length("bar")?)?)
}

fn side_load(given: &Figures<'_>) -> Result<f64> {
    let (diameter, length) = (given.length("diameter")?, given.length("bar")?);
    let modulus = Modulus::from_gpa(given.number("modulus_gpa")?);
    let (bow, play) = (given.number("bow_mm")?, given.length("play")?);
    Ok(drag::side_load(diameter, length, modulus, bow, play)?.n())
}

/// `found` is what stands on the stub: words of turned, burr, oil, or clean.
fn hold(given: &Figures<'_>) -> Result<f64> {
    let hold = Hold {
        smallest: Force::from_n(given.number("smallest_n")?),
        largest: Force::from_n(given.number("largest_n")?),
        turned: given.number("turned")?,
        burr: given.number("burr")?,
        oil: given.number("oil")?,
    };
    let found: Vec<&str> = given.text("found")?.split_whitespace().collect();
    if let Some(other) = found.iter().find(|it| !["clean", "turned", "burr", "oil"].contains(it)) {
        return Err(CaseError::Key((*other).to_owned()));
    }
    let is = |word| found.contains(&word);
    let stub = Stub { turned: is("turned"), burr: is("burr"), oil: is("oil") };
    let range = (given.length("diameter_min")?, given.length("diameter_max")?);
    Ok(drag::hold(&hold, range, given.length("stub")?, stub)?.n())
}
