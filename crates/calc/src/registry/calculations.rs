//! The table of calculations. A new one is a line here and its function below.

use super::figures::Figures;
use super::{Calculation, CaseError};
use crate::bar::{self, Division};
use crate::motion::{self, Cut};
use crate::nose;
use crate::pull::{self, Scatter};
use crate::thread;
use crate::tolerance;
use crate::weight;
use model::Length;
use model::files::job::BarShape;
use model::quantity::{Acceleration, Area, Probability, Seconds};

type Result<T> = std::result::Result<T, CaseError>;

/// The calculations of bars, pulls, weights, motion, threads and noses.
pub(super) const ROWS: &[Calculation] = &[
    Calculation { name: "bar.pitch", unit: "mm", run: |g| Ok(division(g)?.pitch().mm()) },
    Calculation { name: "bar.advance", unit: "mm", run: |g| Ok(division(g)?.advance().mm()) },
    Calculation { name: "bar.stick_out", unit: "mm", run: |g| Ok(division(g)?.stick_out().mm()) },
    Calculation { name: "bar.parts_per_bar", unit: "", run: parts_per_bar },
    Calculation { name: "bar.remnant", unit: "mm", run: remnant },
    Calculation { name: "bar.longest_blank", unit: "mm", run: longest_blank },
    Calculation { name: "bar.shortest_blank", unit: "mm", run: shortest_blank },
    Calculation { name: "bar.blanks_for", unit: "", run: blanks_for },
    Calculation { name: "bar.parts_in_last", unit: "", run: parts_in_last },
    Calculation { name: "bar.blanks_per_stock", unit: "", run: blanks_per_stock },
    Calculation { name: "pull.chance_of_loss", unit: "", run: chance_of_loss },
    Calculation { name: "pull.over_a_bar", unit: "", run: over_a_bar },
    Calculation { name: "pull.least_face_stock", unit: "mm", run: least_face_stock },
    Calculation { name: "weight.section", unit: "mm²", run: |g| Ok(section(g)?.mm2()) },
    Calculation { name: "weight.mass_per_length", unit: "kg/m", run: mass_per_length },
    Calculation { name: "weight.mass", unit: "kg", run: mass },
    Calculation { name: "weight.cone", unit: "mm³", run: cone },
    Calculation { name: "weight.loose_chips", unit: "mm³", run: loose_chips },
    Calculation { name: "motion.rapid_time", unit: "s", run: rapid_time },
    Calculation { name: "motion.ramps_time", unit: "s", run: ramps_time },
    Calculation { name: "motion.path_acceleration", unit: "m/s²", run: path_acceleration },
    Calculation { name: "motion.feed_per_minute_time", unit: "s", run: feed_per_minute_time },
    Calculation {
        name: "motion.feed_per_revolution_time",
        unit: "s",
        run: feed_per_revolution_time,
    },
    Calculation { name: "motion.surface_speed_time", unit: "s", run: surface_speed_time },
    Calculation { name: "motion.spindle_speed", unit: "rev/min", run: spindle_speed },
    Calculation { name: "motion.ramp_time", unit: "s", run: ramp_time },
    Calculation { name: "thread.turns", unit: "", run: thread_turns },
    Calculation { name: "thread.depth_of_pass", unit: "mm", run: depth_of_pass },
    Calculation { name: "thread.depth_by_infeed", unit: "mm", run: depth_by_infeed },
    Calculation {
        name: "thread.usual_passes",
        unit: "",
        run: |g| Ok(f64::from(thread::usual_passes(g.length("pitch")?))),
    },
    Calculation { name: "thread.wrong_at_start", unit: "mm", run: wrong_at_start },
    Calculation { name: "thread.wrong_at_end", unit: "mm", run: wrong_at_end },
    Calculation { name: "thread.highest_speed", unit: "rev/min", run: highest_speed },
    Calculation { name: "nose.left_on_slope", unit: "mm", run: left_on_slope },
    Calculation { name: "nose.chamfer_leg", unit: "mm", run: chamfer_leg },
    Calculation {
        name: "tolerance.linear_medium",
        unit: "mm",
        run: |g| Ok(tolerance::linear_medium(g.length("size")?)?.mm()),
    },
    Calculation {
        name: "tolerance.edge_medium",
        unit: "mm",
        run: |g| Ok(tolerance::edge_medium(g.length("size")?)?.mm()),
    },
];

