//! Calculations of force, power and heat of a cut.

use super::figures::Figures;
use super::{Calculation, CaseError};
use crate::chips;
use crate::cutting::{self, Chip, Squeeze, Wear, drilling, drive, unit_power};
use crate::spread::Spread;
use model::files::lathe::Drive;
use model::files::material::CuttingForce;
use model::quantity::{
    Angle, FeedPerRev, Force, Power, RemovalRate, SpecificForce, SpindleSpeed, Torque, Volume,
};

type Result<T> = std::result::Result<T, CaseError>;

/// The calculations of cutting and chips.
pub(super) const ROWS: &[Calculation] = &[
    Calculation { name: "cutting.chip_thickness", unit: "mm", run: |g| Ok(chip(g)?.thickness_mm) },
    Calculation { name: "cutting.chip_width", unit: "mm", run: |g| Ok(chip(g)?.width_mm) },
    Calculation { name: "cutting.effective_edge_angle", unit: "°", run: effective_edge_angle },
    Calculation { name: "cutting.specific_force", unit: "N/mm²", run: specific_force },
    Calculation { name: "cutting.rake_factor", unit: "", run: rake_factor },
    Calculation { name: "cutting.speed_factor", unit: "", run: speed_factor },
    Calculation { name: "cutting.wear_factor", unit: "", run: wear_factor },
    Calculation { name: "cutting.squeeze_factor", unit: "", run: squeeze_factor },
    Calculation { name: "cutting.force", unit: "N", run: |g| side(g, force(g)?.map(Force::n)) },
    Calculation { name: "cutting.feed_force", unit: "N", run: |g| thrust(g, true) },
    Calculation { name: "cutting.passive_force", unit: "N", run: |g| thrust(g, false) },
    Calculation { name: "cutting.torque", unit: "N·m", run: torque },
    Calculation { name: "cutting.power", unit: "W", run: power },
    Calculation { name: "cutting.surface_speed", unit: "m/min", run: surface_speed },
    Calculation { name: "cutting.removal_rate", unit: "cm³/min", run: removal_rate },
    Calculation { name: "cutting.turned_rate", unit: "cm³/min", run: turned_rate },
    Calculation { name: "cutting.unit_power", unit: "W", run: power_by_unit },
    Calculation { name: "cutting.unit_power_feed_factor", unit: "", run: feed_factor },
    Calculation { name: "cutting.opinions_apart", unit: "", run: opinions_apart },
    Calculation { name: "cutting.drive_power", unit: "W", run: drive_power },
    Calculation { name: "cutting.drive_torque", unit: "N·m", run: drive_torque },
    Calculation { name: "cutting.drill_torque", unit: "N·m", run: drill_torque },
    Calculation { name: "cutting.drill_thrust", unit: "N", run: drill_thrust },
    Calculation { name: "cutting.handbook_drill_torque", unit: "N·m", run: handbook_torque },
    Calculation { name: "cutting.handbook_drill_thrust", unit: "N", run: handbook_thrust },
    Calculation { name: "chips.heat", unit: "W", run: heat },
    Calculation { name: "chips.loose", unit: "mm³", run: loose },
    Calculation { name: "chips.parts_until_full", unit: "", run: parts_until_full },
];

/// The side of a range that `side` names: `low`, `high`, or by default the nominal.
pub(super) fn side(given: &Figures<'_>, spread: Spread<f64>) -> Result<f64> {
    Ok(match given.text("side") {
        Ok("low") => spread.low,
        Ok("high") => spread.high,
        Ok("nominal") | Err(_) => spread.nominal,
        Ok(_) => return Err(CaseError::Key("side".to_owned())),
    })
}

fn angle(given: &Figures<'_>, key: &str) -> Result<Angle> {
    given.number(&format!("{key}_deg")).map(Angle::from_deg)
}

/// A straight edge, a blade or a pass of a thread, by the figures that are there.
fn chip(given: &Figures<'_>) -> Result<Chip> {
    if let Some(after) = given.optional_length("after")? {
        let (before, flat) = (given.length_or_zero("before")?, given.length_or_zero("flat")?);
        return Ok(cutting::thread_chip(before, after, flat, angle(given, "thread")?)?);
    }
    let feed = given.feed_per_rev()?;
    Ok(match given.optional_length("width")? {
        Some(width) => cutting::blade_chip(feed, width)?,
        None => cutting::chip(feed, given.length("depth")?, angle(given, "edge")?)?,
    })
}

