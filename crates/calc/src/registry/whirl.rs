//! Calculations of the bar in the spindle. Supports are told as one text, such as
//! `"clamp 0, pin 550, spring 500 1.0, bed 0 1000 0.01"`: places in mm, N/mm, N/mm².

use super::figures::Figures;
use super::{Calculation, CaseError};
use crate::whirl::{
    self, Beam, Between, Bow, Holds, Life, Section, Stock, Support, Way, WhirlError,
};
use model::files::job::BarShape;
use model::quantity::{Angle, BedStiffness, Mass, Modulus, Stiffness, TiltStiffness};
use model::{Length, Units};

type Result<T> = std::result::Result<T, CaseError>;

/// The calculations of the bar in the spindle.
pub(super) const ROWS: &[Calculation] = &[
    Calculation { name: "whirl.critical_speed", unit: "rev/min", run: critical_speed },
    Calculation { name: "whirl.wave_number", unit: "", run: wave_number },
    Calculation { name: "whirl.wave_number_squared", unit: "", run: wave_number_squared },
    Calculation { name: "whirl.second_moment", unit: "mm⁴", run: second_moment },
    Calculation { name: "whirl.left_out", unit: "", run: left_out },
    Calculation { name: "whirl.growth", unit: "", run: growth },
    Calculation { name: "whirl.added_bow", unit: "", run: |g| Ok(growth(g)? - 1.0) },
    Calculation { name: "whirl.bow_over", unit: "mm", run: bow_over },
    Calculation { name: "whirl.run_out", unit: "mm", run: run_out },
    Calculation { name: "whirl.sag", unit: "mm", run: |g| Ok(whirl::sag(&beam(g)?)?.run_out.mm()) },
    Calculation { name: "whirl.sag_stress", unit: "MPa", run: sag_stress },
    Calculation { name: "whirl.sag_estimate", unit: "rev/min", run: sag_estimate },
    Calculation { name: "whirl.unbalance", unit: "N", run: unbalance },
    Calculation { name: "whirl.flung_end", unit: "m/s", run: flung_end },
    Calculation { name: "whirl.allowed", unit: "rev/min", run: allowed },
    Calculation { name: "whirl.worst_part", unit: "", run: worst_part },
    Calculation { name: "whirl.hangs_out", unit: "mm", run: |g| Ok(life(g)?.hangs_out()?.mm()) },
];

impl From<WhirlError> for CaseError {
    fn from(_: WhirlError) -> CaseError {
        CaseError::OutOfRange
    }
}

fn critical_speed(given: &Figures<'_>) -> Result<f64> {
    Ok(mode(given, &beam(given)?)?.speed.rpm())
}

/// βL for the length `reference`.
fn wave_number(given: &Figures<'_>) -> Result<f64> {
    let reference = given.length("reference")?.m();
    Ok(mode(given, &beam(given)?)?.beta * reference)
}

fn wave_number_squared(given: &Figures<'_>) -> Result<f64> {
    let root = wave_number(given)?;
    Ok(root * root)
}

fn second_moment(given: &Figures<'_>) -> Result<f64> {
    Ok(section(given)?.second_moment()?.mm4())
}

fn left_out(given: &Figures<'_>) -> Result<f64> {
    let (modulus, density) = (modulus(given)?, given.density()?);
    Ok(whirl::left_out(section(given)?, modulus, density, given.speed("speed")?)?)
}

fn growth(given: &Figures<'_>) -> Result<f64> {
    Ok(whirl::growth(given.speed("speed")?, given.speed("critical")?)?)
}

fn bow(given: &Figures<'_>) -> Result<Bow> {
    let over = given.length("over")?;
    let run_out = given.length_or_zero("total_run_out")?;
    if run_out.is_positive() {
        return Ok(Bow::of_total_run_out(run_out, over));
    }
    Ok(Bow { rise: given.length("rise")?, over })
}

fn bow_over(given: &Figures<'_>) -> Result<f64> {
    Ok(bow(given)?.rise_over(given.length("length")?)?.mm())
}

fn run_out(given: &Figures<'_>) -> Result<f64> {
    Ok(whirl::running(&beam(given)?, bow(given)?, given.speed("speed")?)?.run_out.mm())
}

fn sag_stress(given: &Figures<'_>) -> Result<f64> {
    Ok(whirl::sag(&beam(given)?)?.stress.mpa())
}

fn sag_estimate(given: &Figures<'_>) -> Result<f64> {
    let sag = given.length_or_zero("sag")?;
    let sag = if sag.is_positive() { sag } else { whirl::sag(&beam(given)?)?.run_out };
    Ok(whirl::sag_estimate(sag)?.rpm())
}