fn thread_turns(given: &Figures<'_>) -> Result<f64> {
    let way = given.length("way")?.mm();
    let change = given.length_or_zero("change")?.mm();
    thread::turns(way, given.length("lead")?.mm(), change).ok_or(CaseError::OutOfRange)
}

fn depth_of_pass(given: &Figures<'_>) -> Result<f64> {
    Ok(thread::depth_of_pass(given.length("first")?, given.count("pass")?)?.mm())
}

fn depth_by_infeed(given: &Figures<'_>) -> Result<f64> {
    let (pass, passes) = (given.count("pass")?, given.count("passes")?);
    Ok(thread::depth_by_infeed(given.length("depth")?, pass, passes)?.mm())
}

fn wrong_at_start(given: &Figures<'_>) -> Result<f64> {
    let (lead, speed) = (given.length("lead")?.mm(), given.speed("speed")?);
    Ok(thread::wrong_at_start(lead, speed, given.number("allowed")?)?.mm())
}

fn wrong_at_end(given: &Figures<'_>) -> Result<f64> {
    Ok(thread::wrong_at_end(given.length("lead")?.mm(), given.speed("speed")?).mm())
}

fn highest_speed(given: &Figures<'_>) -> Result<f64> {
    Ok(thread::highest_speed(given.feed_rate("axis")?, given.length("lead")?.mm()).rpm())
}

pub(super) fn division(given: &Figures<'_>) -> Result<Division> {
    Division {
        finished: given.length("finished")?,
        part_off: given.length_or_zero("part_off")?,
        face_stock: given.length_or_zero("face_stock")?,
        first_face: given.length_or_zero("first_face")?,
        jaw_clearance: given.length_or_zero("jaw_clearance")?,
        least_grip: given.length_or_zero("least_grip")?,
        parts_per_advance: given.count_or("parts_per_advance", 1)?,
    }
    .checked()
    .map_err(|_| CaseError::OutOfRange)
}

fn parts_per_bar(given: &Figures<'_>) -> Result<f64> {
    Ok(f64::from(division(given)?.parts_per_bar(given.length("bar")?)))
}

fn remnant(given: &Figures<'_>) -> Result<f64> {
    let (division, bar) = (division(given)?, given.length("bar")?);
    Ok(division.remnant(bar, division.parts_per_bar(bar)).mm())
}

fn longest_blank(given: &Figures<'_>) -> Result<f64> {
    let (rear, margin) = (given.length("jaw_face_to_rear")?, given.length_or_zero("margin")?);
    Ok(division(given)?.longest_blank(rear, margin).mm())
}

fn shortest_blank(given: &Figures<'_>) -> Result<f64> {
    Ok(division(given)?.shortest_blank(given.count("parts")?).mm())
}

fn blanks_for(given: &Figures<'_>) -> Result<f64> {
    let blanks = bar::blanks_for(given.count("quantity")?, given.count("parts_per_bar")?);
    blanks.map(f64::from).ok_or(CaseError::OutOfRange)
}

fn parts_in_last(given: &Figures<'_>) -> Result<f64> {
    Ok(f64::from(bar::parts_in_last(given.count("quantity")?, given.count("parts_per_bar")?)))
}

fn blanks_per_stock(given: &Figures<'_>) -> Result<f64> {
    let (stock, blank) = (given.length("stock")?, given.length("blank")?);
    let (kerf, trim) = (given.length_or_zero("kerf")?, given.length_or_zero("trim")?);
    Ok(f64::from(bar::blanks_per_stock(stock, blank, kerf, trim)))
}

fn scatter(given: &Figures<'_>) -> Result<Scatter> {
    Ok(Scatter { bias: given.length_or_zero("bias")?, deviation: given.length("deviation")? })
}

fn chance_of_loss(given: &Figures<'_>) -> Result<f64> {
    Ok(scatter(given)?.chance_of_loss(given.length("face_stock")?).ratio())
}

fn over_a_bar(given: &Figures<'_>) -> Result<f64> {
    let one = Probability::from_ratio(given.number("chance")?);
    Ok(pull::over_a_bar(one, given.count("advances")?).ratio())
}

fn least_face_stock(given: &Figures<'_>) -> Result<f64> {
    let risk = Probability::from_ratio(given.number("risk")?);
    let stock = scatter(given)?.least_face_stock(given.count("advances")?, risk);
    stock.map(Length::mm).ok_or(CaseError::OutOfRange)
}

