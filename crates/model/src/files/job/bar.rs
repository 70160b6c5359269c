//! `[bar]` of a job file: one blank, and the stock that it is sawn from.

use super::condition::{self, Condition};
use crate::Length;
use crate::choices;
use crate::files::keys::Keys;
use crate::standards::fit::Class;

choices! {
    /// The section of a bar.
    BarShape {
        Round = "round": "size is the diameter",
        Hexagon = "hexagon": "size is across flats",
        Square = "square": "size is across flats",
    }
}

/// One blank as it goes into the spindle, and the stock it is sawn from.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// The name of its material, as the file has it.
    pub material: String,
    /// Its section.
    pub shape: BarShape,
    /// Diameter, or size across flats.
    pub size: Length,
    /// The tolerance class of that size, by ISO 286; none where the file says nothing of it.
    pub tolerance: Option<Class>,
    /// The sizes that the stock list has; empty where the file says nothing of it.
    pub sizes: Vec<Length>,
    /// Length of one blank.
    pub length: Length,
    /// How much longer or shorter a blank may be.
    pub length_tolerance: Length,
    /// How far the blank must stay in front of the rear end of the spindle.
    pub rear_margin: Length,
    /// Length of the stock bars that blanks are sawn from.
    pub stock_length: Option<Length>,
    /// What the saw turns to chips.
    pub saw_kerf: Length,
    /// What is sawn off a stock bar's end first.
    pub end_trim: Length,
    /// How straight it is and how its ends are; none where the file says nothing of it.
    pub condition: Option<Condition>,
}

impl Bar {
    /// The smallest and the largest that a bar of this nominal size may measure by the tolerance
    /// class; none without a class, or where the class has nothing for the size.
    pub fn limits_at(&self, size: Length) -> Option<(Length, Length)> {
        let (upper, lower) = self.tolerance.as_ref()?.deviations(size).ok()?;
        Some((size + lower, size + upper))
    }

    /// The largest distance of its section from the axis: half of the diameter or across corners.
    pub fn reach(&self) -> Length {
        match self.shape {
            BarShape::Round => self.size.half(),
            // Across corners, rounded up to the nanometer.
            BarShape::Hexagon => rounded_up(self.size.nm() as f64 / 3.0_f64.sqrt()),
            BarShape::Square => rounded_up(self.size.nm() as f64 * std::f64::consts::FRAC_1_SQRT_2),
        }
    }
}

fn rounded_up(nm: f64) -> Length {
    Length::from_nm(nm as i64 + 1)
}

const LONGEST: Length = Length::from_mm(20_000);

pub(super) fn keys(keys: &Keys<'_>) -> Bar {
    let some = Length::ZERO..=Length::from_mm(500);
    let bar = Bar {
        material: keys
            .text("material", "a shipped material's name, or the path of a material file")
            .required(),
        shape: keys.choice("shape", "the section of the bar").or(BarShape::Round),
        size: keys
            .length(
                "size",
                "diameter, or size across flats",
                Length::from_um(500)..=Length::from_mm(500),
            )
            .required(),
        tolerance: keys
            .text("tolerance", "tolerance class of the bar's size, such as h9 or h11")
            .optional()
            .and_then(|text| tolerance(keys, &text)),
        sizes: keys
            .lengths(
                "sizes",
                "sizes that the stock list has, in the same section",
                Length::from_um(500)..=Length::from_mm(500),
            )
            .optional()
            .unwrap_or_default(),
        length: keys
            .length("length", "length of one blank", Length::from_mm(10)..=LONGEST)
            .required(),
        length_tolerance: keys
            .length("length_tolerance", "how much longer or shorter a blank may be", some.clone())
            .or(Length::from_mm(1)),
        rear_margin: keys
            .length(
                "rear_margin",
                "how far the blank stays in front of the spindle's rear end",
                some.clone(),
            )
            .or(Length::ZERO),
        stock_length: keys
            .length(
                "stock_length",
                "length of the stock bars that blanks are sawn from",
                Length::from_mm(10)..=LONGEST,
            )
            .optional(),
        saw_kerf: keys
            .length("saw_kerf", "what the saw turns to chips", some.clone())
            .or(Length::ZERO),
        end_trim: keys
            .length("end_trim", "what is sawn off a stock bar's end first", some)
            .or(Length::ZERO),
        condition: keys.optional_table(
            "condition",
            "how straight a blank is and how its ends are",
            condition::keys,
        ),
    };
    blank_is_possible(keys, &bar);
    bar
}

/// The class of a bar's size; a bar is an outside, so that a class of holes is a slip.
fn tolerance(keys: &Keys<'_>, text: &str) -> Option<Class> {
    let (message, help) = match Class::read(text) {
        Ok(class) if class.is_for_holes() => (
            format!("{} is a class for holes, and a bar is an outside", class.name()),
            format!("write {}", class.other().name()),
        ),
        Ok(class) => return Some(class),
        Err(refusal) => (refusal.message, refusal.help),
    };
    keys.trouble("tolerance", message, help);
    None
}

fn blank_is_possible(keys: &Keys<'_>, bar: &Bar) {
    let shown = |length: Length| length.shown(keys.units());
    if !keys.sound("length") {
        return;
    }
    if keys.sound("length_tolerance") && bar.length_tolerance >= bar.length {
        let message = format!("a blank of {} cannot be shorter by this much", shown(bar.length));
        keys.trouble("length_tolerance", message, "write how exactly blanks are sawn");
    }
    let (Some(stock), true) = (bar.stock_length, keys.sound("end_trim")) else { return };
    if stock - bar.end_trim < bar.length {
        let left = shown((stock - bar.end_trim).max(Length::ZERO));
        let message = format!("no blank of {} can be sawn from {left} of stock", shown(bar.length));
        let help = "write a longer stock bar, or shorten the blank or the end trim";
        keys.trouble("stock_length", message, help);
    }
}
