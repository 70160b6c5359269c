//! The bound: no timetable gives more running time than this.
//!
//! Put a price on each moment of a person's time. Let every lathe choose its visits for itself, as if people were
//! always free while anyone is there, and pay for their time; and pay out to the shop the price of all the time
//! that its people have. A real timetable never uses more of people's time than there is, so that what it pays is
//! covered by what is paid out: the sum over the lathes, each at its best, with what is paid out, is at least as
//! much as the running time of *any* timetable, whatever the prices (weak duality, Lagrangian relaxation). Prices
//! are raised where lathes want more time than there is and lowered elsewhere, to bring the bound down. All figures
//! are whole, so that nothing is lost in rounding.

use crate::problem::{Problem, Step, Ticks};

/// Prices are told in parts of a tick of running time.
pub(crate) const UNIT: i64 = 256;

/// Moments with one price.
const SLOTS: usize = 240;

/// Prices, and what each lathe can at most earn under them from any moment and visit on.
pub(crate) struct Prices {
    /// No timetable gives more running time than this after the first visits, in units.
    pub(crate) bound: i64,
    /// For each lathe and visit: at most earned when the lathe stands at this tick. One visit where all are alike.
    earns: Vec<Vec<Vec<i32>>>,
    /// The row of each lathe that stands for all later ones too.
    last_row: Vec<usize>,
    /// For each person: what the time of this person from this tick on is worth.
    left: Vec<Vec<i64>>,
    /// The longest walk that is part of a priced visit.
    pub(crate) longest_walk: Ticks,
}

impl Prices {
    /// At most earned by a lathe that stands then with this visit next, in units.
    pub(crate) fn earns(&self, lathe: usize, step: usize, stands_at: Ticks) -> i64 {
        let rows = &self.earns[lathe];
        let Some(earns) = rows.get(step.min(self.last_row[lathe])) else { return 0 };
        earns.get(stands_at as usize).map_or(0, |&earns| i64::from(earns))
    }

    /// What is paid out for this person's time from this tick on.
    pub(crate) fn left(&self, person: usize, from: Ticks) -> i64 {
        self.left[person].get(from as usize).copied().unwrap_or(0)
    }
}

/// A lathe as the bound sees it.
struct Alone<'p> {
    steps: &'p [Step],
    /// Whether its visits are all alike and more than the horizon can see, so that one row stands for all.
    alike: bool,
    stands_at: Ticks,
    /// The least walk that comes before a visit.
    walk: Ticks,
    /// The last start of a visit of each length that ends in the same span, from each tick: here as the end of the
    /// staffed stretch of someone who attends it, zero where there is none.
    until: Vec<Ticks>,
}

/// Finds prices; `least` is what some timetable gives, in ticks after the first visits.
pub(crate) fn find(problem: &Problem, least: Ticks) -> Prices {
    let horizon = problem.horizon as usize;
    let alone: Vec<Alone<'_>> =
        (0..problem.lathes.len()).map(|it| Alone::new(problem, it)).collect();
    let mut there = vec![0_i64; horizon];
    for person in &problem.people {
        for &(from, to) in &person.spans {
            for ticks in &mut there[(from as usize).min(horizon)..(to as usize).min(horizon)] {
                *ticks += 1;
            }
        }
    }
    let slot = horizon.div_ceil(SLOTS).max(1);
    let slots = horizon.div_ceil(slot).max(1);
    let cells: usize = alone.iter().map(|it| it.rows() * horizon).sum();
    let rounds = (300_000_000 / cells.max(1)).clamp(12, 400);
    let mut prices = vec![0_i64; slots];
    let mut best: (i64, Vec<i64>) = (i64::MAX, prices.clone());
    let target = i64::from(least) * UNIT;
    let mut pace = 1.0;
    let mut since = 0;
    let mut table = Vec::new();
    for _ in 0..rounds {
        let before = sums(&prices, slot, horizon);
        let mut wanted = vec![0_i64; slots];
        let mut bound: i64 = prices_of(&there, &prices, slot);
        for lathe in &alone {
            lathe.fill(&before, &mut table);
            bound += lathe.follow(horizon, &table, slot, &mut wanted);
        }
        if bound < best.0 {
            best = (bound, prices.clone());
            since = 0;
        } else {
            since += 1;
            if since >= 8 {
                pace *= 0.6;
                since = 0;
                prices.clone_from(&best.1);
            }
        }
        if best.0 <= target || pace < 1e-3 {
            break;
        }
        let over: Vec<i64> = wanted
            .iter()
            .enumerate()
            .map(|(index, wanted)| {
                let end = ((index + 1) * slot).min(horizon);
                wanted - there[(index * slot).min(end)..end].iter().sum::<i64>()
            })
            .collect();
        let moving = over.iter().zip(&prices).filter(|(over, price)| **over > 0 || **price > 0);
        let square: f64 = moving.map(|(over, _)| (*over as f64) * (*over as f64)).sum();
        if square <= 0.0 {
            break;
        }
        let step = pace * ((bound - target).max(UNIT) as f64) / square;
        for (price, over) in prices.iter_mut().zip(&over) {
            *price = (*price + libm::round(step * *over as f64) as i64).max(0);
        }
    }
    settled(problem, &alone, best, slot)
}

