//! The drift of a size by wear: a straight line through the readings, with what it promises for parts
//! that are not gauged yet.

use super::series::{Band, Reading, in_order};
use super::summary::{student, tails};
use crate::figure::{BadFigure, finite, within_floats};
use crate::spread::Spread;
use model::Length;
use model::quantity::Probability;
use statrs::distribution::{ContinuousCDF, StudentsT};

/// A straight line by least squares through points of pure numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Points.
    pub count: u32,
    /// Rise of y for each x.
    pub slope: f64,
    /// y at x zero.
    pub intercept: f64,
    /// Standard error of the slope.
    pub slope_error: f64,
    /// Standard error of the intercept.
    pub intercept_error: f64,
    /// Standard deviation of points off the line, over `count − 2`.
    pub deviation: f64,
    /// Share of the variance that the line explains.
    pub r_squared: f64,
    mean_x: f64,
    mean_y: f64,
    squares_x: f64,
}

impl Line {
    /// The line through these points.
    ///
    /// Valid: three points or more, not all above each other.
    /// Source: least squares; NIST/SEMATECH handbook 4.1.4.1, from memory.
    /// Held to: `handbook/sizes.toml` (the reference set Norris of NIST).
    ///
    /// # Errors
    /// Fewer points, or such as are not finite or all at one x.
    pub fn through(points: &[(f64, f64)]) -> Result<Line, BadFigure> {
        let many = points.len();
        if !(3..=super::summary::MOST).contains(&many) {
            return Err(BadFigure { what: "count of readings", must: "three or more" });
        }
        let count = many as f64;
        let mean = |of: &dyn Fn(&(f64, f64)) -> f64| {
            let rough = points.iter().map(of).sum::<f64>() / count;
            rough + points.iter().map(|it| of(it) - rough).sum::<f64>() / count
        };
        let (mean_x, mean_y) = (mean(&|it| it.0), mean(&|it| it.1));
        finite(mean_x, "parts")?;
        finite(mean_y, "sizes")?;
        let sum = |of: &dyn Fn(f64, f64) -> f64| -> f64 {
            points.iter().map(|it| of(it.0 - mean_x, it.1 - mean_y)).sum()
        };
        let squares_x = sum(&|x, _| x * x);
        if squares_x <= 0.0 {
            return Err(BadFigure { what: "readings", must: "of more than one part" });
        }
        let slope = sum(&|x, y| x * y) / squares_x;
        let left = sum(&|x, y| (y - slope * x) * (y - slope * x));
        let deviation = within_floats((left / (count - 2.0)).sqrt(), "scatter of the sizes")?;
        let all = sum(&|_, y| y * y);
        Ok(Line {
            count: many as u32,
            slope,
            intercept: mean_y - slope * mean_x,
            slope_error: deviation / squares_x.sqrt(),
            intercept_error: deviation * (1.0 / count + mean_x * mean_x / squares_x).sqrt(),
            deviation,
            r_squared: if all > 0.0 { 1.0 - left / all } else { 1.0 },
            mean_x,
            mean_y,
            squares_x,
        })
    }

    /// y of the line.
    pub fn at(&self, x: f64) -> f64 {
        self.mean_y + self.slope * (x - self.mean_x)
    }

    /// Standard error of the line itself at an x.
    pub fn error_at(&self, x: f64) -> f64 {
        self.deviation * self.lever(x).sqrt()
    }

    /// Standard error of one further point at an x: that of the line and its own scatter.
    pub fn error_of_one(&self, x: f64) -> f64 {
        self.deviation * (1.0 + self.lever(x)).sqrt()
    }

    fn lever(&self, x: f64) -> f64 {
        let off = x - self.mean_x;
        1.0 / f64::from(self.count) + off * off / self.squares_x
    }

    /// Degrees of freedom of the scatter.
    pub const fn freedom(&self) -> u32 {
        self.count - 2
    }
}

/// The drift of one size since its edge was new.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trend {
    /// Sizes in millimeters over part numbers.
    line: Line,
}

impl Trend {
    /// The trend of readings, from which offset moves were taken out
    /// ([`super::series::without_moves`]).
    ///
    /// Valid: three readings or more of one edge.
    /// Source: [`Line::through`].
    ///
    /// # Errors
    /// Fewer readings, or out of order.
    pub fn of(readings: &[Reading]) -> Result<Trend, BadFigure> {
        let points = in_order(readings)?.iter().map(|it| (f64::from(it.part), it.size.mm()));
        Ok(Trend { line: Line::through(&points.collect::<Vec<_>>())? })
    }

    /// Readings that it rests on.
    pub const fn count(&self) -> u32 {
        self.line.count
    }

    /// Standard deviation of single sizes off the line.
    pub fn scatter(&self) -> Length {
        Length::nearest_mm(self.line.deviation)
    }

    /// How far the size drifts over so many parts, with this confidence.
    ///
    /// # Errors
    /// A confidence that is none.
    pub fn drift(&self, parts: u32, confidence: Probability) -> Result<Spread<Length>, BadFigure> {
        let off = student(self.line.freedom(), tails(confidence)?)? * self.line.slope_error;
        let over = |slope: f64| Length::nearest_mm(slope * f64::from(parts));
        let slope = self.line.slope;
        Ok(Spread { low: over(slope - off), nominal: over(slope), high: over(slope + off) })
    }

    /// Whether chance alone would make such a drift with at most this chance.
    ///
    /// Two-sided test of Student on the slope.
    ///
    /// # Errors
    /// A chance outside of 0 to 1.
    pub fn is_sure(&self, chance: Probability) -> Result<bool, BadFigure> {
        let tail = tails(Probability::from_ratio(1.0 - chance.ratio()))?;
        let least = student(self.line.freedom(), tail)? * self.line.slope_error;
        Ok(self.line.slope.abs() > least)
    }

