//! How fast whole bars are proven. Compare within one run only: machines are noisy.
#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    clippy::expect_used,
    reason = "a bench reads its files, needs a clock, prints, and stops where it cannot measure"
)]

#[path = "../tests/it/folder.rs"]
mod folder;

use divan::Bencher;
use divan::counter::ItemsCount;
use folder::Folder;
use model::files::job::Job;
use model::{Files, Length, Source};
use nc::program::Library;
use prove::Setup;
use prove::lathe::Shown;
use prove::run::{Order, Run};
use std::fmt::Write as _;

fn main() {
    divan::main();
}

/// The test shop with a bar that is long enough for so many parts.
fn setup(parts: u32) -> Setup {
    let shop = Folder::of_tests("shop");
    let source = shop.read("pin.job.toml").expect("the test shop");
    let job = Job::read(&source, &shop).value.expect("the test shop reads");
    let mut setup = Setup::of(&job);
    if let (Some(bar), Some(part)) = (setup.bar.as_mut(), setup.part.as_mut()) {
        bar.length = part.pitch() * i64::from(parts) + Length::from_mm(100);
        part.quantity = parts;
    }
    setup
}

/// One part with its advance, looped by a count in a variable.
fn program(parts: u32, layers: u32) -> String {
    let mut cuts = String::new();
    for layer in 0..layers {
        let x = 16.0 - f64::from(layer) / f64::from(layers);
        let _ = write!(cuts, "G0 X{x:.3} Z1.\nG1 Z-20.5 F0.2\nX17.\nG0 Z1.\n");
    }
    format!(
        "O1\nG21 G99\nG50 S2500\n#500=0\nN1 T0101\nG96 S150 M3\nG0 X20. Z0.\nG1 X-0.8 F0.1\n{cuts}\
         G0 X120. Z60.\nT0303\nG0 X20. Z-22.5\nG1 X-0.6 F0.05\nG0 X120. Z60.\nM5\nG4 X2.\n\
         #500=#500+1\nIF[#500GE{parts}]GOTO9\nT0707\nG0 X40. Z-32.\nG98 G1 X0. F800\nM11\nG4 X1.\n\
         G1 W23. F1500\nM10\nG4 X1.\nG1 X40. F1000\nG0 X120. Z60.\nG99\nGOTO1\nN9 M30\n"
    )
}

/// Layers of a part of 73 blocks, and of one of 213.
const SHORT: u32 = 12;
const LONG: u32 = 47;

fn library(parts: u32, layers: u32) -> Library {
    Library::new(vec![nc::read::read(&Source::new("bench.nc", program(parts, layers)))])
}

#[divan::bench(args = [10, 44, 100, 1_000, 10_000])]
fn prove_parts(bencher: Bencher<'_, '_>, parts: u32) {
    let (setup, library) = (setup(parts), library(parts, SHORT));
    let blocks = prove::prove(&library, &setup).blocks;
    bencher.counter(ItemsCount::new(blocks)).bench(|| prove::prove(&library, &setup));
}

/// A bar of parts with more than 200 blocks each, their form compared with the drawing.
#[divan::bench(args = [44])]
fn prove_long_parts(bencher: Bencher<'_, '_>, parts: u32) {
    let (setup, library) = (setup(parts), library(parts, LONG));
    let blocks = prove::prove(&library, &setup).blocks;
    assert!(blocks > u64::from(parts) * 200);
    bencher.counter(ItemsCount::new(blocks)).bench(|| prove::prove(&library, &setup));
}

/// The same with every move of every part computed anew.
#[divan::bench(args = [44], sample_count = 5)]
fn prove_long_parts_anew(bencher: Bencher<'_, '_>, parts: u32) {
    let (mut setup, library) = (setup(parts), library(parts, LONG));
    setup.reuse = false;
    bencher.bench(|| prove::prove(&library, &setup));
}

/// As [`prove_parts`], without a drawing to compare the pieces with.
#[divan::bench(args = [44, 1_000, 10_000])]
fn prove_parts_without_drawing(bencher: Bencher<'_, '_>, parts: u32) {
    let (mut setup, library) = (setup(parts), library(parts, SHORT));
    setup.drawing = None;
    let blocks = prove::prove(&library, &setup).blocks;
    bencher.counter(ItemsCount::new(blocks)).bench(|| prove::prove(&library, &setup));
}

/// The control and the lathe alone, with nobody watching: how fast blocks are executed.
#[divan::bench(args = [1_000, 10_000])]
fn execute_parts(bencher: Bencher<'_, '_>, parts: u32) {
    let (setup, library) = (setup(parts), library(parts, SHORT));
    let run = || Run::new(&library, &setup, Shown::default(), Order::Latest).finish(&mut |_| {});
    bencher.counter(ItemsCount::new(run().blocks)).bench(run);
}
