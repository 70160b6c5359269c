//! Means of recorded times, with the records that do not belong to the rest set apart and told.

use crate::figure::{BadFigure, positive};
use crate::sizes::outliers::{BEYOND, FEWEST, middle_and_scale};
use crate::sizes::summary::Summary;
use crate::spread::Spread;
use model::quantity::{Probability, Seconds};

/// A figure learned from records.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate<T> {
    /// The figure, with the range in which it lies.
    pub value: Spread<T>,
    /// Standard deviation of single records.
    pub deviation: T,
    /// Records that it rests on.
    pub count: u32,
    /// Records that were set apart because they do not belong to the rest.
    pub set_apart: u32,
}

impl Estimate<f64> {
    /// An estimate that was written down as its mean, deviation and count.
    ///
    /// # Errors
    /// Fewer than two records, a confidence that is none.
    pub fn recorded(
        (mean, deviation): (f64, f64),
        count: u32,
        confidence: Probability,
    ) -> Result<Estimate<f64>, BadFigure> {
        let summary = recorded(mean, deviation, count)?;
        let value = summary.mean_within(confidence)?;
        Ok(Estimate { value, deviation, count, set_apart: 0 })
    }

    /// Between which ends the next record lies.
    ///
    /// # Errors
    /// Fewer than two records, a confidence that is none.
    pub fn next(&self, confidence: Probability) -> Result<Spread<f64>, BadFigure> {
        recorded(self.value.nominal, self.deviation, self.count)?.next_within(confidence)
    }
}

impl Estimate<Seconds> {
    /// The same in seconds as plain numbers.
    pub fn in_seconds(&self) -> Estimate<f64> {
        Estimate {
            value: self.value.map(Seconds::s),
            deviation: self.deviation.s(),
            count: self.count,
            set_apart: self.set_apart,
        }
    }
}

pub(super) fn recorded(mean: f64, deviation: f64, count: u32) -> Result<Summary, BadFigure> {
    if count < 2 || !(deviation >= 0.0 && deviation.is_finite() && mean.is_finite()) {
        return Err(BadFigure {
            what: "records",
            must: "two or more, with a mean and a deviation",
        });
    }
    Ok(Summary { count, mean, deviation })
}

/// The factor from planned to real cycle times, from pairs of a measured and a planned time.
///
/// Mean of the ratios, with Student's interval. A cycle in which someone stopped the lathe is longer
/// than the rest by far and is set apart: more than 3.5 robust deviations above the middle.
/// Valid: two cycles or more; times above zero.
/// Source: the mean of ratios; common practice.
/// Held to: `handbook/learned.toml`.
///
/// # Errors
/// Fewer cycles, or a time of zero or less.
pub fn cycle_factor(
    cycles: &[(Seconds, Seconds)],
    confidence: Probability,
) -> Result<Estimate<f64>, BadFigure> {
    let ratio = |(measured, planned): &(Seconds, Seconds)| {
        Ok(positive(measured.s(), "measured cycle")? / positive(planned.s(), "planned cycle")?)
    };
    mean(&cycles.iter().map(ratio).collect::<Result<Vec<f64>, BadFigure>>()?, confidence)
}

/// The time that loading a bar takes.
///
/// Mean, with Student's interval; a load with a break in it is set apart as in [`cycle_factor`].
/// Valid: two loads or more; times above zero.
/// Source: common practice.
/// Held to: `handbook/learned.toml`.
///
/// # Errors
/// Fewer loads, or a time of zero or less.
pub fn load_time(
    loads: &[Seconds],
    confidence: Probability,
) -> Result<Estimate<Seconds>, BadFigure> {
    let seconds = loads.iter().map(|it| positive(it.s(), "time to load"));
    let mean = mean(&seconds.collect::<Result<Vec<f64>, BadFigure>>()?, confidence)?;
    Ok(Estimate {
        value: mean.value.map(Seconds::from_s),
        deviation: Seconds::from_s(mean.deviation),
        count: mean.count,
        set_apart: mean.set_apart,
    })
}

fn mean(records: &[f64], confidence: Probability) -> Result<Estimate<f64>, BadFigure> {
    let kept: Vec<f64> = if records.len() < FEWEST {
        records.to_vec()
    } else {
        let (middle, scale) = middle_and_scale(records);
        let belongs = |it: &f64| scale <= 0.0 || it - middle <= BEYOND * scale;
        records.iter().copied().filter(belongs).collect()
    };
    let summary = Summary::of(&kept)?;
    Ok(Estimate {
        value: summary.mean_within(confidence)?,
        deviation: summary.deviation,
        count: summary.count,
        set_apart: (records.len() - kept.len()) as u32,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const SURE: Probability = Probability::from_ratio(0.95);

    #[test]
    fn a_cycle_with_a_stop_in_it_is_told_and_not_counted() {
        let seconds = |s: f64| (Seconds::from_s(s), Seconds::from_s(40.0));
        let mut cycles: Vec<_> =
            [41.2, 40.8, 41.0, 41.3, 40.9, 41.1, 41.0, 40.7, 41.2].map(seconds).to_vec();
        let before = cycle_factor(&cycles, SURE).unwrap();
        cycles.push(seconds(312.0));
        let after = cycle_factor(&cycles, SURE).unwrap();
        assert_eq!((after.count, after.set_apart, before.set_apart), (9, 1, 0));
        assert_eq!(after.value, before.value);
        assert!((after.value.nominal - 1.0256).abs() < 1e-4, "{after:?}");
        assert!(after.value.low < after.value.nominal && after.deviation > 0.0);
    }

    #[test]
    fn no_time_is_no_record() {
        let none = (Seconds::from_s(0.0), Seconds::from_s(40.0));
        assert!(cycle_factor(&[none, none], SURE).is_err());
        assert!(load_time(&[Seconds::from_s(60.0)], SURE).is_err());
    }
}
