//! How long edges last, from those that wore out and those that were changed before.
//!
//! An edge that was changed early, or is still cutting, tells that it lasts at least so long. To leave
//! such edges out, or to count them as worn, makes the life too short.

use crate::figure::{BadFigure, positive};
use crate::sizes::summary::chi_square_above;
use crate::spread::Spread;
use libm::{exp, log, pow};
use model::quantity::{Probability, Seconds};

/// Why an edge's use ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// It was worn out or broken.
    Worn,
    /// It was changed before, or is still cutting.
    Early,
}

/// One edge: how long it cut, and why that ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Use {
    /// Time in cut.
    pub cut: Seconds,
    /// Why it ended.
    pub end: End,
}

/// Life of an edge, learned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgeLife {
    /// Edges that wore out.
    pub worn: u32,
    /// Edges of which it is only known that they last at least so long.
    pub early: u32,
    /// How sharply lives end: 1 as by accident, 2 to 6 by wear.
    pub shape: f64,
    /// What half of them outlast, with the range in which that lies; its high end is without bound
    /// where too few wore out.
    pub half: Spread<Seconds>,
    /// Nine of ten last within this; its nominal figure is what half of them outlast.
    pub life: Spread<Seconds>,
}

/// Fewest worn edges from which a life is learned.
pub const FEWEST: usize = model::files::job::learned::FEWEST_WORN as usize;

impl EdgeLife {
    /// From the use of edges of one station, grade and job.
    ///
    /// Greatest likelihood of a Weibull law with the early ones censored; the range of the half-life
    /// is where the likelihood ratio allows it.
    /// Valid: [`FEWEST`] worn edges or more, not all of the very same life; ends that do not hang on
    /// how worn the edge looked.
    /// Source: NIST/SEMATECH handbook 8.4.1.2, and Lawless, "Statistical models and methods for
    /// lifetime data", both from memory.
    /// Held to: `handbook/learned.toml` (scipy).
    ///
    /// # Errors
    /// Fewer worn edges, a time of zero or less, a confidence that is none.
    pub fn of(uses: &[Use], confidence: Probability) -> Result<EdgeLife, BadFigure> {
        let data = Uses::read(uses)?;
        let allowed = chi_square_above(confidence)? / 2.0;
        let shape = data.best_shape();
        let half = data.half_life(shape);
        let least = data.likelihood(half, shape) - allowed;
        let end = |outward: f64| data.until(half, outward, least);
        let at = |below: f64| half * pow(-log(1.0 - below) / log(2.0), 1.0 / shape);
        let seconds = |scaled: f64| Seconds::from_s(scaled * data.unit);
        let spread = Spread { low: end(-1.0), nominal: half, high: end(1.0) };
        Ok(EdgeLife {
            worn: data.worn.len() as u32,
            early: (uses.len() - data.worn.len()) as u32,
            shape,
            half: spread.map(seconds),
            life: Spread { low: at(0.05), nominal: half, high: at(0.95) }.map(seconds),
        })
    }
}

impl EdgeLife {
    /// What nineteen of twenty outlast, where the life that half of them outlast lies at the low end of its
    /// range; none where the records do not bound it.
    pub fn unfavorable(&self) -> Option<Seconds> {
        let low = self.life.low * (self.half.low.s() / self.half.nominal.s());
        (low.s() > 0.0 && self.half.high.s().is_finite()).then_some(low)
    }
}

/// Lives in the longest of them, so that no power overflows.
struct Uses {
    unit: f64,
    all: Vec<f64>,
    worn: Vec<f64>,
}

/// A law sharper than this is none that wear makes.
const SHARPEST: f64 = 200.0;

impl Uses {
    fn read(uses: &[Use]) -> Result<Uses, BadFigure> {
        let mut unit = 0.0_f64;
        for one in uses {
            unit = unit.max(positive(one.cut.s(), "time in cut")?);
        }
        let of = |some: &dyn Fn(&&Use) -> bool| -> Vec<f64> {
            uses.iter().filter(some).map(|it| it.cut.s() / unit).collect()
        };
        let worn = of(&|it| it.end == End::Worn);
        if worn.len() < FEWEST {
            return Err(BadFigure { what: "count of worn edges", must: "three or more" });
        }
        let data = Uses { unit, all: of(&|_| true), worn };
        if data.slope(SHARPEST) > 0.0 {
            return Err(BadFigure { what: "lives of worn edges", must: "not all the same" });
        }
        Ok(data)
    }

    fn worn_count(&self) -> f64 {
        self.worn.len() as f64
    }

    /// Slope of the likelihood over the shape, at the best scale for it; falls with the shape.
    fn slope(&self, shape: f64) -> f64 {
        let powers: f64 = self.all.iter().map(|t| pow(*t, shape)).sum();
        let with_logs: f64 = self.all.iter().map(|t| pow(*t, shape) * log(*t)).sum();
        let logs: f64 = self.worn.iter().map(|t| log(*t)).sum();
        1.0 / shape + logs / self.worn_count() - with_logs / powers
    }

    fn best_shape(&self) -> f64 {
        halved(0.01, SHARPEST, |shape| self.slope(shape))
    }

