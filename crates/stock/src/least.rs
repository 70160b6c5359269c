//! The least that a cut list can cost, by what no cut list can escape: how many bars of each kind, and how
//! many blanks of each row, at the least price. Whole numbers only, so that the least is proven.

use crate::problem::Problem;
use crate::relaxed::Must;

/// Numbers of bars and of blanks, and what they cost.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Counts {
    pub(crate) cost: i64,
    pub(crate) bars: Vec<u32>,
    /// Of rows whose blanks cost something and may give different amounts; the others are `None`.
    pub(crate) blanks: Vec<Option<u32>>,
}

/// Most steps of one search.
const STEPS: u32 = 300_000;

/// What the search came to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Least {
    /// The cheapest counts that escape nothing.
    Found(Counts),
    /// Nothing is cheaper than the limit.
    Nothing,
    /// It took too long.
    GivenUp,
}

/// One number that is to be chosen.
#[derive(Debug, Clone, Copy)]
struct Number {
    cost: i64,
    low: u32,
    high: u32,
    what: What,
}

#[derive(Debug, Clone, Copy)]
enum What {
    Bar(usize),
    Blanks(usize),
}

/// Whether the blanks of a row are to be counted: they cost something, and their number is not settled.
pub(crate) fn counts_blanks(problem: &Problem, row: usize) -> bool {
    let row = &problem.rows[row];
    row.load > 0 && row.most > 1 && row.wanted > 1
}

/// What the blanks cost whose number is settled.
pub(crate) fn settled(problem: &Problem) -> i64 {
    let rows = problem.rows.iter().enumerate();
    let settled = rows.filter(|(index, _)| !counts_blanks(problem, *index));
    settled.map(|(_, row)| i64::from(row.blanks(row.wanted)) * row.load).sum()
}

/// The same with the blanks put in whose number is settled.
pub(crate) fn with_settled(problem: &Problem, mut must: Must) -> Must {
    let rows = problem.rows.iter().enumerate();
    for (index, row) in rows.filter(|(index, _)| !counts_blanks(problem, *index)) {
        let blanks = i128::from(row.blanks(row.wanted));
        must.need -= blanks * i128::from(std::mem::take(&mut must.blank[index]));
    }
    must
}

/// The cheapest counts below `limit`.
pub(crate) fn counts(problem: &Problem, musts: &[Must], refuted: &[Counts], limit: i64) -> Least {
    let settled = settled(problem);
    let mut numbers = Vec::new();
    for (index, bar) in problem.bars.iter().enumerate() {
        let wanted: u64 = problem.rows.iter().map(|row| u64::from(row.wanted)).sum();
        let most = bar.there.map_or(u64::from(u32::MAX), u64::from).min(wanted);
        let affordable =
            if bar.price > 0 { (limit - settled).max(0) / bar.price } else { i64::MAX };
        let high = most.min(affordable as u64) as u32;
        // What costs nothing is taken whole.
        let low = if bar.price == 0 { high } else { 0 };
        numbers.push(Number { cost: bar.price, low, high, what: What::Bar(index) });
    }
    for (index, row) in
        problem.rows.iter().enumerate().filter(|(it, _)| counts_blanks(problem, *it))
    {
        let low = row.blanks(row.wanted);
        let affordable = ((limit - settled).max(0) / row.load).min(i64::from(row.wanted));
        let high = (affordable as u32).max(low);
        numbers.push(Number { cost: row.load, low, high, what: What::Blanks(index) });
    }
    // The dearest first: it has the fewest choices.
    numbers.sort_by_key(|number| std::cmp::Reverse(number.cost));
    let mut search = Search {
        musts,
        refuted,
        numbers: &numbers,
        chosen: Vec::new(),
        best: None,
        limit,
        steps: 0,
    };
    let lacks: Vec<i128> = musts.iter().map(|must| must.need).collect();
    if !search.from(0, settled, &lacks) {
        return Least::GivenUp;
    }
    match search.best {
        None => Least::Nothing,
        Some((cost, chosen)) => {
            let mut bars = vec![0; problem.bars.len()];
            let mut blanks = vec![None; problem.rows.len()];
            for (number, count) in numbers.iter().zip(&chosen) {
                match number.what {
                    What::Bar(index) => bars[index] = *count,
                    What::Blanks(index) => blanks[index] = Some(*count),
                }
            }
            Least::Found(Counts { cost, bars, blanks })
        }
    }
}

