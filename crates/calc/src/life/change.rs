//! Edges of an order, and when to change them.

use crate::OutOfRange;
use crate::cutting::above_zero;
use model::quantity::Seconds;

/// Whole parts that one edge makes.
///
/// `floor(life / cutting time of a part)`; a part in a hundred million is given for the rounding
/// of binary figures.
/// Valid: life not negative, cutting time above zero; at most `u32::MAX` parts are counted.
/// Source: arithmetic.
/// Held to: `handbook/life.toml`.
///
/// # Errors
/// A figure outside of that.
pub fn parts_per_edge(life: Seconds, cutting: Seconds) -> Result<u32, OutOfRange> {
    let parts = life.s() / above_zero(cutting.s())?;
    if parts >= 0.0 { Ok((parts * (1.0 + 1e-8)).floor() as u32) } else { Err(OutOfRange) }
}

/// Edges that an order takes, changed only when they must be.
///
/// Quantity over parts per edge, rounded up.
/// Valid: at least one part per edge.
/// Source: arithmetic.
/// Held to: `handbook/life.toml`.
///
/// # Errors
/// No part per edge.
pub fn edges_for(quantity: u32, parts_per_edge: u32) -> Result<u32, OutOfRange> {
    if parts_per_edge == 0 { Err(OutOfRange) } else { Ok(quantity.div_ceil(parts_per_edge)) }
}

/// One change of an edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Change {
    /// The first part of the order that the new edge makes, from 1.
    pub before_part: u64,
    /// The bar that is in the spindle then, from 1.
    pub bar: usize,
    /// Whether a new bar goes in just then, so that the lathe is not stopped for the edge alone.
    pub with_bar: bool,
}

/// Most changes that a plan may hold.
pub const MOST_CHANGES: usize = 100_000;

/// When to change an edge in an order of several bars, so that it must not be changed inside a bar
/// where that can be helped.
///
/// A new edge goes in with a bar where that leaves fewer changes inside this bar than the old one
/// would; an edge is never used beyond its parts. The first edge is new and not in the plan.
/// Valid: at least one part per edge.
/// Source: counting; the best for each bar in turn.
/// Held to: the unit tests here, against every possible plan.
///
/// # Errors
/// No part per edge, or more than [`MOST_CHANGES`].
pub fn change_plan(parts_of_bars: &[u32], parts_per_edge: u32) -> Result<Vec<Change>, OutOfRange> {
    if parts_per_edge == 0 {
        return Err(OutOfRange);
    }
    let mut plan = Vec::new();
    let (mut left, mut made) = (parts_per_edge, 0_u64);
    for (index, &parts) in parts_of_bars.iter().enumerate() {
        let inside = |left: u32| parts.saturating_sub(left).div_ceil(parts_per_edge);
        let bar = index + 1;
        if inside(parts_per_edge) < inside(left) {
            plan.push(Change { before_part: made + 1, bar, with_bar: true });
            left = parts_per_edge;
        }
        if plan.len() + inside(left) as usize > MOST_CHANGES {
            return Err(OutOfRange);
        }
        let mut todo = parts;
        while todo > left {
            todo -= left;
            made += u64::from(left);
            left = parts_per_edge;
            plan.push(Change { before_part: made + 1, bar, with_bar: false });
        }
        left -= todo;
        made += u64::from(todo);
    }
    Ok(plan)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn an_edge_of_100_parts_is_changed_with_every_second_bar_of_44() {
        // By hand: bars end at 44, 88, 132, 176, 220; 100 parts reach into the third.
        let plan = change_plan(&[44; 5], 100).unwrap();
        let change = |before_part, bar| Change { before_part, bar, with_bar: true };
        assert_eq!(plan, [change(89, 3), change(177, 5)]);
    }

    #[test]
    fn an_edge_of_30_parts_must_be_changed_inside_a_bar_of_44() {
        let plan = change_plan(&[44, 44], 30).unwrap();
        let change = |before_part, bar, with_bar| Change { before_part, bar, with_bar };
        // 16 parts of the second edge are left; 28 more would need one change inside the second
        // bar, and so would a new edge: the old one is used up.
        assert_eq!(plan, [change(31, 1, false), change(61, 2, false)]);
    }

    /// Fewest changes inside bars over every plan: with each bar a new edge or not.
    fn fewest(bars: &[u32], edge: u32) -> u32 {
        (0..1_u32 << bars.len())
            .map(|new| {
                let (mut left, mut inside) = (edge, 0);
                for (index, &parts) in bars.iter().enumerate() {
                    if new >> index & 1 == 1 {
                        left = edge;
                    }
                    for _ in 0..parts {
                        if left == 0 {
                            inside += 1;
                            left = edge;
                        }
                        left -= 1;
                    }
                }
                inside
            })
            .min()
            .unwrap()
    }

    proptest! {
        #[test]
        fn no_plan_has_fewer_changes_inside_a_bar(
            bars in proptest::collection::vec(0_u32..30, 0..7),
            edge in 1_u32..40,
        ) {
            let plan = change_plan(&bars, edge).unwrap();
            let inside = plan.iter().filter(|change| !change.with_bar).count();
            prop_assert_eq!(inside as u32, fewest(&bars, edge));
            // No edge makes more than its parts.
            let total: u64 = bars.iter().map(|parts| u64::from(*parts)).sum();
            let ends = plan.iter().map(|change| change.before_part).chain([total + 1]);
            let mut from = 1;
            for end in ends {
                prop_assert!(end - from <= u64::from(edge));
                from = end;
            }
        }
    }
}
