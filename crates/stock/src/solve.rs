//! From a problem to the cheapest cut list, proven to be so or with what is left open.
//!
//! 1. A plain cut list, the largest pieces first.
//! 2. Without whole numbers ([`crate::relaxed`]): a first least cost.
//! 3. **Dives**: what is whole in that answer is taken, one more filling is chosen, the rest is asked again.
//! 4. The cheapest numbers of bars and blanks that escape nothing known so far ([`crate::least`]). Either
//!    there are none cheaper than the cut list at hand: it is proven. Or they cannot hold what is wanted even
//!    without whole numbers, which is one more thing that cannot be escaped. Or a dive into just these numbers
//!    finds a cut list, which is then the cheapest. Or every packing into them was tried and none fits. Or nothing
//!    of this comes out: the gap is told.

use crate::least::{self, Counts, Least};
use crate::pack::{self, Left, Packed};
use crate::problem::{Pattern, Problem};
use crate::relaxed::{self, Must, Pool, Question};

/// Patterns and how often each is cut.
pub type Patterns = Vec<(Pattern, u32)>;

/// The answer to a problem.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Solved {
    /// The best cut list found; none where no cut list was found.
    pub patterns: Option<Patterns>,
    /// What it costs, in the smallest coin; zero for none.
    pub cost: i64,
    /// What every cut list costs at least. Equal to `cost`: proven to be the cheapest.
    pub least: i64,
    /// Whether it is proven that the bars that are there cannot give what is wanted.
    pub impossible: bool,
}

impl Solved {
    /// Whether no cut list is cheaper.
    pub fn is_proven(&self) -> bool {
        self.patterns.is_some() && self.least >= self.cost
    }
}

/// Most dives into the same numbers.
const DIVES: usize = 24;
/// Most steps of packing just the bars that might do.
const STEPS: u32 = 60_000;
/// Most rounds of the proof.
const ROUNDS: usize = 400;

/// Solves a problem. `go_on` is asked now and then, and ends the work when it says `false`; the answer then
/// tells its gap.
pub fn solve(problem: &Problem, go_on: &mut dyn FnMut() -> bool) -> Solved {
    let mut work =
        Work { problem, pool: Pool::default(), best: None, musts: Vec::new(), refuted: Vec::new() };
    work.take(plain(problem));
    let everything: Vec<u32> = problem.rows.iter().map(|row| row.wanted).collect();
    let there: Vec<Option<u32>> = problem.bars.iter().map(|bar| bar.there).collect();
    let question = Question { wanted: &everything, there: &there, blanks: None };
    let first = relaxed::answer(problem, &question, &mut work.pool, go_on);
    work.musts.extend(first.map(|answer| least::with_settled(problem, answer.must)));
    let mut least = work.least_of_first();
    let free = vec![None; problem.rows.len()];
    for dive in 0..3 {
        if work.cost().is_some_and(|cost| cost <= least) || !go_on() {
            break;
        }
        let found = work.dive(&there, &free, dive, go_on);
        work.take(found);
    }
    let mut impossible = false;
    for _ in 0..ROUNDS {
        let limit = work.cost().unwrap_or(i64::MAX / 8);
        match least::counts(problem, &work.musts, &work.refuted, limit) {
            Least::GivenUp => break,
            Least::Nothing => {
                impossible = work.best.is_none();
                least = limit;
                break;
            }
            Least::Found(counts) => {
                least = least.max(counts.cost);
                if !go_on() || !work.settle(&counts, go_on) {
                    break;
                }
            }
        }
    }
    let cost = work.cost().unwrap_or(0);
    let least = if work.best.is_some() { least.min(cost) } else { least };
    Solved { patterns: work.best.map(|best| best.1), cost, least, impossible }
}

struct Work<'w> {
    problem: &'w Problem,
    pool: Pool,
    best: Option<(i64, Patterns)>,
    musts: Vec<Must>,
    /// Numbers of bars and blanks into which nothing fits, though nothing else says so.
    refuted: Vec<Counts>,
}

