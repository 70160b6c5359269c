//! Choosing speeds, feeds and depths, beside the same plan with the given data, in one run.
//!
//! `cargo bench -p barwright-plan --bench choice`.
#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    clippy::expect_used,
    reason = "a bench reads the demo, needs a clock, prints, and stops where it cannot measure"
)]

mod demos;

use demos::demo;
use model::files::job::Choose;
use std::hint::black_box;
use std::time::Instant;

const RUNS: usize = 200;

/// Milliseconds: the median and the 99th of a hundred.
fn times(mut of: impl FnMut()) -> (f64, f64) {
    let mut times: Vec<f64> = (0..RUNS)
        .map(|_| {
            let start = Instant::now();
            of();
            start.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    times.sort_by(f64::total_cmp);
    (times[RUNS / 2], times[RUNS * 99 / 100])
}

fn main() {
    for name in ["detent-pin", "lamp-spacer"] {
        let mut job = demo(name);
        let bar = plan::bar::divide(&job);
        let swing = plan::spindle::curve(&job, &bar).ok();
        for choose in [Choose::AsGiven, Choose::LeastCost, Choose::MostOutput, Choose::MostAlone] {
            job.file.cutting.choose = choose;
            let choice = plan::choice::settle(&job, &bar, swing.as_ref());
            let candidates: usize =
                choice.works.values().flatten().map(|chosen| chosen.candidates).sum();
            let (alone, alone_99) = times(|| {
                black_box(plan::choice::settle(black_box(&job), &bar, swing.as_ref()));
            });
            let (whole, whole_99) = times(|| {
                black_box(plan::plan(black_box(&job)));
            });
            println!(
                "{name} {choose:?}: {candidates} candidates; choosing {alone:.3} ms (99 %: {alone_99:.3}), \
                 the whole plan with proof {whole:.2} ms (99 %: {whole_99:.2}, at most 16)"
            );
        }
    }
}