fn unbalance(given: &Figures<'_>) -> Result<f64> {
    let mass = Mass::from_kg(given.number("mass_kg")?);
    Ok(whirl::unbalance(mass, given.length("off")?, given.speed("speed")?)?.n())
}

fn flung_end(given: &Figures<'_>) -> Result<f64> {
    let bend = Angle::from_deg(given.number("bend_deg")?);
    Ok(whirl::flung_end(given.length("length")?, bend, given.speed("speed")?)?.m_per_min() / 60.0)
}

fn life(given: &Figures<'_>) -> Result<Life> {
    let mut way = Way::of_jaws(given.length("jaw_length")?, given.length("rear_end")?);
    way.supports = supports(given.text("supports")?)?;
    Ok(Life {
        stock: Stock {
            section: section(given)?,
            length: given.length("length")?,
            length_tolerance: given.length_or_zero("length_tolerance")?,
            modulus: Between::exactly(modulus(given)?),
            density: Between::exactly(given.density()?),
            bow: Bow::AS_DRAWN,
        },
        way,
        division: super::calculations::division(given)?,
        separation: given.number_or("separation", Life::SEPARATION)?,
        most_side_force: None,
    })
}

fn allowed(given: &Figures<'_>) -> Result<f64> {
    Ok(life(given)?.limit(given.count("part")?)?.allowed.likely.rpm())
}

fn worst_part(given: &Figures<'_>) -> Result<f64> {
    let curve = life(given)?.curve(given.count("parts")?)?;
    curve.worst().map(|limit| f64::from(limit.part)).ok_or(CaseError::OutOfRange)
}

fn mode(given: &Figures<'_>, beam: &Beam) -> Result<whirl::Mode> {
    let number = given.count_or("mode", 1)? as usize;
    whirl::modes(beam, number)?.pop().ok_or(CaseError::OutOfRange)
}

fn section(given: &Figures<'_>) -> Result<Section> {
    let size = given.length("size")?;
    Ok(match given.text("shape")? {
        "round" => Section::of(BarShape::Round, size),
        "hexagon" => Section::of(BarShape::Hexagon, size),
        "square" => Section::of(BarShape::Square, size),
        "tube" => Section::Tube { outside: size, bore: given.length("bore")? },
        _ => return Err(CaseError::Key("shape".to_owned())),
    })
}

fn beam(given: &Figures<'_>) -> Result<Beam> {
    let mass = given.number_or("mass_kg", 0.0)?;
    let masses =
        if mass > 0.0 { vec![(given.length("mass_at")?, Mass::from_kg(mass))] } else { Vec::new() };
    Ok(Beam {
        section: section(given)?,
        length: given.length("length")?,
        modulus: modulus(given)?,
        density: given.density()?,
        supports: supports(given.text("supports")?)?,
        masses,
    })
}

fn modulus(given: &Figures<'_>) -> Result<Modulus> {
    // 1 psi = 6894.757293168 Pa.
    let keys = [("modulus_gpa", 1.0), ("modulus_psi", 6.894_757_293_168e-6)];
    given.scaled(&keys).map(Modulus::from_gpa)
}

fn supports(text: &str) -> Result<Vec<Support>> {
    if text == "none" {
        return Ok(Vec::new());
    }
    text.split(',').map(|support| read(support).ok_or(CaseError::Key("supports".into()))).collect()
}

fn read(text: &str) -> Option<Support> {
    let mut words = text.split_whitespace();
    let kind = words.next()?;
    let figures: Vec<&str> = words.collect();
    let place = |index: usize| Length::parse(figures.get(index)?, Units::Mm).ok();
    let number = |index: usize| -> Option<f64> { figures.get(index)?.parse().ok() };
    let (count, holds) = match kind {
        "pin" => (1, Holds::Pin),
        "clamp" => (1, Holds::Clamp),
        "liner" => (2, Holds::Liner { to: place(1)? }),
        "spring" => {
            let lateral = Stiffness::from_n_per_mm(number(1)?);
            (2, Holds::Spring { lateral, tilt: TiltStiffness::default() })
        }
        "tilt" => {
            let tilt = TiltStiffness::from_nm_per_rad(number(1)?);
            (2, Holds::Spring { lateral: Stiffness::default(), tilt })
        }
        "bed" => {
            let stiffness = BedStiffness::from_n_per_mm2(number(2)?);
            (3, Holds::Bed { to: place(1)?, stiffness })
        }
        _ => return None,
    };
    (figures.len() == count).then_some(Support::new(place(0)?, holds))
}