impl Work<'_> {
    fn cost(&self) -> Option<i64> {
        self.best.as_ref().map(|best| best.0)
    }

    /// Takes a cut list that is one, and cheaper than that at hand.
    fn take(&mut self, patterns: Option<Patterns>) {
        let Some(patterns) = patterns.filter(|it| self.problem.is_met(it)) else { return };
        let patterns = without_surplus(self.problem, patterns);
        if !self.problem.is_met(&patterns) {
            return;
        }
        let cost = total(self.problem, &patterns);
        for (pattern, _) in &patterns {
            self.pool.add(pattern.clone());
        }
        if self.cost().is_none_or(|best| cost < best) {
            self.best = Some((cost, patterns));
        }
    }

    /// The least cost by the first answer alone.
    fn least_of_first(&self) -> i64 {
        match least::counts(self.problem, &self.musts, &[], i64::MAX / 8) {
            Least::Found(counts) => counts.cost,
            Least::Nothing | Least::GivenUp => least::settled(self.problem),
        }
    }

    /// Settles whether these numbers of bars and blanks are enough: `true` where that is known afterward.
    fn settle(&mut self, counts: &Counts, go_on: &mut dyn FnMut() -> bool) -> bool {
        let everything: Vec<u32> = self.problem.rows.iter().map(|row| row.wanted).collect();
        let there: Vec<Option<u32>> = counts.bars.iter().map(|it| Some(*it)).collect();
        let blanks = Some(counts.blanks.as_slice());
        let question = Question { wanted: &everything, there: &there, blanks };
        let Some(answer) = relaxed::answer(self.problem, &question, &mut self.pool, go_on) else {
            return false;
        };
        let must = least::with_settled(self.problem, answer.must);
        if is_escaped(&must, counts) {
            self.musts.push(must);
            return true;
        }
        for dive in 0..DIVES {
            let found = self.dive(&there, &counts.blanks, dive, go_on);
            self.take(found);
            if self.cost().is_some_and(|cost| cost <= counts.cost) {
                return true;
            }
            if !go_on() {
                return false;
            }
        }
        let left =
            Left { wanted: everything, there: counts.bars.clone(), blanks: counts.blanks.clone() };
        match pack::pack(self.problem, left, STEPS) {
            Packed::So(patterns) => {
                self.take(Some(patterns));
                self.cost().is_some_and(|cost| cost <= counts.cost)
            }
            Packed::Never => {
                self.refuted.push(counts.clone());
                true
            }
            Packed::NotFound => false,
        }
    }

    /// One dive with these bars; which filling it prefers where none is whole hangs on the number of the dive.
    fn dive(
        &mut self,
        there: &[Option<u32>],
        blanks: &[Option<u32>],
        number: usize,
        go_on: &mut dyn FnMut() -> bool,
    ) -> Option<Patterns> {
        let wanted: Vec<u32> = self.problem.rows.iter().map(|row| row.wanted).collect();
        let (there, blanks) = (there.to_vec(), blanks.to_vec());
        let mut dive = Dive { wanted, there, blanks, taken: Patterns::new() };
        let mut step = 0;
        while dive.wanted.iter().any(|it| *it > 0) {
            if let Some(rest) = self.packed(&dive, step) {
                for (pattern, times) in rest {
                    add(&mut dive.taken, pattern, times);
                }
                return Some(dive.taken);
            }
            let question = Question { wanted: &dive.wanted, there: &dive.there, blanks: None };
            relaxed::answer(self.problem, &question, &mut self.pool, go_on)?;
            let shares = relaxed::shares(self.problem, &question, &self.pool)?;
            let chosen = choose(&shares, number, step)?;
            step += 1;
            let before = dive.wanted.clone();
            for (index, times) in chosen {
                let pattern = &self.pool.patterns[index];
                take_from(pattern, times, &mut dive.wanted, &mut dive.there, &mut dive.taken);
            }
            if dive.wanted == before {
                return None;
            }
        }
        Some(dive.taken)
    }
}

impl Work<'_> {
    /// What is left of a dive, packed bar by bar: where the bars are counted and few.
    fn packed(&self, dive: &Dive, step: usize) -> Option<Patterns> {
        let there: Option<Vec<u32>> = dive.there.iter().copied().collect();
        let there = there?;
        let bars: u32 = there.iter().sum();
        let steps = if bars <= 12 { 4_000 } else { 300 };
        let taken = |row: usize| -> u32 {
            let of = |(it, times): &(Pattern, u32)| {
                self.problem.rows[row].blanks(it.amounts[row]) * times
            };
            dive.taken.iter().map(of).sum()
        };
        let blanks = dive.blanks.iter().enumerate();
        let blanks = blanks.map(|(row, it)| it.map(|it| it.saturating_sub(taken(row)))).collect();
        let left = Left { wanted: dive.wanted.clone(), there, blanks };
        if step == 0 && bars > 30 {
            return None;
        }
        match pack::pack(self.problem, left, steps) {
            Packed::So(patterns) => Some(patterns),
            Packed::Never | Packed::NotFound => None,
        }
    }
}

/// How far a dive has come.
struct Dive {
    wanted: Vec<u32>,
    there: Vec<Option<u32>>,
    /// Blanks that each row may take in all, where they are counted.
    blanks: Vec<Option<u32>>,
    taken: Patterns,
}

/// Whether these numbers are not enough for what cannot be escaped.
fn is_escaped(must: &Must, counts: &Counts) -> bool {
    let bars = must.bar.iter().zip(&counts.bars);
    let bars: i128 = bars.map(|(part, count)| i128::from(*part) * i128::from(*count)).sum();
    let blanks = must.blank.iter().zip(&counts.blanks);
    let blanks: i128 =
        blanks.map(|(part, count)| i128::from(*part) * i128::from(count.unwrap_or(0))).sum();
    bars + blanks < must.need
}

