//! A thousand random cut lists of at most 20 lengths and 500 blanks: how long each takes, and how many are
//! proven to be the cheapest.
//!
//! `cargo bench -p barwright-stock [-- FILE]`; with a file, the cases and answers are written there, one a
//! line. With `-- asked` numbers of cases are read, and each is solved and answered in turn: so `other_solvers.py`
//! beside this file has every case solved here and elsewhere in the same minute. A case has 5 to 20 blank lengths from 80 to 1200 mm in whole
//! tenths, a kerf of 1 to 4 mm, one stock length or up to three with prices near 10 a meter, and in every
//! second case one to six remnants, which cost nothing.
#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    clippy::expect_used,
    reason = "a bench reads its files, needs a clock, prints, and stops where it cannot measure"
)]

use std::fmt::Write as _;
use std::io::Write as _;
use std::time::{Duration, Instant};
use stock::problem::{Bar, Problem, Row};
use stock::solve::{Solved, solve};

/// Longest time of one case.
const LIMIT: Duration = Duration::from_secs(10);

/// A row of numbers that is the same in every run (Knuth's MMIX generator).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, limit: i64) -> i64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as i64) % limit.max(1)
    }

    fn from(&mut self, low: i64, high: i64) -> i64 {
        low + self.below(high - low + 1)
    }
}

const TENTH: i64 = 100_000;

fn case(numbers: &mut Numbers, index: usize) -> Problem {
    let kerf = numbers.from(10, 40);
    let count = numbers.from(5, 20);
    let mut left = numbers.from(count, 500);
    let rows = (0..count).map(|row| {
        let wanted = if row + 1 == count {
            left
        } else {
            numbers.from(1, (2 * left / (count - row)).max(1))
        };
        let wanted = wanted.min(left - (count - row - 1)).max(1);
        left -= wanted;
        let length = numbers.from(800, 12_000) + kerf;
        Row { overhead: length * TENTH, each: 0, most: 1, load: 0, wanted: wanted as u32 }
    });
    let rows: Vec<Row> = rows.collect();
    let lengths: &[i64] = match index % 4 {
        0 | 1 => &[30_000],
        2 => &[30_000, 60_000],
        _ => &[30_000, 40_000, 60_000],
    };
    let mut bars: Vec<Bar> = lengths
        .iter()
        .map(|length| {
            let price = length / 10 * numbers.from(97, 103) / 100;
            Bar { room: (length + kerf) * TENTH, price, there: None }
        })
        .collect();
    if index % 2 == 1 {
        for _ in 0..numbers.from(1, 6) {
            let room = (numbers.from(5_000, 28_000) + kerf) * TENTH;
            bars.push(Bar { room, price: 0, there: Some(1) });
        }
    }
    Problem { rows, bars }
}

fn line(problem: &Problem, cost: i64, least: i64, seconds: f64) -> String {
    let mut text =
        format!("{{\"cost\":{cost},\"least\":{least},\"seconds\":{seconds:.6},\"rows\":[");
    let rows = problem.rows.iter().map(|row| format!("[{},{}]", row.overhead / TENTH, row.wanted));
    text += &rows.collect::<Vec<_>>().join(",");
    text += "],\"bars\":[";
    let bars = problem.bars.iter().map(|bar| {
        let there = bar.there.map_or("null".to_owned(), |there| there.to_string());
        format!("[{},{},{there}]", bar.room / TENTH, bar.price)
    });
    text += &bars.collect::<Vec<_>>().join(",");
    text + "]}\n"
}

fn told(name: &str, mut seconds: Vec<f64>, proven: usize) {
    seconds.sort_by(f64::total_cmp);
    let at = |share: f64| 1e3 * seconds[((seconds.len() - 1) as f64 * share).round() as usize];
    println!(
        "{name}: {} cases, proven {proven} ({:.1} %), milliseconds: median {:.1}, 95 of 100 {:.1}, longest {:.0}",
        seconds.len(),
        100.0 * proven as f64 / seconds.len() as f64,
        at(0.5),
        at(0.95),
        at(1.0)
    );
}

/// Solves a case; its time in seconds, and what came out.
fn timed(index: usize, problem: &Problem) -> (f64, Solved) {
    let start = Instant::now();
    let solved = solve(problem, &mut || start.elapsed() < LIMIT);
    let seconds = start.elapsed().as_secs_f64();
    let right = solved.patterns.as_ref().is_some_and(|patterns| problem.is_met(patterns));
    assert!(right, "case {index} has no cut list");
    (seconds, solved)
}

/// Answers numbers of cases, one a line, until there are no more.
fn asked(cases: &[Problem]) {
    for wanted in std::io::stdin().lines() {
        let index: usize = wanted.expect("a line").trim().parse().expect("the number of a case");
        let (seconds, solved) = timed(index, &cases[index]);
        print!("{}", line(&cases[index], solved.cost, solved.least, seconds));
        std::io::stdout().flush().expect("the answer can be written");
    }
}

fn main() {
    let arguments: Vec<String> =
        std::env::args().skip(1).filter(|it| !it.starts_with("--")).collect();
    let mut numbers = Numbers(20_261_126);
    let count = arguments.get(1).and_then(|it| it.parse().ok()).unwrap_or(1_000);
    let cases: Vec<Problem> = (0..count).map(|index| case(&mut numbers, index)).collect();
    if arguments.first().is_some_and(|word| word == "asked") {
        return asked(&cases);
    }
    let names = ["one stock length", "one, and remnants", "two lengths", "three, and remnants"];
    let mut times: Vec<(Vec<f64>, usize)> = vec![(Vec::new(), 0); names.len()];
    let mut lines = String::new();
    for (index, problem) in cases.iter().enumerate() {
        let (seconds, solved) = timed(index, problem);
        let kind = &mut times[index % 4];
        kind.0.push(seconds);
        kind.1 += usize::from(solved.is_proven());
        let _ = write!(lines, "{}", line(problem, solved.cost, solved.least, seconds));
    }
    let all = times.iter().flat_map(|it| it.0.clone()).collect();
    for (name, (seconds, proven)) in names.iter().zip(&times) {
        told(name, seconds.clone(), *proven);
    }
    told("all", all, times.iter().map(|it| it.1).sum());
    if let Some(file) = arguments.first() {
        std::fs::write(file, lines).expect("the file can be written");
    }
}