fn effective_edge_angle(given: &Figures<'_>) -> Result<f64> {
    let (depth, nose) = (given.length("depth")?, given.length_or_zero("nose")?);
    Ok(cutting::effective_edge_angle(depth, nose, angle(given, "edge")?)?.deg())
}

fn kc11(given: &Figures<'_>) -> Result<SpecificForce> {
    given.number("kc11_n_per_mm2").map(SpecificForce::from_n_per_mm2)
}

fn specific_force(given: &Figures<'_>) -> Result<f64> {
    let (kc11, mc) = (kc11(given)?, given.number("mc")?);
    Ok(cutting::specific_force(kc11, mc, chip(given)?.thickness_mm)?.n_per_mm2())
}

fn rake_factor(given: &Figures<'_>) -> Result<f64> {
    Ok(cutting::rake_factor(angle(given, "rake")?, angle(given, "table_rake")?)?)
}

fn speed_factor(given: &Figures<'_>) -> Result<f64> {
    Ok(cutting::speed_factor(given.surface_speed()?)?)
}

fn wear(given: &Figures<'_>) -> Result<Wear> {
    match given.text("wear") {
        Err(_) | Ok("sharp") => Ok(Wear::Sharp),
        Ok("worn") => Ok(Wear::Worn),
        Ok("any") => Ok(Wear::Any),
        Ok(_) => Err(CaseError::Key("wear".to_owned())),
    }
}

fn wear_factor(given: &Figures<'_>) -> Result<f64> {
    side(given, cutting::wear_factor(wear(given)?))
}

fn squeeze_factor(given: &Figures<'_>) -> Result<f64> {
    Ok(cutting::squeeze_factor(match given.text("work")? {
        "outside" => Squeeze::Outside,
        "inside" => Squeeze::Inside,
        "slot" => Squeeze::Slot,
        _ => return Err(CaseError::Key("work".to_owned())),
    }))
}

fn material(given: &Figures<'_>) -> Result<CuttingForce> {
    Ok(CuttingForce {
        kc11: kc11(given)?,
        mc: given.number("mc")?,
        spread: given.number_or("spread", 0.0)?,
        rake: Angle::default(),
        source: String::new(),
    })
}

fn factors(given: &Figures<'_>) -> Result<Spread<f64>> {
    let factor = given.number_or("factor", 1.0)?;
    Ok(cutting::wear_factor(wear(given)?).map(|wear| wear * factor))
}

fn force(given: &Figures<'_>) -> Result<Spread<Force>> {
    Ok(cutting::force(&material(given)?, chip(given)?, factors(given)?)?)
}

fn given_force(given: &Figures<'_>) -> Result<Force> {
    given.number("force_n").map(Force::from_n)
}

fn thrust(given: &Figures<'_>, feed: bool) -> Result<f64> {
    let cutting = Spread::exact(given_force(given)?);
    let thrust = cutting::thrust(cutting, angle(given, "edge")?, wear(given)?)?;
    side(given, if feed { thrust.feed } else { thrust.passive }.map(Force::n))
}

fn torque(given: &Figures<'_>) -> Result<f64> {
    Ok(cutting::torque(given_force(given)?, given.length("diameter")?)?.nm())
}

fn power(given: &Figures<'_>) -> Result<f64> {
    Ok(cutting::power(given_force(given)?, given.surface_speed()?)?.w())
}

fn surface_speed(given: &Figures<'_>) -> Result<f64> {
    Ok(cutting::surface_speed(given.length("diameter")?, given.speed("speed")?)?.m_per_min())
}

fn removal_rate(given: &Figures<'_>) -> Result<f64> {
    let (speed, feed) = (given.surface_speed()?, given.feed_per_rev()?);
    Ok(cutting::removal_rate(speed, feed, given.length("depth")?)?.cm3_per_min())
}

fn turned_rate(given: &Figures<'_>) -> Result<f64> {
    let (from, to) = (given.length("from_diameter")?, given.length("to_diameter")?);
    let speed = given.speed("speed")?;
    Ok(cutting::turned_rate(from, to, given.feed_per_rev()?, speed)?.cm3_per_min())
}

