//! Readings that do not belong to the rest: a chip under the anvil, a slip of the pen. They are set
//! apart and told, never dropped in silence.

use super::series::{Reading, in_order};
use crate::figure::BadFigure;
use model::Length;

/// A reading that does not belong to the rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outlier {
    /// The reading.
    pub reading: Reading,
    /// What the rest would have it be.
    pub expected: Length,
    /// How far off it is, in robust standard deviations.
    pub off: f64,
}

/// Readings with the outliers among them set apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Apart {
    /// What belongs together, in the order of the parts.
    pub kept: Vec<Reading>,
    /// What does not, in the order of the parts.
    pub outliers: Vec<Outlier>,
}

/// Fewest readings among which one can be an outlier.
pub const FEWEST: usize = 8;
/// Robust standard deviations beyond which a reading is one.
pub const BEYOND: f64 = 3.5;
/// Most readings through which the robust line is laid; of more, evenly chosen ones are taken.
const MOST: usize = 400;

/// Sets outliers apart.
///
/// A robust line is laid through the readings (the middle of the slopes of all pairs), so that wear
/// makes no outliers; off it by more than 3.5 times `1.4826` median deviations is an outlier (where
/// more than half of the readings lie on the line, `1.2533` mean deviations), either widened by
/// `n / (n − 3)` because a line through few readings comes too near to them, if it is also more than
/// two `gauge_step`s, the smallest that the gauge shows.
/// Valid: [`FEWEST`] readings or more, else all are kept; less than half of them outliers.
/// Source: Theil 1950 and Sen 1968 for the line; Iglewicz and Hoaglin, "How to detect and handle
/// outliers" (1993), for 3.5 (found, quoted); 1.2533 = √(π/2).
/// Held to: simulation in the unit tests here.
///
/// # Errors
/// Readings out of order.
pub fn set_apart(readings: &[Reading], gauge_step: Length) -> Result<Apart, BadFigure> {
    in_order(readings)?;
    if readings.len() < FEWEST {
        return Ok(Apart { kept: readings.to_vec(), outliers: Vec::new() });
    }
    let line = Robust::through(readings);
    let off: Vec<f64> = readings.iter().map(|it| mm(it) - line.at(it.part)).collect();
    let scale = scale(&off);
    let least = 2.0 * gauge_step.mm();
    let (mut kept, mut outliers) = (Vec::new(), Vec::new());
    for (reading, off) in readings.iter().zip(&off) {
        if off.abs() > BEYOND * scale && off.abs() > least && scale > 0.0 {
            let expected = Length::nearest_mm(line.at(reading.part));
            outliers.push(Outlier { reading: *reading, expected, off: off / scale });
        } else {
            kept.push(*reading);
        }
    }
    Ok(Apart { kept, outliers })
}

fn mm(reading: &Reading) -> f64 {
    reading.size.mm()
}

/// A line that few odd readings cannot bend.
struct Robust {
    slope: f64,
    at_zero: f64,
}

impl Robust {
    fn through(readings: &[Reading]) -> Robust {
        let every = readings.len().div_ceil(MOST);
        let some: Vec<&Reading> = readings.iter().step_by(every).collect();
        let mut slopes = Vec::with_capacity(some.len() * some.len() / 2);
        for (index, one) in some.iter().enumerate() {
            for other in &some[index + 1..] {
                let parts = f64::from(other.part) - f64::from(one.part);
                slopes.push((mm(other) - mm(one)) / parts);
            }
        }
        let slope = median(&mut slopes);
        let mut rests: Vec<f64> =
            readings.iter().map(|it| mm(it) - slope * f64::from(it.part)).collect();
        Robust { slope, at_zero: median(&mut rests) }
    }

    fn at(&self, part: u32) -> f64 {
        self.at_zero + self.slope * f64::from(part)
    }
}

