//! Every calculation by a name, with named figures in and one figure out, so that the handbook of
//! outside checks can call them. Keys end in their unit.

use crate::bar::{self, Division};
use crate::motion::{self, Cut};
use crate::pull::{self, Scatter};
use crate::weight;
use model::files::job::BarShape;
use model::quantity::{
    Acceleration, Density, FeedPerRev, FeedRate, Probability, Seconds, SpindleSpeed, SurfaceSpeed,
};
use model::{Length, Units};
use std::collections::BTreeMap;
use std::fmt;

/// The figures a case gives, each as the decimal text of its source.
pub type Given = BTreeMap<String, String>;

/// Why a calculation could not be made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CaseError {
    /// There is no calculation of this name.
    Unknown(String),
    /// A key is missing, or its text is no such figure.
    Key(String),
    /// The figures lie outside the range of the formula.
    OutOfRange,
}

impl fmt::Display for CaseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            CaseError::Unknown(name) => write!(f, "there is no calculation `{name}`"),
            CaseError::Key(key) => write!(f, "the figure `{key}` is missing or unreadable"),
            CaseError::OutOfRange => {
                f.write_str("the figures lie outside the range of the formula")
            }
        }
    }
}

impl std::error::Error for CaseError {}

/// A calculation: its name, the unit of its result, and how it is made.
pub struct Calculation {
    /// Its name, `subject.result`.
    pub name: &'static str,
    /// Unit of the result; empty for a count or ratio.
    pub unit: &'static str,
    run: fn(&Figures<'_>) -> Result<f64, CaseError>,
}

/// Every calculation that the handbook may call.
pub static ALL: &[Calculation] = &[
    Calculation { name: "bar.parts_per_bar", unit: "", run: parts_per_bar },
    Calculation { name: "bar.remnant", unit: "mm", run: remnant },
    Calculation { name: "bar.pitch", unit: "mm", run: |g| Ok(division(g)?.pitch().mm()) },
    Calculation { name: "bar.stick_out", unit: "mm", run: |g| Ok(division(g)?.stick_out().mm()) },
    Calculation { name: "bar.blanks_for", unit: "", run: blanks_for },
    Calculation { name: "bar.parts_in_last", unit: "", run: parts_in_last },
    Calculation { name: "weight.mass_per_length", unit: "kg/m", run: mass_per_length },
    Calculation { name: "weight.mass", unit: "kg", run: mass },
    Calculation { name: "motion.rapid_time", unit: "s", run: rapid_time },
    Calculation { name: "motion.feed_time", unit: "s", run: feed_time },
    Calculation { name: "motion.surface_speed_time", unit: "s", run: surface_speed_time },
    Calculation { name: "motion.spindle_speed", unit: "rev/min", run: spindle_speed },
    Calculation { name: "motion.ramp_time", unit: "s", run: ramp_time },
    Calculation { name: "pull.chance_of_loss", unit: "", run: chance_of_loss },
    Calculation { name: "pull.over_a_bar", unit: "", run: over_a_bar },
    Calculation { name: "pull.least_face_stock", unit: "mm", run: least_face_stock },
];

/// Makes a calculation.
///
/// # Errors
/// An unknown name, a missing or unreadable figure, or figures outside the formula's range.
pub fn calculate(name: &str, given: &Given) -> Result<f64, CaseError> {
    let calculation = find(name).ok_or_else(|| CaseError::Unknown(name.to_owned()))?;
    (calculation.run)(&Figures(given))
}

/// The calculation of this name.
pub fn find(name: &str) -> Option<&'static Calculation> {
    ALL.iter().find(|calculation| calculation.name == name)
}

struct Figures<'g>(&'g Given);

impl Figures<'_> {
    fn text(&self, key: &str) -> Result<&str, CaseError> {
        self.0.get(key).map(String::as_str).ok_or_else(|| CaseError::Key(key.to_owned()))
    }

    fn number(&self, key: &str) -> Result<f64, CaseError> {
        self.text(key)?.parse().map_err(|_| CaseError::Key(key.to_owned()))
    }

    fn count(&self, key: &str) -> Result<u32, CaseError> {
        self.text(key)?.parse().map_err(|_| CaseError::Key(key.to_owned()))
    }

    /// `key_mm` or `key_in`.
    fn length(&self, key: &str) -> Result<Length, CaseError> {
        for (end, units) in [("mm", Units::Mm), ("in", Units::Inch)] {
            let key = format!("{key}_{end}");
            if let Ok(text) = self.text(&key) {
                return Length::parse(text, units).map_err(|_| CaseError::Key(key));
            }
        }
        Err(CaseError::Key(format!("{key}_mm")))
    }

    fn length_or_zero(&self, key: &str) -> Result<Length, CaseError> {
        let there =
            self.0.contains_key(&format!("{key}_mm")) || self.0.contains_key(&format!("{key}_in"));
        if there { self.length(key) } else { Ok(Length::ZERO) }
    }
}

fn division(given: &Figures<'_>) -> Result<Division, CaseError> {
    Division {
        finished: given.length("finished")?,
        part_off: given.length_or_zero("part_off")?,
        face_stock: given.length_or_zero("face_stock")?,
        first_face: given.length_or_zero("first_face")?,
        jaw_clearance: given.length_or_zero("jaw_clearance")?,
        least_grip: given.length_or_zero("least_grip")?,
        parts_per_advance: given.count("parts_per_advance").unwrap_or(1),
    }
    .checked()
    .map_err(|_| CaseError::OutOfRange)
}

