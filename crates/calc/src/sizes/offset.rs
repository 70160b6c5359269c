//! The next move of an offset: only where the sizes say more than chance does.
//!
//! Moving an offset after every part by what that part was off makes sizes scatter more, not less:
//! twice the variance (Deming's funnel). Here a move waits until the mean, or the line where the
//! size surely drifts, is off its aim by more than three of its own standard errors.

use super::series::{Moved, Reading, in_order, since, sizes, without_moves};
use super::summary::exact;
use super::trend::Trend;
use crate::figure::BadFigure;
use model::Length;
use model::quantity::Probability;

/// What a move of an offset is decided by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Aim {
    /// The size that is aimed at, mostly the middle between the limits.
    pub size: Length,
    /// Standard deviation of single sizes where nothing changes, from a chart
    /// ([`super::chart::Chart`]).
    pub sigma: Length,
    /// Least move that is worth one.
    pub least: Length,
    /// Smallest step of an offset on the control.
    pub step: Length,
    /// Parts to be made until sizes are looked at again: a size that drifts is aimed so that it
    /// passes its aim halfway there.
    pub ahead: u32,
}

/// What to do with the offset.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Advice {
    /// Too few readings since the last move or change to tell.
    TooFew {
        /// Readings that there are.
        have: u32,
        /// Readings that it takes.
        need: u32,
    },
    /// Leave it: it is not off by more than chance makes it.
    Leave {
        /// How far the size is off its aim, as the readings have it.
        off: Length,
        /// How far off it would have to be.
        deadband: Length,
    },
    /// Move it.
    Move {
        /// By how much the size is to grow.
        by: Length,
        /// How far the size is off its aim.
        off: Length,
        /// How far off it would have had to be.
        deadband: Length,
        /// Whether wear until the next look is in it.
        drifts: bool,
    },
}

/// Fewest readings since the last move or change of edge.
pub const FEWEST: u32 = 4;
/// Standard errors that the size must be off its aim.
const ERRORS: f64 = 3.0;
/// Chance with which a drift that is none is taken for one.
const DRIFT_BY_CHANCE: f64 = 0.001;

/// What to do with the offset, from the readings since the edge was new, outliers set apart, and
/// the moves since then.
///
/// Off its aim by more than `3·sigma/√n` over the n readings since the last move, and by at least
/// `least`, the size is moved onto it, rounded to `step`. A drift that is sure over all readings, moves
/// taken out (Student's test, one in a thousand), is followed to the last part, and half of what it
/// will add until the next look is taken off too; the deadband is then three standard errors of the
/// line there.
/// Valid: `sigma` from some twenty readings or more; from few it is too small as often as too large.
/// A drift that is not straight is followed the better the fewer old readings are given; sixty do.
/// Source: common practice for the deadband; the three errors are those of a control chart.
/// Held to: simulation in `sizes/simulated.rs`: over pure chance the variance of the sizes grows by
/// less than 3 % against leaving the offset alone, where a move after every part doubles it; with
/// drift it is less than with a move after every part.
///
/// # Errors
/// Readings out of order, a `sigma` or `step` of zero or less.
pub fn next_move(readings: &[Reading], moves: &[Moved], aim: Aim) -> Result<Advice, BadFigure> {
    in_order(readings)?;
    if !(aim.sigma.is_positive() && aim.step.is_positive()) {
        return Err(BadFigure { what: "sigma and step", must: "lengths above zero" });
    }
    let few = |have| Ok(Advice::TooFew { have, need: FEWEST });
    let Some(last) = readings.last().filter(|_| readings.len() >= FEWEST as usize) else {
        return few(readings.len() as u32);
    };
    let trend = Trend::of(&without_moves(readings, moves))?;
    if trend.is_sure(Probability::from_ratio(DRIFT_BY_CHANCE))? {
        // A move after the last part has its effect on the next one.
        let all: Length = moves.iter().map(|it| it.by).sum();
        let wear = trend.at(last.part.saturating_add(aim.ahead)) - trend.at(last.part);
        let now = trend.at(last.part) + all;
        return Ok(aim.advice(now, trend.error_at(last.part), Some(wear)));
    }
    let from = moves.iter().map(|it| it.before).max().unwrap_or(0);
    let sizes = sizes(&since(readings, from));
    if sizes.len() < FEWEST as usize {
        return few(sizes.len() as u32);
    }
    let error = aim.sigma.mm() / (sizes.len() as f64).sqrt();
    let mean = exact(&sizes)?.mean;
    Ok(aim.advice(Length::nearest_mm(mean / 1e6), Length::nearest_mm(error), None))
}

