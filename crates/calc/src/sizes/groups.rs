//! Readings in groups of parts that were gauged close together: what scatters within a group is chance, what
//! moves from group to group is not.

use super::range::Constants;
use super::series::{Moved, Reading, in_order};
use crate::figure::BadFigure;

/// Readings in groups of one size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Groups {
    /// Readings in each group.
    pub of: u32,
    /// The full groups, in the order of their parts.
    pub full: Vec<Vec<Reading>>,
    /// Readings that are in none.
    pub alone: Vec<Reading>,
}

/// How much farther than is usual the next part must be gauged for a new group to begin.
const FAR: u32 = 2;

impl Groups {
    /// Groups of `of` readings that follow each other. A new one begins where it is full, where more than twice
    /// the usual step (the lower median) leads to the next part, and where the offset was moved: so five parts
    /// gauged in a row each hour stay together although one of them was set apart.
    ///
    /// Valid: groups of 2 to 25.
    /// Source: rational subgroups, ISO 7870-2 and ASTM E2587, from memory; the rule by steps is our own.
    ///
    /// # Errors
    /// Another size of group; readings out of order.
    pub fn of(readings: &[Reading], moves: &[Moved], of: u32) -> Result<Groups, BadFigure> {
        Constants::of(of)?;
        let readings = in_order(readings)?;
        let far = FAR.saturating_mul(usual_step(readings));
        let together = |a: &Reading, b: &Reading| {
            b.part - a.part <= far
                && !moves.iter().any(|it| a.part < it.before && it.before <= b.part)
        };
        let mut groups = Groups { of, full: Vec::new(), alone: Vec::new() };
        for near in readings.chunk_by(together) {
            let full = near.chunks_exact(of as usize);
            groups.alone.extend(full.remainder());
            groups.full.extend(full.map(<[Reading]>::to_vec));
        }
        Ok(groups)
    }
}

/// The lower median of the steps from part to part; of a single reading none.
fn usual_step(readings: &[Reading]) -> u32 {
    let mut steps: Vec<u32> = readings.windows(2).map(|pair| pair[1].part - pair[0].part).collect();
    steps.sort_unstable();
    steps.get(steps.len().saturating_sub(1) / 2).copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::Length;
    use proptest::prelude::*;

    fn readings(parts: impl IntoIterator<Item = u32>) -> Vec<Reading> {
        parts
            .into_iter()
            .map(|part| Reading { part, size: Length::from_um(i64::from(part)) })
            .collect()
    }

    fn parts(groups: &Groups) -> (Vec<Vec<u32>>, Vec<u32>) {
        let parts = |it: &[Reading]| it.iter().map(|it| it.part).collect();
        (groups.full.iter().map(|it| parts(it)).collect(), parts(&groups.alone))
    }

    #[test]
    fn parts_gauged_in_a_row_stay_together() {
        // Three in a row at every fiftieth part; part 51 was set apart.
        let readings = readings([1, 2, 3, 50, 52, 100, 101, 102]);
        let groups = Groups::of(&readings, &[], 3).unwrap();
        assert_eq!(parts(&groups), (vec![vec![1, 2, 3], vec![100, 101, 102]], vec![50, 52]));
    }

    #[test]
    fn even_steps_are_counted_off() {
        let readings = readings((1..=7).map(|it| it * 5));
        let groups = Groups::of(&readings, &[], 3).unwrap();
        assert_eq!(parts(&groups), (vec![vec![5, 10, 15], vec![20, 25, 30]], vec![35]));
    }

    #[test]
    fn no_group_goes_over_a_move() {
        let moves = [Moved { before: 21, by: Length::from_um(-4) }];
        let groups = Groups::of(&readings((1..=8).map(|it| it * 5)), &moves, 3).unwrap();
        assert_eq!(parts(&groups), (vec![vec![5, 10, 15], vec![25, 30, 35]], vec![20, 40]));
    }

    proptest! {
        #[test]
        fn every_reading_is_somewhere_once(
            steps in prop::collection::vec(1_u32..90, 0..60),
            moves in prop::collection::vec(0_u32..2_000, 0..4),
            of in 2_u32..7,
        ) {
            let mut part = 0;
            let readings = readings(steps.into_iter().map(|step| { part += step; part }));
            let moves: Vec<Moved> = moves.into_iter().map(|before| Moved { before, by: Length::from_um(3) }).collect();
            let groups = Groups::of(&readings, &moves, of).unwrap();
            let mut all: Vec<Reading> = groups.full.iter().flatten().chain(&groups.alone).copied().collect();
            all.sort_by_key(|it| it.part);
            prop_assert_eq!(all, readings);
            for group in &groups.full {
                prop_assert_eq!(group.len(), of as usize);
                let (first, last) = (group[0].part, group[of as usize - 1].part);
                prop_assert!(!moves.iter().any(|it| first < it.before && it.before <= last));
            }
        }

        #[test]
        fn no_readings_make_it_panic(
            parts in prop::collection::vec(any::<u32>(), 0..9),
            moves in prop::collection::vec(any::<u32>(), 0..3),
            of in any::<u32>(),
        ) {
            let moves: Vec<Moved> = moves.into_iter().map(|before| Moved { before, by: Length::ZERO }).collect();
            let _ = Groups::of(&readings(parts), &moves, of);
        }
    }
}