    /// Where the line is at a part.
    pub fn at(&self, part: u32) -> Length {
        Length::nearest_mm(self.line.at(f64::from(part)))
    }

    /// How far each reading, moves taken out, lies off the line: the chart of these tells what is
    /// more than wear, for which the run rules would else speak up at once.
    pub fn off_line(&self, readings: &[Reading]) -> Vec<Reading> {
        let off = |it: &Reading| Reading { part: it.part, size: it.size - self.at(it.part) };
        readings.iter().map(off).collect()
    }

    /// Standard error of the line at a part, in millimeters.
    pub(super) fn error_at(&self, part: u32) -> Length {
        Length::nearest_mm(self.line.error_at(f64::from(part)))
    }

    /// Between which ends the size of one further part lies, with this confidence: the prediction
    /// interval.
    ///
    /// `line ± t·s·√(1 + 1/n + (x − x̄)²/Sxx)`.
    /// Valid: drift that goes on straight, sizes that scatter normally about it; the farther ahead,
    /// the less is known of the first.
    /// Source: NIST/SEMATECH handbook 4.5.1.2, from memory.
    /// Held to: `handbook/sizes.toml`; simulation in `sizes/simulated.rs`.
    ///
    /// # Errors
    /// A confidence that is none.
    pub fn size_of(&self, part: u32, confidence: Probability) -> Result<Spread<Length>, BadFigure> {
        let t = student(self.line.freedom(), tails(confidence)?)?;
        let at = f64::from(part);
        let (middle, off) = (self.line.at(at), t * self.line.error_of_one(at));
        Ok(Spread { low: middle - off, nominal: middle, high: middle + off }
            .map(Length::nearest_mm))
    }

    /// Chance that the size of one further part lies outside of its limits.
    ///
    /// Student's distribution about the line, with the error of one further part.
    /// Valid: as [`Trend::size_of`].
    /// Source: as [`Trend::size_of`].
    /// Held to: `handbook/sizes.toml`; simulation in `sizes/simulated.rs`.
    pub fn chance_outside(&self, part: u32, band: Band) -> Probability {
        let at = f64::from(part);
        let (middle, error) = (self.line.at(at), self.line.error_of_one(at));
        let Ok(law) = StudentsT::new(0.0, 1.0, f64::from(self.line.freedom())) else {
            return Probability::from_ratio(1.0);
        };
        if error <= 0.0 {
            let outside = !band.holds(Length::nearest_mm(middle));
            return Probability::from_ratio(f64::from(u8::from(outside)));
        }
        let below = |least: Length| law.cdf((least.mm() - middle) / error);
        let above = |most: Length| law.cdf((middle - most.mm()) / error);
        let outside = band.least().map_or(0.0, below) + band.most().map_or(0.0, above);
        Probability::from_ratio(outside.min(1.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn readings(um: &[i64]) -> Vec<Reading> {
        let each = um.iter().zip(1..);
        each.map(|(um, at)| Reading { part: at * 10, size: Length::from_um(*um) }).collect()
    }

    #[test]
    fn a_straight_drift_is_found() {
        let trend = Trend::of(&readings(&[100, 103, 106, 109])).unwrap();
        let drift = trend.drift(1000, Probability::from_ratio(0.95)).unwrap();
        assert_eq!(drift.nominal, Length::from_um(300));
        assert_eq!(trend.at(50), Length::from_um(112));
        let band = Band::new(None, Some(Length::from_um(115))).unwrap();
        assert!(trend.chance_outside(55, band).ratio() < 1e-12);
        assert!(trend.chance_outside(70, band).ratio() > 1.0 - 1e-12);
    }

    #[test]
    fn off_the_line_wear_is_gone_and_a_jump_is_left() {
        let mut worn: Vec<i64> = (0..20).map(|at| 3 * at + at % 2).collect();
        worn[12] += 15;
        let worn = readings(&worn);
        let off = Trend::of(&worn).unwrap().off_line(&worn);
        let seen = |readings: &[Reading]| {
            let chart = super::super::chart::Chart::individuals(readings).unwrap();
            let off = chart.off_center().unwrap();
            let seen = super::super::rules::look(&off, &super::super::rules::Rule::USUAL);
            seen.iter().map(|it| it.at).collect::<Vec<_>>()
        };
        assert_eq!(seen(&off), [12]);
        assert!(seen(&worn).len() > 5);
    }

    #[test]
    fn two_readings_or_one_part_are_too_few() {
        assert!(Trend::of(&readings(&[1, 2])).is_err());
        assert!(Line::through(&[(1.0, 0.0), (1.0, 1.0), (1.0, 2.0)]).is_err());
        assert!(Line::through(&[(f64::NAN, 0.0), (1.0, 1.0), (1.0, 2.0)]).is_err());
    }

    proptest! {
        #[test]
        fn chances_on_both_sides_add_up_and_grow_with_distance(
            um in prop::collection::vec(-20_i64..20, 4..20), least in -40_i64..0, wide in 1_i64..80,
        ) {
            let trend = Trend::of(&readings(&um)).unwrap();
            prop_assume!(trend.scatter() > Length::from_nm(100));
            let at = |um| Some(Length::from_um(um));
            let chance = |least, most| {
                trend.chance_outside(300, Band::new(least, most).unwrap()).ratio()
            };
            let (least, most) = (at(least), at(least + wide));
            let both = chance(least, most);
            prop_assert!((both - chance(least, None) - chance(None, most)).abs() < 1e-12);
            prop_assert!((0.0..=1.0).contains(&both));
            prop_assert!(chance(least, at(500)) <= both + 1e-12);
        }
    }
}