/// The fillings to take now: all that are whole, or one of those that are used most in part.
fn choose(shares: &[f64], dive: usize, step: usize) -> Option<Vec<(usize, u32)>> {
    let whole = |share: f64| (share + 1e-6).floor() as u32;
    let every = shares.iter().enumerate();
    let taken: Vec<_> =
        every.map(|(index, it)| (index, whole(*it))).filter(|it| it.1 > 0).collect();
    if !taken.is_empty() {
        return Some(taken);
    }
    let mut parts: Vec<_> = shares.iter().enumerate().filter(|(_, it)| **it > 1e-6).collect();
    parts.sort_by(|a, b| b.1.total_cmp(a.1).then(a.0.cmp(&b.0)));
    // The first dive takes the largest part always; later ones another at one step each.
    let (at, which) = (dive % 6, dive / 6 + 1);
    let pick = if dive > 0 && step >= at { which.min(parts.len().saturating_sub(1)) } else { 0 };
    let pick = if dive > 0 && step > at { 0 } else { pick };
    parts.get(pick).map(|(index, _)| vec![(*index, 1)])
}

/// Cuts a filling as often as it is needed, the last time only for what is still wanted.
fn take_from(
    pattern: &Pattern,
    times: u32,
    wanted: &mut [u32],
    there: &mut [Option<u32>],
    taken: &mut Patterns,
) {
    for _ in 0..times {
        let amounts: Vec<u32> = pattern
            .amounts
            .iter()
            .zip(&*wanted)
            .map(|(amount, wanted)| (*amount).min(*wanted))
            .collect();
        let none_there = there[pattern.bar] == Some(0);
        if none_there || amounts.iter().all(|amount| *amount == 0) {
            return;
        }
        if let Some(there) = &mut there[pattern.bar] {
            *there -= 1;
        }
        wanted.iter_mut().zip(&amounts).for_each(|(wanted, amount)| *wanted -= amount);
        add(taken, Pattern { bar: pattern.bar, amounts }, 1);
    }
}

fn add(patterns: &mut Patterns, pattern: Pattern, times: u32) {
    match patterns.iter_mut().find(|(it, _)| *it == pattern) {
        Some((_, count)) => *count += times,
        None => patterns.push((pattern, times)),
    }
}

/// What a cut list costs.
pub fn total(problem: &Problem, patterns: &[(Pattern, u32)]) -> i64 {
    patterns.iter().map(|(it, times)| problem.cost(it) * i64::from(*times)).sum()
}

/// Takes off what is cut beyond what is wanted.
fn without_surplus(problem: &Problem, patterns: Patterns) -> Patterns {
    let mut wanted: Vec<u32> = problem.rows.iter().map(|row| row.wanted).collect();
    let mut there: Vec<Option<u32>> = problem.bars.iter().map(|bar| bar.there).collect();
    let mut kept = Patterns::new();
    for (pattern, times) in patterns {
        take_from(&pattern, times, &mut wanted, &mut there, &mut kept);
    }
    kept
}

/// A plain cut list: bar after bar of the kind that costs least for what it holds, filled with the longest
/// that fits.
fn plain(problem: &Problem) -> Option<Patterns> {
    let mut wanted: Vec<u32> = problem.rows.iter().map(|row| row.wanted).collect();
    let mut there: Vec<Option<u32>> = problem.bars.iter().map(|bar| bar.there).collect();
    let mut order: Vec<usize> = (0..problem.rows.len()).collect();
    order.sort_by_key(|row| std::cmp::Reverse(problem.rows[*row].length(1)));
    let mut patterns = Patterns::new();
    while wanted.iter().any(|it| *it > 0) {
        let fillings = (0..problem.bars.len()).filter(|bar| there[*bar] != Some(0)).map(|bar| {
            let mut room = problem.bars[bar].room;
            let mut amounts = vec![0; wanted.len()];
            for row in &order {
                let kind = &problem.rows[*row];
                amounts[*row] = kind.fits(room).min(wanted[*row]);
                room -= kind.length(amounts[*row]);
            }
            Pattern { bar, amounts }
        });
        let holds = |it: &Pattern| problem.length(it);
        let useful = fillings.filter(|it| holds(it) > 0);
        let cheapest = useful.min_by(|a, b| {
            let (left, right) = (
                i128::from(problem.bars[a.bar].price) * i128::from(holds(b)),
                i128::from(problem.bars[b.bar].price) * i128::from(holds(a)),
            );
            left.cmp(&right)
        })?;
        let enough = cheapest.amounts.iter().zip(&wanted).filter(|(amount, _)| **amount > 0);
        let times = enough.map(|(amount, wanted)| wanted / amount).min().unwrap_or(1).max(1);
        take_from(&cheapest, times, &mut wanted, &mut there, &mut patterns);
    }
    Some(patterns)
}
