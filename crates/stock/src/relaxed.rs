//! The problem without whole numbers, by its dual: what is each amount worth, so that no filling of a bar
//! is worth more than it costs? Fillings that are come in one after the other.
//!
//! Source: column generation for cutting stock, Gilmore and Gomory, Operations Research 9 (1961) 849–859
//! (from memory). The dual is solved since the library gives no dual values.

use crate::fill::{self, Worth};
use crate::problem::{Pattern, Problem};
use microlp::{ComparisonOp, LinearExpr, OptimizationDirection, Solution, Variable};

/// Whole parts of a coin in which worths are counted: fine enough for binary figures, and small enough that
/// what fills a bar stays within whole numbers.
fn parts(problem: &Problem) -> i64 {
    ((1_i64 << 40) / unit(problem) as i64).max(1)
}

/// What is asked of the dual.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Question<'q> {
    /// What is still wanted of each row.
    pub(crate) wanted: &'q [u32],
    /// How many bars of each kind there are; none for as many as one wants.
    pub(crate) there: &'q [Option<u32>],
    /// For whether anything fits at all: how many blanks each row may take. Prices play no part then.
    pub(crate) blanks: Option<&'q [Option<u32>]>,
}

/// What no cut list can escape: `Σ bar·(bars used) + Σ blank·(blanks) ≥ need`, in whole numbers and exact,
/// whatever the binary figures were that it came from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Must {
    pub(crate) bar: Vec<i64>,
    pub(crate) blank: Vec<i64>,
    pub(crate) need: i128,
}

/// The answer to a question.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Answer {
    pub(crate) must: Must,
    /// The figure that the dual came to, in units of `unit` coins.
    pub(crate) figure: f64,
}

/// Fillings that were found, of all kinds of bar.
#[derive(Debug, Clone, Default)]
pub(crate) struct Pool {
    pub(crate) patterns: Vec<Pattern>,
}

impl Pool {
    /// Takes a filling in; `false` where it is there already.
    pub(crate) fn add(&mut self, pattern: Pattern) -> bool {
        let new = !self.patterns.contains(&pattern);
        if new {
            self.patterns.push(pattern);
        }
        new
    }
}

/// The coins in which the library counts, so that its figures are near one.
pub(crate) fn unit(problem: &Problem) -> f64 {
    problem.bars.iter().map(|bar| bar.price).max().unwrap_or(1).max(1) as f64
}

/// The dual as the library has it.
struct Dual {
    each: Vec<Variable>,
    blank: Vec<Variable>,
    bar: Vec<Variable>,
    program: microlp::Problem,
}

impl Dual {
    fn of(problem: &Problem, question: &Question<'_>, pool: &Pool) -> Dual {
        let unit = unit(problem);
        let mut program = microlp::Problem::new(OptimizationDirection::Maximize);
        let fits = question.blanks.is_some();
        // What lacks is bought at ten times the dearest bar: so the dual is bounded.
        let most = if fits { f64::INFINITY } else { 10.0 };
        let wanted = question.wanted.iter();
        let each: Vec<_> = wanted.map(|it| program.add_var(f64::from(*it), (0.0, most))).collect();
        let rows = problem.rows.iter().enumerate();
        let blank = rows.map(|(index, row)| match question.blanks {
            Some(blanks) => match blanks[index] {
                Some(most) => program.add_var(-f64::from(most), (0.0, f64::INFINITY)),
                None => program.add_var(0.0, (0.0, 0.0)),
            },
            None => {
                let load = row.load as f64 / unit;
                program.add_var(0.0, (load, load))
            }
        });
        let blank: Vec<_> = blank.collect();
        let bars = problem.bars.iter().zip(question.there);
        let bar = bars.map(|(bar, there)| {
            let price = if fits { 0.0 } else { bar.price as f64 / unit };
            match there {
                Some(there) => program.add_var(-f64::from(*there), (price, f64::INFINITY)),
                None => program.add_var(0.0, (price, price)),
            }
        });
        let bar: Vec<_> = bar.collect();
        let mut dual = Dual { each, blank, bar, program };
        if fits {
            let all = dual.each.iter().zip(question.wanted);
            let all: Vec<_> = all.map(|(it, wanted)| (*it, f64::from(*wanted))).collect();
            dual.program.add_constraint(all, ComparisonOp::Le, 1.0);
        }
        for pattern in &pool.patterns {
            let row = dual.row(problem, pattern);
            dual.program.add_constraint(row, ComparisonOp::Le, 0.0);
        }
        dual
    }