/// A standard deviation that few odd readings cannot widen; of [`FEWEST`] or more.
fn scale(off: &[f64]) -> f64 {
    let mut away: Vec<f64> = off.iter().map(|it| it.abs()).collect();
    let middle = median(&mut away);
    // Where the gauge shows the same over and over, rounding is not taken for scatter.
    let widest = away.iter().copied().fold(0.0, f64::max);
    let many = away.len() as f64;
    let few = many / (many - 3.0);
    if middle > 1e-9 * widest {
        1.4826 * few * middle
    } else {
        1.2533 * few * away.iter().sum::<f64>() / many
    }
}

/// The middle of numbers, and their robust standard deviation about it.
pub(crate) fn middle_and_scale(numbers: &[f64]) -> (f64, f64) {
    let middle = median(&mut numbers.to_vec());
    let off: Vec<f64> = numbers.iter().map(|it| it - middle).collect();
    (middle, scale(&off))
}

fn median(numbers: &mut [f64]) -> f64 {
    numbers.sort_by(f64::total_cmp);
    let half = numbers.len() / 2;
    match numbers.len() {
        0 => 0.0,
        many if many % 2 == 1 => numbers[half],
        _ => f64::midpoint(numbers[half - 1], numbers[half]),
    }
}

#[cfg(test)]
mod tests {
    use super::super::noise::Noise;
    use super::*;
    use proptest::prelude::*;

    const STEP: Length = Length::from_um(1);

    fn worn(noise: &mut Noise, many: u32, sigma_um: f64, drift_um: f64) -> Vec<Reading> {
        let size =
            |part: u32| 12.0 + 1e-3 * (sigma_um * noise.normal() + drift_um * f64::from(part));
        (1..=many)
            .map(|part| part * 5)
            .zip((1..=many).map(size))
            .map(|(part, mm)| Reading {
                part,
                size: Length::nearest_mm(mm).round_to(model::Units::Mm, 3),
            })
            .collect()
    }

    #[test]
    fn a_slip_of_the_pen_is_told_and_wear_is_not() {
        let mut noise = Noise::new(3);
        for _ in 0..50 {
            let mut readings = worn(&mut noise, 24, 2.0, 1.5);
            readings[9].size += Length::from_um(100);
            let apart = set_apart(&readings, STEP).unwrap();
            assert!(apart.outliers.iter().any(|it| it.reading == readings[9]), "{apart:?}");
            assert_eq!(apart.kept.len() + apart.outliers.len(), 24);
        }
    }

    #[test]
    fn good_readings_are_seldom_set_apart() {
        let mut noise = Noise::new(4);
        for (many, at_most) in [(8, 0.025), (15, 0.012), (40, 0.003)] {
            let told: usize = (0..600)
                .map(|_| set_apart(&worn(&mut noise, many, 4.0, 1.0), STEP).unwrap().outliers.len())
                .sum();
            let share = told as f64 / (600.0 * f64::from(many));
            assert!(share < at_most, "{many} readings: {share}");
        }
    }

    #[test]
    fn one_step_of_the_gauge_is_no_outlier() {
        let same = |part| Reading { part, size: Length::from_mm(12) };
        let mut readings: Vec<Reading> = (1..=12).map(same).collect();
        readings[5].size += STEP;
        assert!(set_apart(&readings, STEP).unwrap().outliers.is_empty());
        readings[5].size += STEP * 5;
        assert_eq!(set_apart(&readings, STEP).unwrap().outliers.len(), 1);
    }

    proptest! {
        #[test]
        fn no_reading_is_lost(sizes in prop::collection::vec(any::<i64>(), 0..30), step in any::<i64>()) {
            let each = sizes.iter().zip(1..);
            let readings: Vec<Reading> =
                each.map(|(nm, part)| Reading { part, size: Length::from_nm(*nm) }).collect();
            let apart = set_apart(&readings, Length::from_nm(step)).unwrap();
            prop_assert_eq!(apart.kept.len() + apart.outliers.len(), sizes.len());
        }
    }
}
