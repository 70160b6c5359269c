//! Whether just these bars hold just these pieces: bar after bar, each with the longest piece that is left,
//! never wasting more than there is to waste.

use crate::problem::{Pattern, Problem};
use crate::solve::Patterns;
use std::collections::HashSet;

/// Most fillings of one bar that are tried.
const FILLINGS: usize = 400;

/// One search.
struct Pack<'p> {
    problem: &'p Problem,
    /// Rows by the length of one piece, the longest first.
    order: Vec<usize>,
    /// What was tried and did not come out.
    dead: HashSet<Left>,
    steps: u32,
    /// Whether every filling that can matter was tried so far.
    whole: bool,
}

/// What a search came to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Packed {
    /// It fits so.
    So(Patterns),
    /// It does not fit: everything was tried.
    Never,
    /// Nothing was found in so many steps.
    NotFound,
}

/// What is left to pack, and what into.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(crate) struct Left {
    /// The amount of each row.
    pub(crate) wanted: Vec<u32>,
    /// Bars of each kind.
    pub(crate) there: Vec<u32>,
    /// Blanks that each row may still take, where they are counted.
    pub(crate) blanks: Vec<Option<u32>>,
}

/// Packs what is wanted into just these bars, in so many steps.
pub(crate) fn pack(problem: &Problem, mut left: Left, steps: u32) -> Packed {
    let mut order: Vec<usize> = (0..left.wanted.len()).collect();
    order.sort_by_key(|row| std::cmp::Reverse(problem.rows[*row].length(1)));
    let mut pack = Pack { problem, order, dead: HashSet::new(), steps, whole: true };
    let mut bars = Vec::new();
    let spare = pack.spare(&left);
    if !pack.bar(&mut left, spare, &mut bars) {
        return if pack.whole { Packed::Never } else { Packed::NotFound };
    }
    let mut patterns = Patterns::new();
    for pattern in bars {
        match patterns.iter_mut().find(|(it, _)| *it == pattern) {
            Some((_, times)) => *times += 1,
            None => patterns.push((pattern, 1)),
        }
    }
    Packed::So(patterns)
}

impl Left {
    /// Takes a filling out of what is left (`sign` 1), or puts it back (-1).
    fn take(&mut self, problem: &Problem, bar: usize, amounts: &[u32], sign: i32) {
        let less = |it: &mut u32, by: u32| *it = it.wrapping_add_signed(-sign * by as i32);
        less(&mut self.there[bar], 1);
        for (row, amount) in amounts.iter().enumerate() {
            less(&mut self.wanted[row], *amount);
            if let Some(blanks) = &mut self.blanks[row] {
                less(blanks, problem.rows[row].blanks(*amount));
            }
        }
    }

    /// Whether the blanks that may still be taken are enough.
    fn has_blanks(&self, problem: &Problem) -> bool {
        let rows = problem.rows.iter().zip(&self.wanted).zip(&self.blanks);
        rows.into_iter().all(|((row, wanted), blanks)| {
            blanks.is_none_or(|blanks| blanks >= row.blanks(*wanted))
        })
    }
}

impl Pack<'_> {
    /// What the bars have beyond the least that the pieces take.
    fn spare(&self, left: &Left) -> i64 {
        let rooms = self.problem.bars.iter().zip(&left.there);
        let rooms: i64 = rooms.map(|(bar, there)| bar.room * i64::from(*there)).sum();
        let pieces = self.problem.rows.iter().zip(&left.wanted);
        rooms - pieces.map(|(row, wanted)| row.length(*wanted)).sum::<i64>()
    }

    /// Fills one more bar; `true` where all comes out.
    fn bar(&mut self, left: &mut Left, spare: i64, bars: &mut Vec<Pattern>) -> bool {
        let Some(first) = self.order.iter().position(|row| left.wanted[*row] > 0) else {
            return true;
        };
        if spare < 0 || self.dead.contains(left) {
            return false;
        }
        if self.steps == 0 {
            self.whole = false;
            return false;
        }
        self.steps -= 1;
        for kind in (0..left.there.len()).filter(|kind| left.there[*kind] > 0).collect::<Vec<_>>() {
            for (waste, amounts) in self.fillings(kind, first, &left.wanted, spare) {
                left.take(self.problem, kind, &amounts, 1);
                bars.push(Pattern { bar: kind, amounts: amounts.clone() });
                if left.has_blanks(self.problem) && self.bar(left, spare - waste, bars) {
                    return true;
                }
                bars.pop();
                left.take(self.problem, kind, &amounts, -1);
                if self.steps == 0 {
                    self.whole = false;
                    return false;
                }
            }
        }
        self.dead.insert(left.clone());
        false
    }

    /// Fillings with the longest piece that waste no more than may be wasted, the least waste first.
    fn fillings(
        &mut self,
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
        self.whole &= steps > 0 && found.len() <= FILLINGS;
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