fn section(given: &Figures<'_>) -> Result<Area> {
    let shape = match given.text("shape")? {
        "round" => BarShape::Round,
        "hexagon" => BarShape::Hexagon,
        "square" => BarShape::Square,
        "tube" => return Ok(weight::tube_section(given.length("size")?, given.length("bore")?)?),
        _ => return Err(CaseError::Key("shape".to_owned())),
    };
    Ok(weight::section(shape, given.length("size")?))
}

fn mass_per_length(given: &Figures<'_>) -> Result<f64> {
    Ok(weight::section_mass(section(given)?, given.density()?).kg_per_m())
}

fn mass(given: &Figures<'_>) -> Result<f64> {
    let solid = weight::solid(section(given)?, given.length("length")?);
    Ok(weight::solid_mass(solid, given.density()?).kg())
}

fn cone(given: &Figures<'_>) -> Result<f64> {
    let (front, back) = (given.length("front_diameter")?, given.length("back_diameter")?);
    Ok(weight::cone(front, back, given.length("length")?)?.mm3())
}

fn loose_chips(given: &Figures<'_>) -> Result<f64> {
    let part = weight::cylinder(given.length("part_diameter")?, given.length("part_length")?);
    let stock = weight::solid(section(given)?, given.length("length")?);
    Ok(weight::loose_chips(stock, part, given.number("bulk")?)?.mm3())
}

fn rapid_time(given: &Figures<'_>) -> Result<f64> {
    let acceleration = Acceleration::from_m_per_s2(given.number("acceleration_m_per_s2")?);
    let distance = given.length("distance")?;
    finite(motion::rapid_time(distance, given.feed_rate("speed")?, acceleration))
}

fn ramps_time(given: &Figures<'_>) -> Result<f64> {
    let acceleration = Acceleration::from_m_per_s2(given.number("acceleration_m_per_s2")?);
    finite(motion::ramps_time(given.length("path")?, given.feed_rate("feed")?, acceleration))
}

fn path_acceleration(given: &Figures<'_>) -> Result<f64> {
    let axis = |name: &str| -> Result<Acceleration> {
        Ok(Acceleration::from_m_per_s2(given.number(name)?))
    };
    let (x, z) = (axis("x_acceleration_m_per_s2")?, axis("z_acceleration_m_per_s2")?);
    let along = motion::path_acceleration(given.length("way_r")?, given.length("way_z")?, x, z);
    Ok(along.m_per_s2())
}

fn feed_per_minute_time(given: &Figures<'_>) -> Result<f64> {
    finite(motion::feed_per_minute_time(given.length("path")?, given.feed_rate("feed")?))
}

fn feed_per_revolution_time(given: &Figures<'_>) -> Result<f64> {
    let (path, feed) = (given.length("path")?, given.feed_per_rev()?);
    finite(motion::feed_per_revolution_time(path, feed, given.speed("speed")?))
}

fn surface_speed_time(given: &Figures<'_>) -> Result<f64> {
    let cut = Cut {
        from_r: given.length("from_diameter")?.half(),
        to_r: given.length("to_diameter")?.half(),
        from_z: given.length_or_zero("from_z")?,
        to_z: given.length_or_zero("to_z")?,
    };
    let (feed, speed) = (given.feed_per_rev()?, given.surface_speed()?);
    finite(motion::surface_speed_time(&cut, feed, speed, given.clamp()?))
}

fn spindle_speed(given: &Figures<'_>) -> Result<f64> {
    let (speed, diameter) = (given.surface_speed()?, given.length("diameter")?);
    Ok(motion::spindle_speed(speed, diameter, given.clamp()?).rpm())
}

fn ramp_time(given: &Figures<'_>) -> Result<f64> {
    let (change, full) = (given.speed("change")?, given.speed("full")?);
    finite(motion::ramp_time(change, full, given.seconds("full")?))
}

/// A time that ends; a move that never does is outside the formula's range.
fn finite(time: Seconds) -> Result<f64> {
    if time.s().is_finite() { Ok(time.s()) } else { Err(CaseError::OutOfRange) }
}

fn left_on_slope(given: &Figures<'_>) -> Result<f64> {
    Ok(nose::left_on_slope(given.length("radius")?, given.number("slope_deg")?)?)
}

fn chamfer_leg(given: &Figures<'_>) -> Result<f64> {
    Ok(nose::chamfer_leg(given.length("radius")?, given.length("leg")?)?)
}