struct Search<'s> {
    musts: &'s [Must],
    refuted: &'s [Counts],
    numbers: &'s [Number],
    chosen: Vec<u32>,
    best: Option<(i64, Vec<u32>)>,
    limit: i64,
    steps: u32,
}

impl Search<'_> {
    fn part(&self, must: usize, number: &Number) -> i64 {
        match number.what {
            What::Bar(index) => self.musts[must].bar[index],
            What::Blanks(index) => self.musts[must].blank[index],
        }
    }

    /// Whether the chosen numbers are no more than such into which nothing fits.
    fn is_refuted(&self) -> bool {
        let within = |counts: &Counts| {
            self.numbers.iter().zip(&self.chosen).all(|(number, count)| match number.what {
                What::Bar(index) => *count <= counts.bars[index],
                What::Blanks(index) => counts.blanks[index].is_none_or(|it| *count <= it),
            })
        };
        self.refuted.iter().any(within)
    }

    fn limit(&self) -> i64 {
        self.best.as_ref().map_or(self.limit, |(cost, _)| *cost)
    }

    /// Tries the numbers from here on; `false` where it took too long.
    fn from(&mut self, index: usize, cost: i64, lacks: &[i128]) -> bool {
        self.steps += 1;
        if self.steps > STEPS {
            return false;
        }
        let lows = self.numbers[index..].iter().map(|it| it.cost * i64::from(it.low)).sum::<i64>();
        if cost + lows.max(self.more(index, lacks)) >= self.limit() {
            return true;
        }
        let Some(number) = self.numbers.get(index).copied() else {
            if lacks.iter().all(|lack| *lack <= 0) && !self.is_refuted() {
                self.best = Some((cost, self.chosen.clone()));
            }
            return true;
        };
        let last = index + 1 == self.numbers.len();
        let start = if last { self.needed(&number, lacks) } else { number.low };
        for count in start..=number.high {
            let here = cost + number.cost * i64::from(count);
            if here >= self.limit() {
                break;
            }
            let parts = (0..lacks.len()).map(|must| self.part(must, &number));
            let lacks: Vec<i128> = lacks
                .iter()
                .zip(parts)
                .map(|(lack, part)| lack - i128::from(part) * i128::from(count))
                .collect();
            self.chosen.push(count);
            let whole = self.from(index + 1, here, &lacks);
            self.chosen.pop();
            if !whole {
                return false;
            }
            // More of it only costs more, unless just these numbers are known not to do.
            if self.refuted.is_empty() && (last || lacks.iter().all(|lack| *lack <= 0)) {
                break;
            }
        }
        true
    }

    /// The least count of the last number that leaves no lack.
    fn needed(&self, number: &Number, lacks: &[i128]) -> u32 {
        let each = lacks.iter().enumerate().filter(|(_, lack)| **lack > 0).map(|(must, lack)| {
            let part = i128::from(self.part(must, number));
            if part > 0 { (lack + part - 1) / part } else { i128::from(u32::MAX) }
        });
        let most = each.max().unwrap_or(0).clamp(0, i128::from(u32::MAX)) as u32;
        most.max(number.low)
    }

    /// What the lacks cost at least, each by the number that gives most of it for its cost.
    fn more(&self, index: usize, lacks: &[i128]) -> i64 {
        let rest = &self.numbers[index..];
        let of = |must: usize, lack: i128| -> i64 {
            // What costs nothing comes first, as much as there is.
            let free = rest.iter().filter(|it| it.cost == 0);
            let free: i128 =
                free.map(|it| i128::from(self.part(must, it)) * i128::from(it.high)).sum();
            let lack = lack - free;
            if lack <= 0 {
                return 0;
            }
            let costs = rest.iter().filter(|it| it.cost > 0 && self.part(must, it) > 0);
            let costs = costs.map(|it| {
                let part = i128::from(self.part(must, it));
                (lack * i128::from(it.cost) + part - 1) / part
            });
            costs.min().map_or(i64::MAX / 4, |it| it.min(i128::from(i64::MAX / 4)) as i64)
        };
        (0..lacks.len()).map(|must| of(must, lacks[must])).max().unwrap_or(0)
    }
}