/// The tables of the best prices.
fn settled(
    problem: &Problem,
    alone: &[Alone<'_>],
    (bound, prices): (i64, Vec<i64>),
    slot: usize,
) -> Prices {
    let horizon = problem.horizon as usize;
    let before = sums(&prices, slot, horizon);
    let mut earns = Vec::new();
    for lathe in alone {
        let mut table = Vec::new();
        lathe.fill(&before, &mut table);
        earns.push(table);
    }
    let left = problem
        .people
        .iter()
        .map(|person| {
            let mut left = vec![0_i64; horizon + 1];
            for &(from, to) in &person.spans {
                for tick in (from as usize).min(horizon)..(to as usize).min(horizon) {
                    left[tick] = before[tick + 1] - before[tick];
                }
            }
            for tick in (0..horizon).rev() {
                left[tick] += left[tick + 1];
            }
            left
        })
        .collect();
    let longest_walk = alone.iter().map(|lathe| lathe.walk).max().unwrap_or(0);
    let last_row = alone.iter().map(|lathe| if lathe.alike { 0 } else { usize::MAX }).collect();
    Prices { bound, earns, last_row, left, longest_walk }
}

fn sums(prices: &[i64], slot: usize, horizon: usize) -> Vec<i64> {
    let mut before = Vec::with_capacity(horizon + 1);
    let mut sum = 0;
    before.push(0);
    for tick in 0..horizon {
        sum += prices[tick / slot];
        before.push(sum);
    }
    before
}

fn prices_of(there: &[i64], prices: &[i64], slot: usize) -> i64 {
    there.iter().enumerate().map(|(tick, there)| there * prices[tick / slot]).sum()
}

impl<'p> Alone<'p> {
    fn new(problem: &'p Problem, index: usize) -> Alone<'p> {
        let lathe = &problem.lathes[index];
        let places = (0..=problem.lathes.len()).filter(|place| *place != index);
        let nearest = places.map(|place| problem.walk(place, index)).min().unwrap_or(0);
        // Who stays at the lathe does not walk, but then nobody else has that person's time while it runs.
        let shortest = lathe.steps.iter().map(|step| step.run).min().unwrap_or(0);
        let mut until = vec![0; problem.horizon as usize + 1];
        for person in problem.people.iter().filter(|person| person.attends[index]) {
            for &(from, to) in &person.spans {
                let end = (to as usize).min(until.len());
                for tick in &mut until[(from as usize).min(end)..end] {
                    *tick = to.max(*tick);
                }
            }
        }
        let steps = &lathe.steps;
        let seen =
            steps.first().map_or(0, |step| problem.horizon / (step.service + step.run).max(1));
        let alike = steps.windows(2).all(|pair| pair[0] == pair[1]) && steps.len() > seen as usize;
        Alone { steps, alike, stands_at: lathe.stands_at, walk: nearest.min(shortest), until }
    }

    /// Rows of its table.
    fn rows(&self) -> usize {
        if self.alike { self.steps.len().min(1) } else { self.steps.len() }
    }

    /// Whether a visit may start then: its walk and what follows lie in one span of someone.
    fn may_start(&self, start: usize, service: Ticks) -> bool {
        let Some(leave) = start.checked_sub(self.walk as usize) else { return false };
        self.until
            .get(leave)
            .is_some_and(|until| start as u64 + u64::from(service) <= u64::from(*until))
    }

    /// What a visit at this tick gives, less the price of the time it takes; what follows is in `next`.
    fn visit(&self, before: &[i64], next: &[i32], index: usize, start: usize) -> i64 {
        let step = self.steps[index];
        let horizon = before.len() - 1;
        let end = start + step.service as usize;
        let paid = before[end.min(horizon)] - before[start - self.walk as usize];
        let gain = i64::from(step.run).min(horizon.saturating_sub(end) as i64);
        let later = next.get(end + step.run as usize).copied().unwrap_or(0);
        gain * UNIT - paid + i64::from(later)
    }

    /// Fills the table from the last visit and the last tick on.
    fn fill(&self, before: &[i64], table: &mut Vec<Vec<i32>>) {
        let horizon = before.len() - 1;
        table.resize(self.rows(), Vec::new());
        for index in (0..self.rows()).rev() {
            let mut earns = std::mem::take(&mut table[index]);
            earns.clear();
            earns.resize(horizon + 1, 0);
            let service = self.steps[index].service;
            for start in (0..horizon).rev() {
                let mut best = earns[start + 1];
                if self.may_start(start, service) {
                    let next = if self.alike {
                        &earns[..]
                    } else {
                        table.get(index + 1).map_or(&[][..], Vec::as_slice)
                    };
                    let visit = self.visit(before, next, index, start);
                    best = best.max(visit.clamp(0, i64::from(i32::MAX)) as i32);
                }
                earns[start] = best;
            }
            table[index] = earns;
        }
    }

    /// Follows the best course through the table, adds the time that it takes of people to `wanted`, and gives
    /// what the lathe earns.
    fn follow(&self, horizon: usize, table: &[Vec<i32>], slot: usize, wanted: &mut [i64]) -> i64 {
        let mut at = (self.stands_at as usize).min(horizon);
        let earned = table.first().map_or(0, |earns| i64::from(earns[at]));
        for index in 0..self.steps.len() {
            let row = &table[if self.alike { 0 } else { index }];
            while at < horizon && row[at] == row[at + 1] {
                at += 1;
            }
            if at >= horizon {
                break;
            }
            let end = at + self.steps[index].service as usize;
            for tick in at - self.walk as usize..end.min(horizon) {
                wanted[tick / slot] += 1;
            }
            at = end.saturating_add(self.steps[index].run as usize).min(horizon);
        }
        earned
    }
}
