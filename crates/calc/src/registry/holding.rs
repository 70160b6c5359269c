//! Calculations of holding, and of the spindle's run-up.

use super::figures::Figures;
use super::{Calculation, CaseError};
use crate::holding::friction::{self, Coefficients, WorkMetal, WorkSurface};
use crate::holding::{self, Loss, Reaction, Safety, Seat};
use crate::motion::{self, run_up};
use model::files::lathe::JawSurface;
use model::quantity::{Force, Inertia, Mass, MassRadius, Power, SpindleSpeed, Torque};

type Result<T> = std::result::Result<T, CaseError>;

/// The calculations of holding and of the spindle's run-up.
pub(super) const ROWS: &[Calculation] = &[
    Calculation { name: "holding.mass_radius", unit: "kg·m", run: mass_radius },
    Calculation { name: "holding.loss", unit: "N", run: lost },
    Calculation { name: "holding.grip_at_speed", unit: "N", run: grip_at_speed },
    Calculation { name: "holding.grip_at_rest_needed", unit: "N", run: grip_at_rest_needed },
    Calculation { name: "holding.highest_speed", unit: "rev/min", run: highest_speed },
    Calculation {
        name: "holding.speed_of_largest_loss",
        unit: "rev/min",
        run: speed_of_largest_loss,
    },
    Calculation { name: "holding.short_grip", unit: "N", run: short_grip },
    Calculation { name: "holding.grip_against_slip", unit: "N", run: against_slip },
    Calculation { name: "holding.grip_against_lift", unit: "N", run: against_lift },
    Calculation { name: "holding.grip_against_tipping", unit: "N", run: against_tipping },
    Calculation {
        name: "holding.grip_against_tipping_by_friction",
        unit: "N",
        run: against_tipping_by_friction,
    },
    Calculation { name: "holding.grip_needed", unit: "N", run: grip_needed },
    Calculation { name: "holding.slip_torque", unit: "N·m", run: slip_torque },
    Calculation { name: "holding.pull_out_force", unit: "N", run: pull_out_force },
    Calculation { name: "holding.overturning_moment", unit: "N·m", run: overturning_moment },
    Calculation { name: "holding.friction_around", unit: "", run: |g| Ok(friction_of(g)?.around) },
    Calculation { name: "holding.friction_along", unit: "", run: |g| Ok(friction_of(g)?.along) },
    Calculation { name: "motion.pull_time", unit: "s", run: pull_time },
    Calculation { name: "motion.inertia_of_bar", unit: "kg·m²", run: inertia_of_bar },
    Calculation { name: "motion.run_up_at_torque", unit: "s", run: run_up_at_torque },
    Calculation { name: "motion.run_up_at_power", unit: "s", run: run_up_at_power },
];

fn force(given: &Figures<'_>, key: &str) -> Result<Force> {
    given.number(&format!("{key}_n")).map(Force::from_n)
}

fn torque(given: &Figures<'_>, key: &str) -> Result<Torque> {
    given.number(&format!("{key}_nm")).map(Torque::from_nm)
}

fn mass_radius(given: &Figures<'_>) -> Result<f64> {
    let mass = Mass::from_kg(given.number("jaw_kg")?);
    Ok(holding::mass_radius(given.count("jaws")?, mass, given.length("radius")?)?.kg_m())
}

/// Jaws with `mass_radius_kg_m`, or a share `lost` at `lost_at_rpm`.
fn loss(given: &Figures<'_>) -> Result<Loss> {
    if let Ok(sum) = given.number("mass_radius_kg_m") {
        return Ok(Loss::Jaws(MassRadius::from_kg_m(sum)));
    }
    Ok(Loss::Share { lost: given.number("lost")?, at: given.speed("lost_at")? })
}

fn lost(given: &Figures<'_>) -> Result<f64> {
    Ok(loss(given)?.at(force(given, "at_rest")?, given.speed("speed")?)?.n())
}

fn grip_at_speed(given: &Figures<'_>) -> Result<f64> {
    let at_rest = force(given, "at_rest")?;
    Ok(holding::grip_at_speed(at_rest, loss(given)?, given.speed("speed")?)?.n())
}

fn safety(given: &Figures<'_>) -> Result<Safety> {
    Ok(Safety { grip: given.number("factor_grip")?, machining: given.number("factor_machining")? })
}

fn grip_at_rest_needed(given: &Figures<'_>) -> Result<f64> {
    let (for_cut, lost) = (force(given, "for_cut")?, force(given, "lost")?);
    Ok(holding::grip_at_rest_needed(for_cut, lost, safety(given)?)?.n())
}

fn highest_speed(given: &Figures<'_>) -> Result<f64> {
    let (at_rest, for_cut) = (force(given, "at_rest")?, force(given, "for_cut")?);
    Ok(holding::highest_speed(at_rest, for_cut, loss(given)?, safety(given)?)?.rpm())
}

fn speed_of_largest_loss(given: &Figures<'_>) -> Result<f64> {
    Ok(holding::speed_of_largest_loss(force(given, "at_rest")?, loss(given)?)?.rpm())
}

fn short_grip(given: &Figures<'_>) -> Result<f64> {
    let (gripped, jaws) = (given.length("gripped")?, given.length("jaws")?);
    Ok(holding::short_grip(force(given, "full")?, gripped, jaws)?.n())
}

/// A seat without length, for what does not depend on it.
fn round_seat(given: &Figures<'_>) -> Result<Seat> {
    let (around, along) = (given.number("friction_around")?, given.number("friction_along")?);
    Ok(Seat {
        diameter: given.length("gripped_diameter")?,
        length: given.length_or_zero("gripped_length")?,
        friction: Coefficients { around, along },
    })
}