    /// What half outlast, at the best scale for this shape.
    fn half_life(&self, shape: f64) -> f64 {
        let powers: f64 = self.all.iter().map(|t| pow(*t, shape)).sum();
        pow(log(2.0) * powers / self.worn_count(), 1.0 / shape)
    }

    fn likelihood(&self, half: f64, shape: f64) -> f64 {
        let density = |t: &f64| log(log(2.0) * shape / t) + shape * log(t / half);
        let outlasted: f64 = self.all.iter().map(|t| pow(t / half, shape)).sum();
        self.worn.iter().map(density).sum::<f64>() - log(2.0) * outlasted
    }

    /// The likelihood with this half-life at the best shape for it; it is concave in the shape.
    fn profile(&self, half: f64) -> f64 {
        let slope = |shape: f64| {
            let logs: f64 = self.worn.iter().map(|t| log(t / half)).sum();
            let pulls: f64 = self.all.iter().map(|t| pow(t / half, shape) * log(t / half)).sum();
            self.worn_count() / shape + logs - log(2.0) * pulls
        };
        self.likelihood(half, halved(1e-3, SHARPEST, slope))
    }

    /// How far from the best half-life the profile stays above `least`; zero or without bound
    /// where it does so for good.
    fn until(&self, half: f64, outward: f64, least: f64) -> f64 {
        let far = 20.0;
        let at = |log_off: f64| half * exp(outward * log_off);
        if self.profile(at(far)) > least {
            return if outward < 0.0 { 0.0 } else { f64::INFINITY };
        }
        at(halved(0.0, far, |log_off| self.profile(at(log_off)) - least))
    }
}

/// Where a falling function passes zero.
fn halved(mut low: f64, mut high: f64, falling: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..52 {
        let middle = f64::midpoint(low, high);
        if falling(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sizes::noise::Noise;
    use proptest::prelude::*;

    const SURE: Probability = Probability::from_ratio(0.95);

    fn used(minutes: f64, end: End) -> Use {
        Use { cut: Seconds::from_s(60.0 * minutes), end }
    }

    #[test]
    fn an_edge_changed_early_lengthens_the_life() {
        let worn: Vec<Use> = [21.0, 25.0, 30.0, 33.0].map(|it| used(it, End::Worn)).to_vec();
        let alone = EdgeLife::of(&worn, SURE).unwrap();
        let mut with = worn.clone();
        with.extend([used(28.0, End::Early), used(31.0, End::Early)]);
        let longer = EdgeLife::of(&with, SURE).unwrap();
        assert!(longer.half.nominal.s() > alone.half.nominal.s());
        assert_eq!((longer.worn, longer.early), (4, 2));
        // One that was changed as good as new says next to nothing.
        with.push(used(0.01, End::Early));
        let same = EdgeLife::of(&with, SURE).unwrap();
        assert!((same.half.nominal.s() / longer.half.nominal.s() - 1.0).abs() < 1e-3);
    }

    #[test]
    fn too_few_or_all_the_same_are_refused() {
        let two = [used(5.0, End::Worn), used(6.0, End::Worn), used(7.0, End::Early)];
        assert!(EdgeLife::of(&two, SURE).is_err());
        assert!(EdgeLife::of(&[used(5.0, End::Worn); 5], SURE).is_err());
        assert!(EdgeLife::of(&[used(0.0, End::Worn); 5], SURE).is_err());
    }

    #[test]
    fn the_range_of_the_half_life_holds_the_truth() {
        // Twelve edges of shape 4, of which about half are changed early.
        let (mut noise, runs) = (Noise::new(41), 250);
        let truth = 1800.0;
        let mut inside = 0;
        for _ in 0..runs {
            let uses: Vec<Use> = (0..12)
                .map(|_| {
                    let life = truth * pow(-log(noise.unit()) / log(2.0), 0.25);
                    let change = truth * (0.6 + 0.8 * noise.unit());
                    let end = if life < change { End::Worn } else { End::Early };
                    Use { cut: Seconds::from_s(life.min(change)), end }
                })
                .collect();
            let Ok(life) = EdgeLife::of(&uses, SURE) else { continue };
            inside += u32::from(life.half.low.s() <= truth && truth <= life.half.high.s());
        }
        let share = f64::from(inside) / f64::from(runs);
        assert!((0.90..0.985).contains(&share), "{share}");
    }

    proptest! {
        #[test]
        fn any_uses_give_an_order_or_an_error(
            cuts in prop::collection::vec((1e-9_f64..1e9, any::<bool>()), 0..14),
        ) {
            let end = |worn| if worn { End::Worn } else { End::Early };
            let uses: Vec<Use> = cuts
                .into_iter()
                .map(|(s, worn)| Use { cut: Seconds::from_s(s), end: end(worn) })
                .collect();
            if let Ok(life) = EdgeLife::of(&uses, SURE) {
                prop_assert!(life.half.low.s() <= life.half.nominal.s() * (1.0 + 1e-9));
                prop_assert!(life.half.nominal.s() <= life.half.high.s() * (1.0 + 1e-9));
                prop_assert!(life.life.low.s() <= life.life.high.s());
            }
        }
    }
}
