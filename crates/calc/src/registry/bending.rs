//! Calculations of bending. Steps are told from the jaw face outward as one text of
//! `length×diameter` or `length×diameter/bore`, in mm, such as `"30x25 18x16/8"`.

use super::figures::Figures;
use super::{Calculation, CaseError};
use crate::bending::{self, Bent, Cantilever, Compliance, Cut, Form, Load, Step};
use model::quantity::{Deflection, Force, Modulus, RadialCompliance, TiltCompliance, Torque};
use model::{Length, Units};

type Result<T> = std::result::Result<T, CaseError>;

/// The calculations of bending.
pub(super) const ROWS: &[Calculation] = &[
    Calculation { name: "bending.deflection", unit: "µm", run: |g| Ok(bent(g)?.deflection.um()) },
    Calculation { name: "bending.deflection_with_shear", unit: "µm", run: with_shear },
    Calculation { name: "bending.slope", unit: "rad", run: |g| Ok(bent(g)?.slope) },
    Calculation { name: "bending.tip_beyond_load", unit: "µm", run: tip },
    Calculation { name: "bending.diameter_error", unit: "µm", run: diameter_error },
    Calculation { name: "bending.worst_error", unit: "µm", run: |g| Ok(form(g)?.worst.1.um()) },
    Calculation { name: "bending.taper", unit: "µm", run: |g| Ok(form(g)?.taper.um()) },
    Calculation { name: "bending.broken_from", unit: "mm", run: broken_from },
    Calculation { name: "bending.stick_out_ratio", unit: "", run: stick_out_ratio },
];

fn steps(given: &Figures<'_>) -> Result<Vec<Step>> {
    let wrong = || CaseError::Key("steps".to_owned());
    let length = |text: &str| Length::parse(text, Units::Mm).map_err(|_| wrong());
    given
        .text("steps")?
        .split_whitespace()
        .map(|step| {
            let (long, across) = step.split_once('x').ok_or_else(wrong)?;
            let (outer, bore) = across.split_once('/').unwrap_or((across, "0"));
            Ok(Step { length: length(long)?, diameter: length(outer)?, bore: length(bore)? })
        })
        .collect()
}

fn compliance(given: &Figures<'_>) -> Result<Compliance> {
    Ok(Compliance {
        radial: RadialCompliance::from_um_per_kn(given.number("radial_um_per_kn")?),
        tilt: TiltCompliance::from_urad_per_nm(given.number("tilt_urad_per_nm")?),
    })
}

fn modulus(given: &Figures<'_>) -> Result<Modulus> {
    given.number("modulus_gpa").map(Modulus::from_gpa)
}

fn part(given: &Figures<'_>) -> Result<Cantilever> {
    Ok(Cantilever::new(&steps(given)?, modulus(given)?, compliance(given)?)?)
}

fn with_shear(given: &Figures<'_>) -> Result<f64> {
    let (poisson, compliance) = (given.number("poisson")?, compliance(given)?);
    let part = Cantilever::with_shear(&steps(given)?, modulus(given)?, poisson, compliance)?;
    Ok(part.at_load(&load(given)?)?.deflection.um())
}

fn load(given: &Figures<'_>) -> Result<Load> {
    Ok(Load {
        at: given.length("at")?,
        force: Force::from_n(given.number("force_n")?),
        moment: Torque::from_nm(given.number("moment_nm")?),
    })
}

fn bent(given: &Figures<'_>) -> Result<Bent> {
    Ok(part(given)?.at_load(&load(given)?)?)
}

fn tip(given: &Figures<'_>) -> Result<f64> {
    let line = part(given)?.line(&load(given)?)?;
    line.last().map(|bent| bent.deflection.um()).ok_or(CaseError::OutOfRange)
}

fn diameter_error(given: &Figures<'_>) -> Result<f64> {
    let radial = Deflection::from_um(given.number("radial_um")?);
    let across = Deflection::from_um(given.number("tangential_um")?);
    Ok(bending::diameter_error(given.length("diameter")?, radial, across)?.um())
}

fn form(given: &Figures<'_>) -> Result<Form> {
    let force = |key| given.number(key).map(Force::from_n);
    let cut = Cut {
        from: given.length("from")?,
        to: given.length("to")?,
        diameter: given.length("diameter")?,
        passive: force("passive_n")?,
        cutting: force("cutting_n")?,
        feed: force("feed_n")?,
    };
    Ok(part(given)?.form(&cut)?)
}

fn broken_from(given: &Figures<'_>) -> Result<f64> {
    let allowed = Deflection::from_um(given.number("allowed_um")?);
    let broken = form(given)?.broken(allowed)?;
    broken.map(|broken| broken.nearest).ok_or(CaseError::OutOfRange)
}

fn stick_out_ratio(given: &Figures<'_>) -> Result<f64> {
    Ok(bending::stick_out_ratio(given.length("stick_out")?, given.length("diameter")?)?)
}