fn rate(given: &Figures<'_>) -> Result<RemovalRate> {
    // 1 in³ = 16.387064 cm³.
    let keys = [("rate_cm3_per_min", 1.0), ("rate_in3_per_min", 16.387_064)];
    given.scaled(&keys).map(RemovalRate::from_cm3_per_min)
}

fn power_by_unit(given: &Figures<'_>) -> Result<f64> {
    // 1 hp/(in³/min) = 2730.3239 N/mm², 1 J/mm³ = 1000 N/mm².
    let keys = [("unit_power_hp_min_per_in3", 2_730.323_9), ("unit_power_j_per_mm3", 1000.0)];
    let sharp = given.scaled(&keys).map(SpecificForce::from_n_per_mm2)?;
    let (feed, wear) = (given.number_or("feed_factor", 1.0)?, given.number_or("wear_factor", 1.0)?);
    Ok(unit_power::power(sharp, rate(given)?, feed, wear)?.w())
}

fn feed_factor(given: &Figures<'_>) -> Result<f64> {
    Ok(unit_power::feed_factor(given.feed_per_rev()?)?)
}

fn opinions_apart(given: &Figures<'_>) -> Result<f64> {
    let power = |key| given.number(key).map(Power::from_w);
    Ok(unit_power::apart(power("one_w")?, power("other_w")?)?)
}

fn drive_of(given: &Figures<'_>) -> Result<(Drive, SpindleSpeed, SpindleSpeed)> {
    let end = given.text("full_power_to_rpm").is_ok();
    let drive = Drive {
        power: Power::from_w(given.number("drive_w")?),
        base_speed: given.speed("base")?,
        full_power_to: if end { Some(given.speed("full_power_to")?) } else { None },
        efficiency: given.number_or("efficiency", 1.0)?,
    };
    Ok((drive, given.speed("speed")?, given.speed("highest")?))
}

fn drive_power(given: &Figures<'_>) -> Result<f64> {
    let (drive, speed, highest) = drive_of(given)?;
    Ok(drive::power_at(&drive, speed, highest)?.w())
}

fn drive_torque(given: &Figures<'_>) -> Result<f64> {
    let (drive, speed, highest) = drive_of(given)?;
    Ok(drive::torque_at(&drive, speed, highest)?.nm())
}

fn drilled(given: &Figures<'_>) -> Result<drilling::Drilling> {
    let (diameter, feed) = (given.length("diameter")?, given.feed_per_rev()?);
    let point = angle(given, "point")?;
    Ok(drilling::drilling(&material(given)?, diameter, feed, point, factors(given)?)?)
}

fn drill_torque(given: &Figures<'_>) -> Result<f64> {
    side(given, drilled(given)?.torque.map(Torque::nm))
}

fn drill_thrust(given: &Figures<'_>) -> Result<f64> {
    side(given, drilled(given)?.thrust.map(Force::n))
}

fn drill_factors(given: &Figures<'_>) -> Result<drilling::Factors> {
    Ok(drilling::Factors {
        material: given.number("kd")?,
        chisel_torque: given.number_or("a", 1.0)?,
        chisel_thrust: given.number_or("b", 1.0)?,
        chisel: given.number_or("j", 0.0)?,
        wear: given.number_or("w", 1.0)?,
    })
}

fn handbook_torque(given: &Figures<'_>) -> Result<f64> {
    let (diameter, feed) = (given.length("diameter")?, given.feed_per_rev()?);
    Ok(drilling::handbook_torque(&drill_factors(given)?, diameter, feed)?.nm())
}

fn handbook_thrust(given: &Figures<'_>) -> Result<f64> {
    let (diameter, feed): (_, FeedPerRev) = (given.length("diameter")?, given.feed_per_rev()?);
    Ok(drilling::handbook_thrust(&drill_factors(given)?, diameter, feed)?.n())
}

fn heat(given: &Figures<'_>) -> Result<f64> {
    side(given, chips::heat_in_chips(Power::from_w(given.number("power_w")?))?.map(Power::w))
}

fn loose(given: &Figures<'_>) -> Result<f64> {
    Ok(chips::loose_chips(rate(given)?, given.seconds("time")?, given.number("bulk")?)?.mm3())
}

fn parts_until_full(given: &Figures<'_>) -> Result<f64> {
    let volume = |key| given.number(key).map(Volume::from_mm3);
    let (room, part) = (volume("room_mm3")?, volume("chips_of_part_mm3")?);
    Ok(f64::from(chips::parts_until_full(room, part)?))
}
