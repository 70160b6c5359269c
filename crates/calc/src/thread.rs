//! Threads: turns of the spindle, the depths of their passes, and the stretches at both ends where
//! the lead is not yet, or no longer, what it should be.
//!
//! Leads and depths are millimeters here; the caller keeps places exact.

use crate::OutOfRange;
use model::Length;
use model::quantity::SpindleSpeed;

/// Turns of the spindle over a way along the leading axis, both in mm, with a lead that grows by
/// `change` mm with every turn.
///
/// `way = lead·n + change·n²/2`, solved for `n`; with no change `way / lead`.
/// Valid: lead above zero; none where the lead would shrink to nothing before the end.
/// Source: the definition of a lead that changes evenly; from memory.
/// Held to: `handbook/thread.toml`.
pub fn turns(way: f64, lead: f64, change: f64) -> Option<f64> {
    if !(way >= 0.0 && lead > 0.0) {
        return None;
    }
    if change == 0.0 {
        return Some(way / lead);
    }
    let root = lead * lead + 2.0 * change * way;
    // As a quotient of the way: no difference of nearly equal numbers.
    (root >= 0.0).then(|| 2.0 * way / (lead + libm::sqrt(root)))
}

/// Depth of the n-th pass when every pass takes the same area of chip: `first · √n`.
///
/// Valid: passes from 1. The chip of a V thread fed in along a flank is a triangle, whose area
/// grows with the square of the depth.
/// Source: constant-area infeed; common practice, the formula from memory.
/// Held to: `handbook/thread.toml`.
///
/// # Errors
/// Pass 0.
pub fn depth_of_pass(first: Length, pass: u32) -> Result<Length, OutOfRange> {
    if pass == 0 {
        return Err(OutOfRange);
    }
    Ok(Length::nearest_mm(first.mm() * libm::sqrt(f64::from(pass))))
}

/// Depth of a pass of so many: `depth · √(ψ/(passes − 1))`, ψ 0.3 for the first pass, 1 for the second
/// and one less than its number for every later one. The first pass takes less than an equal area would
/// have it, since the edge meets a whole corner there.
///
/// Valid: passes from 2, the pass one of them.
/// Source: radial infeed of thread turning in the catalogs of two tool makers (a manual on threading, p. 114;
/// a general catalog of 2017, p. 685; both found). Equal areas ([`depth_of_pass`]) differ from it in the first
/// pass only.
/// Held to: `handbook/thread.toml`.
///
/// # Errors
/// Fewer than two passes, or a pass that is none of them.
pub fn depth_by_infeed(depth: Length, pass: u32, passes: u32) -> Result<Length, OutOfRange> {
    if passes < 2 || pass == 0 || pass > passes {
        return Err(OutOfRange);
    }
    let share = match pass {
        1 => 0.3,
        later => f64::from(later - 1),
    };
    Ok(Length::nearest_mm(depth.mm() * libm::sqrt(share / f64::from(passes - 1))))
}

/// How many passes a thread of this pitch usually takes in steel.
///
/// Valid: pitches to 6 mm; beyond, 18.
/// Source: the least passes for full-profile edges in a tool maker's catalog of 2011, p. 1262, for 1 to 3
/// mm; beside them the ranges of another's of 2017, p. 685 (both found).
/// Held to: `handbook/thread.toml`.
pub fn usual_passes(pitch: Length) -> u32 {
    const TABLE: [(i64, u32); 8] =
        [(750, 4), (1000, 5), (1500, 6), (2000, 8), (2500, 10), (3500, 12), (4500, 14), (6000, 16)];
    let row = TABLE.iter().find(|(most, _)| pitch <= Length::from_um(*most));
    row.map_or(18, |(_, passes)| *passes)
}

/// The stretch at the end of a thread whose lead is wrong because the axis slows down:
/// `lead · speed / 1800`, in mm and rev/min.
///
/// Valid: for servo axes that lag by about 33 ms (60 s / 1800); other lathes differ, see their
/// manual.
/// Source: common practice, from memory.
/// Held to: `handbook/thread.toml`.
pub fn wrong_at_end(lead: f64, speed: SpindleSpeed) -> Length {
    Length::nearest_mm(lead * speed.rpm() / 1800.0)
}

/// The stretch at the start of a thread whose lead is wrong by more than `allowed`, a share of the
/// lead: [`wrong_at_end`] `· (−1 − ln allowed)`.
///
/// Valid: `allowed` between 0 and 1/e, beyond which nothing is wrong: zero.
/// Source: common practice, from memory: the lag of a first-order axis.
/// Held to: `handbook/thread.toml`.
///
/// # Errors
/// `allowed` is not between 0 and 1.
pub fn wrong_at_start(lead: f64, speed: SpindleSpeed, allowed: f64) -> Result<Length, OutOfRange> {
    if !(allowed > 0.0 && allowed < 1.0) {
        return Err(OutOfRange);
    }
    let factor = (-1.0 - libm::log(allowed)).max(0.0);
    Ok(Length::nearest_mm(wrong_at_end(lead, speed).mm() * factor))
}

/// The highest spindle speed at which an axis can follow a lead: `speed / lead`.
///
/// Valid: lead above zero, else infinite.
/// Source: arithmetic.
/// Held to: `handbook/thread.toml`.
pub fn highest_speed(axis: model::quantity::FeedRate, lead: f64) -> SpindleSpeed {
    SpindleSpeed::from_rpm(if lead > 0.0 { axis.mm_per_min() / lead } else { f64::INFINITY })
}
