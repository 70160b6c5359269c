//! A whole plan with its proof, as a page that updates on each key asks for it: the time that 99 of 100
//! take, beside the plain way in the same run, in which the proof computes every cut and every pass anew.
//!
//! `cargo bench -p barwright-plan --bench replan`.
#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    clippy::expect_used,
    reason = "a bench reads the demo, needs a clock, prints, and stops where it cannot measure"
)]

mod demos;

use demos::demo;
use model::Source;
use nc::program::Library;
use prove::Setup;
use std::hint::black_box;
use std::time::Instant;

const RUNS: usize = 500;
const PLAIN_RUNS: usize = 5;

/// Milliseconds of each run, the shortest first.
fn times(runs: usize, mut run: impl FnMut()) -> Vec<f64> {
    let mut times: Vec<f64> = (0..runs)
        .map(|_| {
            let start = Instant::now();
            run();
            start.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times
}

fn main() {
    for name in ["detent-pin", "lamp-spacer"] {
        let job = demo(name);
        let answer = plan::plan(&job);
        let whole = times(RUNS, || drop(black_box(plan::plan(&job))));
        let trees = answer.programs.iter().map(|program| {
            let source = Source::new(program.file_name(&job), program.text.as_bytes());
            nc::read::read_for(&source, &job.control)
        });
        let library = Library::new(trees.collect());
        let proof = |reuse: bool| {
            let setup = Setup { reuse, ..Setup::of(&job) };
            drop(black_box(prove::prove(&library, &setup)));
        };
        let proven = times(RUNS, || proof(true));
        let plain = times(PLAIN_RUNS, || proof(false));
        println!(
            "{name}: plan with proof {:.1} ms at best, {:.1} in the middle, {:.1} for 99 of 100; \
             its proof {:.1} ms, every cut and pass anew {:.0} ms ({:.0} times)",
            whole[0],
            whole[RUNS / 2],
            whole[RUNS * 99 / 100],
            proven[RUNS / 2],
            plain[PLAIN_RUNS / 2],
            plain[PLAIN_RUNS / 2] / proven[RUNS / 2]
        );
    }
}