fn parts_per_bar(given: &Figures<'_>) -> Result<f64, CaseError> {
    Ok(f64::from(division(given)?.parts_per_bar(given.length("bar")?)))
}

fn remnant(given: &Figures<'_>) -> Result<f64, CaseError> {
    let (division, bar) = (division(given)?, given.length("bar")?);
    Ok(division.remnant(bar, division.parts_per_bar(bar)).mm())
}

fn blanks_for(given: &Figures<'_>) -> Result<f64, CaseError> {
    let blanks = bar::blanks_for(given.count("quantity")?, given.count("parts_per_bar")?);
    blanks.map(f64::from).ok_or(CaseError::OutOfRange)
}

fn parts_in_last(given: &Figures<'_>) -> Result<f64, CaseError> {
    Ok(f64::from(bar::parts_in_last(given.count("quantity")?, given.count("parts_per_bar")?)))
}

fn shape(given: &Figures<'_>) -> Result<BarShape, CaseError> {
    match given.text("shape")? {
        "round" => Ok(BarShape::Round),
        "hexagon" => Ok(BarShape::Hexagon),
        "square" => Ok(BarShape::Square),
        _ => Err(CaseError::Key("shape".to_owned())),
    }
}

fn density(given: &Figures<'_>) -> Result<Density, CaseError> {
    if let Ok(pounds) = given.number("density_lb_per_in3") {
        // 1 lb/in³ in kg/m³, exact from 1 lb = 0.45359237 kg and 1 in = 25.4 mm.
        return Ok(Density::from_kg_per_m3(pounds * 0.453_592_37 / (25.4e-3 * 25.4e-3 * 25.4e-3)));
    }
    Ok(Density::from_kg_per_m3(given.number("density_kg_per_m3")?))
}

fn mass_per_length(given: &Figures<'_>) -> Result<f64, CaseError> {
    Ok(weight::mass_per_length(shape(given)?, given.length("size")?, density(given)?).kg_per_m())
}

fn mass(given: &Figures<'_>) -> Result<f64, CaseError> {
    Ok(weight::mass(shape(given)?, given.length("size")?, given.length("length")?, density(given)?)
        .kg())
}

fn rapid_time(given: &Figures<'_>) -> Result<f64, CaseError> {
    let speed = FeedRate::from_mm_per_min(1000.0 * given.number("speed_m_per_min")?);
    let acceleration = Acceleration::from_m_per_s2(given.number("acceleration_m_per_s2")?);
    Ok(motion::rapid_time(given.length("distance")?, speed, acceleration).s())
}

fn feed_time(given: &Figures<'_>) -> Result<f64, CaseError> {
    let feed = FeedPerRev::from_mm(given.number("feed_mm_per_rev")?);
    let speed = SpindleSpeed::from_rpm(given.number("speed_rpm")?);
    Ok(motion::feed_per_revolution_time(given.length("path")?, feed, speed).s())
}

fn surface_speed_time(given: &Figures<'_>) -> Result<f64, CaseError> {
    let cut = Cut {
        from_r: given.length("from_diameter")?.half(),
        to_r: given.length("to_diameter")?.half(),
        from_z: given.length_or_zero("from_z")?,
        to_z: given.length_or_zero("to_z")?,
    };
    let feed = FeedPerRev::from_mm(given.number("feed_mm_per_rev")?);
    let speed = SurfaceSpeed::from_m_per_min(given.number("surface_speed_m_per_min")?);
    let clamp = given.number("clamp_rpm").unwrap_or(f64::INFINITY);
    Ok(motion::surface_speed_time(&cut, feed, speed, SpindleSpeed::from_rpm(clamp)).s())
}

fn spindle_speed(given: &Figures<'_>) -> Result<f64, CaseError> {
    let speed = SurfaceSpeed::from_m_per_min(given.number("surface_speed_m_per_min")?);
    let clamp = SpindleSpeed::from_rpm(given.number("clamp_rpm").unwrap_or(f64::INFINITY));
    Ok(motion::spindle_speed(speed, given.length("diameter")?, clamp).rpm())
}

fn ramp_time(given: &Figures<'_>) -> Result<f64, CaseError> {
    let change = SpindleSpeed::from_rpm(given.number("change_rpm")?);
    let full = SpindleSpeed::from_rpm(given.number("full_rpm")?);
    Ok(motion::ramp_time(change, full, Seconds::from_s(given.number("full_s")?)).s())
}

fn scatter(given: &Figures<'_>) -> Result<Scatter, CaseError> {
    Ok(Scatter { bias: given.length_or_zero("bias")?, deviation: given.length("deviation")? })
}

fn chance_of_loss(given: &Figures<'_>) -> Result<f64, CaseError> {
    Ok(scatter(given)?.chance_of_loss(given.length("face_stock")?).ratio())
}

fn over_a_bar(given: &Figures<'_>) -> Result<f64, CaseError> {
    let one = Probability::from_ratio(given.number("chance")?);
    Ok(pull::over_a_bar(one, given.count("advances")?).ratio())
}

fn least_face_stock(given: &Figures<'_>) -> Result<f64, CaseError> {
    let risk = Probability::from_ratio(given.number("risk")?);
    let stock = scatter(given)?.least_face_stock(given.count("advances")?, risk);
    stock.map(Length::mm).ok_or(CaseError::OutOfRange)
}
