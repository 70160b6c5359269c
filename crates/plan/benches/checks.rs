//! All checks of a plan with the loads of every cut behind them, against the same main figures by
//! plain formulas without ranges, in one run. The whirl curve stands apart: it has its own bench in
//! `calc`.
//!
//! `cargo bench -p barwright-plan --bench checks`.
#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    clippy::expect_used,
    reason = "a bench reads the demo, needs a clock, prints, and stops where it cannot measure"
)]

mod demos;

use calc::station::Feeding;
use demos::demo;
use model::files::Job;
use plan::checks::{self, Planned};
use plan::mechanics::Mechanics;
use std::collections::BTreeMap;
use std::hint::black_box;
use std::time::Instant;

const RUNS: u32 = 300;

/// Loads of every cut, edges, pull and every check; the whirl curve is handed in.
fn all(job: &Job, swing: Option<&calc::whirl::Curve>) -> usize {
    let bar = plan::bar::divide(job);
    let process = plan::process::Process::of(job, &bar.division);
    let mechanics = plan::mechanics::reckon(job, &bar, &process);
    let cutting = cutting(&mechanics);
    let edges = plan::edges::reckon(job, &bar, &mechanics, &cutting);
    let pull = plan::pull::reckon(job, &bar);
    let planned = Planned {
        job,
        bar: &bar,
        swing: swing.ok_or("no curve"),
        process: &process,
        mechanics: &mechanics,
        edges: &edges,
        pull: pull.as_ref(),
    };
    checks::all(&planned, &mut Vec::new()).len()
}

fn cutting(mechanics: &Mechanics) -> BTreeMap<u32, f64> {
    let mut cutting = BTreeMap::new();
    for (station, cut) in mechanics.of_each_part() {
        *cutting.entry(station).or_insert(0.0) += cut.time.s();
    }
    cutting
}

/// The main figures of each cut by plain formulas, once each: force, torque, power, grip, moment,
/// deflection, life and roughness. No range, no chuck that gives way, nothing is named.
fn plain(cuts: &[(Feeding, f64)]) -> f64 {
    let mut sum = 0.0;
    for (feeding, feed) in cuts {
        let (from, to, depth) = match *feeding {
            Feeding::Along { from, to, .. } | Feeding::Thread { from, to, .. } => {
                (from.mm(), to.mm(), (from - to).mm() / 2.0)
            }
            Feeding::Across { from, to, depth } => (from.mm(), to.mm(), depth.mm()),
        };
        let speed: f64 = 150.0;
        let force = 1300.0 / libm::pow(*feed, 0.18) * feed * depth.abs().max(0.01);
        let torque = force * from.max(to) / 2000.0;
        let power = force * speed / 60.0;
        let rpm = 1000.0 * speed / (std::f64::consts::PI * from.max(to));
        let omega = rpm * std::f64::consts::PI / 30.0;
        let left = 30_000.0 - 0.12 * omega * omega;
        let slip = 0.11 * left * 0.006 / torque;
        let moment = force * 0.058;
        let bend = force * 42.0 * 42.0 * 42.0 / (3.0 * 200_000.0 * 1018.0);
        let life = 15.0 * libm::pow(411.0 / speed, 4.0) * libm::pow(0.18 / feed, 1.2);
        let ra = feed * feed / (32.0 * 0.4);
        sum += power + slip + moment + bend + life + ra;
    }
    sum
}

/// Milliseconds, the best of many.
fn best(mut of: impl FnMut()) -> f64 {
    let mut best = f64::INFINITY;
    for _ in 0..RUNS {
        let start = Instant::now();
        of();
        best = best.min(start.elapsed().as_secs_f64() * 1e3);
    }
    best
}

fn main() {
    for name in ["detent-pin", "lamp-spacer"] {
        let job = demo(name);
        let bar = plan::bar::divide(&job);
        let curve = plan::spindle::curve(&job, &bar).ok();
        let mechanics =
            plan::mechanics::reckon(&job, &bar, &plan::process::Process::of(&job, &bar.division));
        let cuts: Vec<_> = mechanics.cuts().map(|(_, cut)| (cut.feeding, cut.feed.mm())).collect();
        let lines = all(&job, curve.as_ref());
        let ours = best(|| {
            black_box(all(black_box(&job), curve.as_ref()));
        });
        let reference = best(|| {
            black_box(plain(black_box(&cuts)));
        });
        let whirl = best(|| {
            black_box(plan::spindle::curve(black_box(&job), &bar).ok());
        });
        println!("{name}: {lines} checks over {} cuts: {ours:.3} ms (at most 2 ms)", cuts.len());
        println!(
            "  the main figures once by plain formulas: {reference:.5} ms; ours {:.0} times that",
            ours / reference
        );
        println!("  the whirl curve, apart: {whirl:.3} ms (at most 5 ms)");
    }
}