/// A load of which only some is told.
fn load(given: &Figures<'_>, keys: &[&str]) -> Result<Reaction> {
    let number = |key: &str| if keys.contains(&key) { given.number(key) } else { Ok(0.0) };
    Ok(Reaction {
        torque: Torque::from_nm(number("torque_nm")?),
        axial: Force::from_n(number("axial_n")?),
        radial: Force::from_n(number("radial_n")?),
        overturning: Torque::from_nm(number("moment_nm")?),
    })
}

/// The torque from a force at the diameter that is cut.
fn against_slip(given: &Figures<'_>) -> Result<f64> {
    let at = given.number("cutting_n")? * given.length("cut_diameter")?.m() / 2.0;
    let on = Reaction { torque: Torque::from_nm(at), ..load(given, &["axial_n"])? };
    Ok(given.number("factor")? * round_seat(given)?.grip_against_slip(&on)?.n())
}

fn against_lift(given: &Figures<'_>) -> Result<f64> {
    Ok(long_seat(given)?.grip_against_lift(&load(given, &["radial_n", "moment_nm"])?)?.n())
}

fn against_tipping(given: &Figures<'_>) -> Result<f64> {
    Ok(long_seat(given)?.grip_against_tipping(&load(given, &["radial_n", "moment_nm"])?)?.n())
}

/// A seat of which only the length counts.
fn long_seat(given: &Figures<'_>) -> Result<Seat> {
    let length = given.length("gripped_length")?;
    Ok(Seat { diameter: length, length, friction: Coefficients::same(1.0) })
}

fn against_tipping_by_friction(given: &Figures<'_>) -> Result<f64> {
    let friction = Coefficients::same(given.number("friction_along")?);
    let diameter = given.length("gripped_diameter")?;
    let seat = Seat { diameter, length: diameter, friction };
    Ok(seat.grip_against_tipping_by_friction(&load(given, &["moment_nm"])?)?.n())
}

fn grip_needed(given: &Figures<'_>) -> Result<f64> {
    let on = load(given, &["torque_nm", "axial_n", "radial_n", "moment_nm"])?;
    Ok(round_seat(given)?.grip_needed(&on)?.n())
}

fn slip_torque(given: &Figures<'_>) -> Result<f64> {
    let friction = Coefficients::same(given.number("friction_around")?);
    let diameter = given.length("gripped_diameter")?;
    let seat = Seat { diameter, length: diameter, friction };
    Ok(seat.slip_torque(force(given, "grip")?)?.nm())
}

fn pull_out_force(given: &Figures<'_>) -> Result<f64> {
    let (friction, one) = (given.number("friction_along")?, model::Length::from_mm(1));
    let seat = Seat { diameter: one, length: one, friction: Coefficients::same(friction) };
    Ok(seat.pull_out_force(force(given, "grip")?)?.n())
}

fn overturning_moment(given: &Figures<'_>) -> Result<f64> {
    let seat = round_seat(given)?;
    Ok(seat.overturning_moment(force(given, "grip")?, force(given, "radial")?)?.nm())
}

fn friction_of(given: &Figures<'_>) -> Result<Coefficients> {
    let jaws = match given.text("jaws")? {
        "smooth" => JawSurface::Smooth,
        "fine" => JawSurface::FineSerration,
        "coarse" => JawSurface::CoarseSerration,
        _ => return Err(CaseError::Key("jaws".to_owned())),
    };
    let work = match given.text("work")? {
        "ground" => WorkSurface::Ground,
        "turned" => WorkSurface::Turned,
        "raw" => WorkSurface::Raw,
        _ => return Err(CaseError::Key("work".to_owned())),
    };
    let metal = match given.text("metal")? {
        "steel" => WorkMetal::Steel,
        "aluminum" => WorkMetal::Aluminum,
        "brass" => WorkMetal::Brass,
        "cast iron" => WorkMetal::CastIron,
        _ => return Err(CaseError::Key("metal".to_owned())),
    };
    Ok(friction::range(jaws, work, metal).nominal)
}

/// The way of the bar with the waits before and after it.
fn pull_time(given: &Figures<'_>) -> Result<f64> {
    let way = motion::feed_per_minute_time(given.length("path")?, given.feed_rate("feed")?);
    Ok((given.seconds("open")? + way + given.seconds("close")?).s())
}

fn inertia(given: &Figures<'_>) -> Result<Inertia> {
    given.number("inertia_kg_m2").map(Inertia::from_kg_m2)
}

fn inertia_of_bar(given: &Figures<'_>) -> Result<f64> {
    let (mass, bore) = (Mass::from_kg(given.number("mass_kg")?), given.length_or_zero("bore")?);
    Ok(run_up::inertia_of_bar(mass, given.length("diameter")?, bore)?.kg_m2())
}

fn run_up_at_torque(given: &Figures<'_>) -> Result<f64> {
    let torque = torque(given, "torque")?;
    Ok(run_up::at_torque(inertia(given)?, torque, given.speed("to")?)?.s())
}

fn run_up_at_power(given: &Figures<'_>) -> Result<f64> {
    let power = Power::from_w(1000.0 * given.number("power_kw")?);
    let (base, to): (SpindleSpeed, SpindleSpeed) = (given.speed("base")?, given.speed("to")?);
    Ok(run_up::at_power(inertia(given)?, power, base, to)?.s())
}
