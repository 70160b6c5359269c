//! The speeds at which a part is cheapest, and made soonest.

use super::Taylor;
use crate::OutOfRange;
use crate::cutting::{above_zero, finite};
use model::quantity::{Seconds, SurfaceSpeed};

/// What a new edge takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edge {
    /// Time to change or index it.
    pub change: Seconds,
    /// Its price, in the same money as the rate.
    pub price: f64,
}

/// What a part takes beside its edges.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// Time in which nothing is cut.
    pub idle: Seconds,
    /// Way of the edge along the surface, in m: cutting time times speed.
    pub way_m: f64,
}

impl Part {
    fn cutting_minutes(&self, speed: SurfaceSpeed) -> Result<f64, OutOfRange> {
        finite(above_zero(self.way_m)? / above_zero(speed.m_per_min())?)
    }
}

/// Life of an edge at which the most parts are made.
///
/// `T = (1/n − 1)·t`, t the time to change an edge.
/// Valid: `0 < n < 1`, change time above zero.
/// Source: Gilbert 1950; textbooks.
/// Held to: `handbook/life.toml`.
///
/// # Errors
/// A figure outside of that.
pub fn fastest_life(law: &Taylor, edge: &Edge) -> Result<Seconds, OutOfRange> {
    scaled(law, edge.change.s())
}

/// Life of an edge at which a part is cheapest.
///
/// `T = (1/n − 1)·(t + price/rate)`, the rate in money for each minute of lathe and person.
/// Valid: `0 < n < 1`, change time and price not negative and not both zero, rate above zero.
/// Source: Gilbert 1950; textbooks.
/// Held to: `handbook/life.toml`.
///
/// # Errors
/// A figure outside of that.
pub fn cheapest_life(
    law: &Taylor,
    edge: &Edge,
    rate_per_minute: f64,
) -> Result<Seconds, OutOfRange> {
    if !(edge.change.s() >= 0.0 && edge.price >= 0.0) {
        return Err(OutOfRange);
    }
    scaled(law, edge.change.s() + 60.0 * edge.price / above_zero(rate_per_minute)?)
}

fn scaled(law: &Taylor, seconds: f64) -> Result<Seconds, OutOfRange> {
    let factor = above_zero(1.0 / above_zero(law.n)? - 1.0)?;
    Ok(Seconds::from_s(finite(factor * above_zero(seconds)?)?))
}

/// Time of a part at a speed, its share of the edge changes with it.
///
/// `t = idle + Tm + change·Tm/T(v)`, Tm the cutting time.
/// Valid: speed and way above zero.
/// Source: textbooks of metal cutting.
/// Held to: `handbook/life.toml`.
///
/// # Errors
/// A figure outside of that, or beyond all numbers.
pub fn part_time(
    law: &Taylor,
    edge: &Edge,
    part: &Part,
    speed: SurfaceSpeed,
) -> Result<Seconds, OutOfRange> {
    let cutting = 60.0 * part.cutting_minutes(speed)?;
    let share = cutting / above_zero(law.life(speed)?.s())?;
    Ok(Seconds::from_s(finite(part.idle.s() + cutting + edge.change.s() * share)?))
}

/// Cost of a part at a speed, its share of the edges with it.
///
/// `rate·t + price·Tm/T(v)` with the time t of [`part_time`].
/// Valid: speed and way above zero.
/// Source: textbooks of metal cutting.
/// Held to: `handbook/life.toml`.
///
/// # Errors
/// A figure outside of that, or beyond all numbers.
pub fn part_cost(
    law: &Taylor,
    edge: &Edge,
    part: &Part,
    rate_per_minute: f64,
    speed: SurfaceSpeed,
) -> Result<f64, OutOfRange> {
    let minutes = part_time(law, edge, part, speed)?.s() / 60.0;
    let share = 60.0 * part.cutting_minutes(speed)? / above_zero(law.life(speed)?.s())?;
    finite(rate_per_minute * minutes + edge.price * share)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// The closed forms are where the figures themselves are least: any other speed costs more.
        #[test]
        fn no_speed_beats_the_closed_forms(
            (n, c) in (0.08_f64..0.6, 20.0_f64..900.0),
            (change, price, rate) in (0.2_f64..10.0, 0.1_f64..20.0, 0.1_f64..5.0),
            (off, way) in (0.5_f64..2.0, 1.0_f64..2000.0),
        ) {
            let law = Taylor::new(n, SurfaceSpeed::from_m_per_min(c)).unwrap();
            let edge = Edge { change: Seconds::from_s(60.0 * change), price };
            let part = Part { idle: Seconds::from_s(30.0), way_m: way };
            let fastest = law.speed(fastest_life(&law, &edge).unwrap()).unwrap();
            let cheapest = law.speed(cheapest_life(&law, &edge, rate).unwrap()).unwrap();
            prop_assert!(cheapest <= fastest);
            let other = |speed: SurfaceSpeed| SurfaceSpeed::from_m_per_min(speed.m_per_min() * off);
            let time = |speed| part_time(&law, &edge, &part, speed).unwrap().s();
            let cost = |speed| part_cost(&law, &edge, &part, rate, speed).unwrap();
            prop_assert!(time(fastest) <= time(other(fastest)) * (1.0 + 1e-12));
            prop_assert!(cost(cheapest) <= cost(other(cheapest)) * (1.0 + 1e-12));
        }
    }
}