impl Aim {
    /// What to do where the size is now so large, give or take this standard error, and drifts by so
    /// much until the next look.
    fn advice(&self, now: Length, error: Length, wear: Option<Length>) -> Advice {
        let off = now - self.size;
        let deadband = Length::nearest_mm(ERRORS * error.mm()).max(self.least);
        let by = to_step(-(off + wear.unwrap_or_default().half()), self.step);
        if off.abs() <= deadband || by == Length::ZERO {
            return Advice::Leave { off, deadband };
        }
        Advice::Move { by, off, deadband, drifts: wear.is_some() }
    }
}

/// The nearest whole number of steps.
fn to_step(by: Length, step: Length) -> Length {
    let half = step.half();
    let steps = (by.abs() + half) / step;
    if by.is_negative() { step * -steps } else { step * steps }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const AIM: Aim = Aim {
        size: Length::from_mm(12),
        sigma: Length::from_um(3),
        least: Length::from_um(2),
        step: Length::from_um(1),
        ahead: 0,
    };

    fn readings(um: &[i64]) -> Vec<Reading> {
        let each = um.iter().zip(1..);
        each.map(|(um, part)| Reading { part, size: AIM.size + Length::from_um(*um) }).collect()
    }

    #[test]
    fn chance_is_left_alone_and_a_real_shift_is_taken_back() {
        let left = next_move(&readings(&[3, -2, 4, 1]), &[], AIM).unwrap();
        let (off, deadband) = (Length::from_nm(1500), Length::from_nm(4500));
        assert_eq!(left, Advice::Leave { off, deadband });
        let moved = next_move(&readings(&[9, 7, 8, 12]), &[], AIM).unwrap();
        let Advice::Move { by, drifts, .. } = moved else { panic!("{moved:?}") };
        assert_eq!((by, drifts), (Length::from_um(-9), false));
        assert_eq!(
            next_move(&readings(&[30, 30, 30]), &[], AIM),
            Ok(Advice::TooFew { have: 3, need: 4 })
        );
    }

    #[test]
    fn a_drift_is_followed_to_the_last_part_and_half_way_ahead() {
        let aim = Aim { ahead: 10, ..AIM };
        let moved = next_move(&readings(&[2, 4, 6, 8, 10, 12]), &[], aim).unwrap();
        // Off by 12 at the last part; 20 more until the next look, half of them now.
        let Advice::Move { by, off, drifts: true, .. } = moved else { panic!("{moved:?}") };
        assert_eq!((by, off), (Length::from_um(-22), Length::from_um(12)));
    }

    #[test]
    fn a_move_that_was_not_gauged_yet_is_not_made_twice() {
        let by = |um| Moved { before: 5, by: Length::from_um(um) };
        let off = readings(&[9, 7, 8, 12]);
        assert_eq!(next_move(&off, &[by(-9)], AIM), Ok(Advice::TooFew { have: 0, need: 4 }));
        // With a sure drift the move is reckoned with at once.
        let drifting = readings(&[2, 4, 6, 8]);
        let left = next_move(&drifting, &[by(-8)], AIM).unwrap();
        assert!(matches!(left, Advice::Leave { off, .. } if off == Length::ZERO), "{left:?}");
    }

    proptest! {
        #[test]
        fn no_readings_make_it_panic(
            sizes in prop::collection::vec(any::<i64>(), 0..9),
            figures in any::<[i64; 4]>(),
            ahead in any::<u32>(),
            moves in prop::collection::vec((0_u32..12, any::<i64>()), 0..4),
        ) {
            let moved = |(before, nm)| Moved { before, by: Length::from_nm(nm) };
            let moves: Vec<Moved> = moves.into_iter().map(moved).collect();
            let [size, sigma, least, step] = figures.map(Length::from_nm);
            let each = sizes.into_iter().zip(1..);
            let readings: Vec<Reading> =
                each.map(|(nm, part)| Reading { part, size: Length::from_nm(nm) }).collect();
            let _ = next_move(&readings, &moves, Aim { size, sigma, least, step, ahead });
        }

        #[test]
        fn a_move_is_whole_steps_toward_the_aim(
            um in prop::collection::vec(-60_i64..60, 4..12), step in 1_i64..5,
        ) {
            let step = Length::from_um(step);
            if let Advice::Move { by, off, deadband, drifts: false } =
                next_move(&readings(&um), &[], Aim { step, ..AIM }).unwrap()
            {
                prop_assert_eq!(by % step, Length::ZERO);
                prop_assert!((off + by).abs() <= step.half() + Length::from_nm(1));
                prop_assert!(off.abs() > deadband);
            }
        }
    }
}
