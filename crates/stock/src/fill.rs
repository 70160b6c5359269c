//! The most valuable filling of one bar, in whole numbers: branch and bound over amounts.

use crate::problem::Problem;

/// What the amounts and the blanks of each row are worth, in whole parts of a coin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Worth {
    /// Of one of the amount; not below 0.
    pub(crate) each: Vec<i64>,
    /// What every blank takes off; not below 0.
    pub(crate) blank: Vec<i64>,
}

/// Most steps of one search: what takes longer is given up.
const STEPS: u32 = 2_000_000;

/// The filling of greatest worth and that worth; none where the search was given up.
pub(crate) fn best(
    problem: &Problem,
    room: i64,
    worth: &Worth,
    wanted: &[u32],
) -> Option<(i64, Vec<u32>)> {
    let mut order: Vec<Lot> = (0..problem.rows.len())
        .filter_map(|row| Lot::of(problem, row, room, worth, wanted[row]))
        .collect();
    // Greatest worth for the length first; the rows in their order where that is the same.
    order.sort_by(|a, b| {
        let (left, right) = (
            i128::from(b.value) * i128::from(a.length),
            i128::from(a.value) * i128::from(b.length),
        );
        left.cmp(&right).then(a.row.cmp(&b.row))
    });
    let mut search = Search {
        problem,
        worth,
        order: &order,
        amounts: vec![0; problem.rows.len()],
        best: (0, vec![0; problem.rows.len()]),
        steps: 0,
    };
    search.from(0, room, 0).then_some(search.best)
}

/// A row that is worth something, with its most valuable blank.
struct Lot {
    row: usize,
    wanted: u32,
    /// Worth and length of a full blank: no blank of the row is worth more for its length.
    value: i64,
    length: i64,
}

impl Lot {
    fn of(problem: &Problem, row: usize, room: i64, worth: &Worth, wanted: u32) -> Option<Lot> {
        let kind = &problem.rows[row];
        let full = kind.most.min(wanted);
        let value = i64::from(full) * worth.each[row] - worth.blank[row];
        let length = kind.length(full);
        let fits = wanted > 0 && kind.length(1) <= room;
        (fits && value > 0).then_some(Lot { row, wanted, value, length })
    }
}

struct Search<'s> {
    problem: &'s Problem,
    worth: &'s Worth,
    order: &'s [Lot],
    amounts: Vec<u32>,
    best: (i64, Vec<u32>),
    steps: u32,
}

impl Search<'_> {
    /// Tries every amount of the lots from here on that may still be better; `false` where it gave up.
    fn from(&mut self, index: usize, room: i64, value: i64) -> bool {
        if value > self.best.0 {
            self.best = (value, self.amounts.clone());
        }
        let order = self.order;
        let Some(lot) = order.get(index) else { return true };
        self.steps += 1;
        if self.steps > STEPS {
            return false;
        }
        if self.bound(index, room, value) <= self.best.0 {
            return true;
        }
        let kind = &self.problem.rows[lot.row];
        let mut amount = kind.fits(room).min(lot.wanted);
        loop {
            let blanks = i64::from(kind.blanks(amount));
            let worth =
                i64::from(amount) * self.worth.each[lot.row] - blanks * self.worth.blank[lot.row];
            let rest = room - kind.length(amount);
            // An amount of zero is tried too, so that the best of what follows is found.
            if self.bound(index + 1, rest, value + worth) > self.best.0
                || (index + 1 == order.len() && value + worth > self.best.0)
            {
                self.amounts[lot.row] = amount;
                let whole = self.from(index + 1, rest, value + worth);
                self.amounts[lot.row] = 0;
                if !whole {
                    return false;
                }
                if amount == 0 {
                    return true;
                }
                amount -= 1;
            } else if amount % kind.most == 0 {
                // With fewer full blanks it is worth less still: no lot that follows is worth more for
                // its length.
                return true;
            } else {
                amount -= amount % kind.most;
            }
        }
    }

    /// The most that can still be reached: the room filled to the last nanometer with the next lot.
    fn bound(&self, index: usize, room: i64, value: i64) -> i64 {
        let Some(lot) = self.order.get(index) else { return value };
        let more = i128::from(room) * i128::from(lot.value) / i128::from(lot.length.max(1));
        value.saturating_add(i64::try_from(more).unwrap_or(i64::MAX))
    }
}