    /// A filling is worth no more than its bar and its blanks.
    fn row(&self, problem: &Problem, pattern: &Pattern) -> LinearExpr {
        let mut row = LinearExpr::empty();
        for (index, amount) in pattern.amounts.iter().enumerate().filter(|(_, it)| **it > 0) {
            row.add(self.each[index], f64::from(*amount));
            row.add(self.blank[index], -f64::from(problem.rows[index].blanks(*amount)));
        }
        row.add(self.bar[pattern.bar], -1.0);
        row
    }

    fn worth(&self, solution: &Solution, scale: f64) -> Worth {
        let whole = |it: &Variable| (solution.var_value(*it).max(0.0) * scale).floor() as i64;
        Worth {
            each: self.each.iter().map(whole).collect(),
            blank: self.blank.iter().map(whole).collect(),
        }
    }
}

/// Answers a question; the fillings that came up on the way stay in the pool. None where the library or
/// the search gave up.
pub(crate) fn answer(
    problem: &Problem,
    question: &Question<'_>,
    pool: &mut Pool,
    go_on: &mut dyn FnMut() -> bool,
) -> Option<Answer> {
    let dual = Dual::of(problem, question, pool);
    let mut solution = dual.program.solve().ok()?.into_solution().ok()?;
    let scale = match question.blanks {
        None => unit(problem) * parts(problem) as f64,
        // Worths are shares of all that is wanted: as fine as whole numbers hold.
        Some(_) => 1e14,
    };
    loop {
        let worth = match question.blanks {
            None => Worth {
                blank: problem.rows.iter().map(|row| row.load * parts(problem)).collect(),
                ..dual.worth(&solution, scale)
            },
            Some(_) => dual.worth(&solution, scale),
        };
        let mut must = Must { bar: Vec::new(), blank: worth.blank.clone(), need: 0 };
        let mut found = Vec::new();
        for (index, bar) in problem.bars.iter().enumerate() {
            let (value, amounts) = fill::best(problem, bar.room, &worth, question.wanted)?;
            must.bar.push(value);
            let allowed = solution.var_value(dual.bar[index]) * scale;
            let slack = 1e-6 * scale.min(unit(problem) * parts(problem) as f64);
            if question.there[index] != Some(0) && value as f64 > allowed + slack {
                found.push(Pattern { bar: index, amounts });
            }
        }
        let mut better = false;
        for pattern in found {
            let row = dual.row(problem, &pattern);
            if pool.add(pattern) {
                better = true;
                let added = solution.add_constraint(row, ComparisonOp::Le, 0.0).ok()?;
                solution = added.into_solution().ok()?;
            }
        }
        if !better || !go_on() {
            let each = worth.each.iter().zip(question.wanted);
            must.need = each.map(|(each, wanted)| i128::from(*each) * i128::from(*wanted)).sum();
            return Some(Answer { must, figure: solution.objective() });
        }
    }
}

/// How often each filling of the pool is used where parts of a filling may be; none where the library gave
/// up.
pub(crate) fn shares(problem: &Problem, question: &Question<'_>, pool: &Pool) -> Option<Vec<f64>> {
    let unit = unit(problem);
    let mut program = microlp::Problem::new(OptimizationDirection::Minimize);
    let use_of = |pattern: &Pattern| question.there[pattern.bar] != Some(0);
    let every = pool.patterns.iter().map(|pattern| {
        let most = if use_of(pattern) { f64::INFINITY } else { 0.0 };
        program.add_var(problem.cost(pattern) as f64 / unit, (0.0, most))
    });
    let every: Vec<Variable> = every.collect();
    for (row, wanted) in question.wanted.iter().enumerate().filter(|(_, it)| **it > 0) {
        let with = pool.patterns.iter().zip(&every).filter(|(it, _)| it.amounts[row] > 0);
        let mut sum: Vec<_> =
            with.map(|(it, share)| (*share, f64::from(it.amounts[row]))).collect();
        sum.push((program.add_var(10.0, (0.0, f64::INFINITY)), 1.0));
        program.add_constraint(sum, ComparisonOp::Ge, f64::from(*wanted));
    }
    for (bar, there) in question.there.iter().enumerate() {
        let Some(there) = there else { continue };
        let of = pool.patterns.iter().zip(&every).filter(|(it, _)| it.bar == bar);
        let sum: Vec<_> = of.map(|(_, share)| (*share, 1.0)).collect();
        if !sum.is_empty() {
            program.add_constraint(sum, ComparisonOp::Le, f64::from(*there));
        }
    }
    let solution = program.solve().ok()?.into_solution().ok()?;
    Some(every.iter().map(|it| solution.var_value(*it)).collect())
}
