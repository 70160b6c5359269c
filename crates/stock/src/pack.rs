//! Whether just these bars hold just these pieces: bar after bar, each with the longest piece that is left,
//! never wasting more than there is to waste.

use crate::problem::{Pattern, Problem};
use crate::solve::Patterns;
use std::collections::HashSet;

/// Most fillings of one bar that are tried.
const FILLINGS: usize = 400;

/// What is left to pack.
pub(crate) struct Pack<'p> {
    problem: &'p Problem,
    /// Rows by the length of one piece, the longest first.
    order: Vec<usize>,
    /// What was tried and did not come out.
    dead: HashSet<Vec<u32>>,
    steps: u32,
}

/// Packs what is wanted into bars of which there are so many. None where it does not fit, or was not found in
/// so many steps.
pub(crate) fn pack(
    problem: &Problem,
    wanted: &[u32],
    there: &[u32],
    steps: u32,
) -> Option<Patterns> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by_key(|row| std::cmp::Reverse(problem.rows[*row].length(1)));
    let mut pack = Pack { problem, order, dead: HashSet::new(), steps };
    let mut bars = Vec::new();
    let mut wanted = wanted.to_vec();
    let mut there = there.to_vec();
    let spare = pack.spare(&wanted, &there);
    pack.bar(&mut wanted, &mut there, spare, &mut bars).then(|| {
        let mut patterns = Patterns::new();
        for pattern in bars {
            match patterns.iter_mut().find(|(it, _)| *it == pattern) {
                Some((_, times)) => *times += 1,
                None => patterns.push((pattern, 1)),
            }
        }
        patterns
    })
}

impl Pack<'_> {
    /// What the bars have beyond the least that the pieces take.
    fn spare(&self, wanted: &[u32], there: &[u32]) -> i64 {
        let rooms = self.problem.bars.iter().zip(there);
        let rooms: i64 = rooms.map(|(bar, there)| bar.room * i64::from(*there)).sum();
        let pieces = self.problem.rows.iter().zip(wanted);
        rooms - pieces.map(|(row, wanted)| row.length(*wanted)).sum::<i64>()
    }

    /// Fills one more bar; `true` where all comes out.
    fn bar(
        &mut self,
        wanted: &mut [u32],
        there: &mut [u32],
        spare: i64,
        bars: &mut Vec<Pattern>,
    ) -> bool {
        let Some(first) = self.order.iter().position(|row| wanted[*row] > 0) else { return true };
        if spare < 0 || self.steps == 0 {
            return false;
        }
        self.steps -= 1;
        let state: Vec<u32> = wanted.iter().chain(&*there).copied().collect();
        if self.dead.contains(&state) {
            return false;
        }
        for kind in 0..there.len() {
            if there[kind] == 0 {
                continue;
            }
            for (waste, amounts) in self.fillings(kind, first, wanted, spare) {
                there[kind] -= 1;
                wanted.iter_mut().zip(&amounts).for_each(|(wanted, amount)| *wanted -= amount);
                bars.push(Pattern { bar: kind, amounts });
                if self.bar(wanted, there, spare - waste, bars) {
                    return true;
                }
                there[kind] += 1;
                if let Some(back) = bars.pop() {
                    let every = wanted.iter_mut().zip(&back.amounts);
                    every.for_each(|(wanted, amount)| *wanted += amount);
                }
                if self.steps == 0 {
                    return false;
                }
            }
        }
        self.dead.insert(state);
        false
    }

    /// Fillings with the longest piece that waste no more than may be wasted, the least waste first.
    fn fillings(
        &self,
        bar: usize,
        first: usize,
        wanted: &[u32],
        spare: i64,
    ) -> Vec<(i64, Vec<u32>)> {
        let mut found = Vec::new();
        let mut amounts = vec![0; wanted.len()];
        let room = self.problem.bars[bar].room;
        let mut steps = 20_000;
        self.fill(first, first, room, wanted, spare, &mut amounts, &mut found, &mut steps);
        found.sort();
        found.truncate(FILLINGS);
        found
    }

    #[allow(clippy::too_many_arguments, reason = "one step of one search, which carries its state")]
    fn fill(
        &self,
        first: usize,
        index: usize,
        room: i64,
        wanted: &[u32],
        spare: i64,
        amounts: &mut [u32],
        found: &mut Vec<(i64, Vec<u32>)>,
        steps: &mut u32,
    ) {
        if *steps == 0 {
            return;
        }
        *steps -= 1;
        let Some(row) = self.order.get(index).copied() else {
            if room <= spare {
                found.push((room, amounts.to_vec()));
            }
            return;
        };
        let kind = &self.problem.rows[row];
        let most = kind.fits(room).min(wanted[row]);
        let least = u32::from(index == first);
        for amount in (least..=most).rev() {
            amounts[row] = amount;
            self.fill(
                first,
                index + 1,
                room - kind.length(amount),
                wanted,
                spare,
                amounts,
                found,
                steps,
            );
        }
        amounts[row] = 0;
    }
}
