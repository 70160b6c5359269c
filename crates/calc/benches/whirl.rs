//! Highest speed over a bar of 44 parts, against the same eigenproblems in scipy, in one run.
//!
//! `cargo bench -p barwright-calc --bench whirl`. Set `PYTHON` to an interpreter that has scipy; the
//! script beside this file makes its own elements, on the same nodes.
#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    clippy::expect_used,
    reason = "a bench needs a clock, prints, and stops where it cannot measure"
)]

use calc::bar::Division;
use calc::whirl::{Between, Bow, Holds, JawHold, Life, Section, Stock, Support, Way};
use model::Length;
use model::quantity::{BedStiffness, Density, Modulus};
use std::process::Command;
use std::time::Instant;

const PARTS: u32 = 44;
const RUNS: u32 = 200;

/// The bar of 48 in that gives 44 parts at a pitch of 1.07 in: 25 mm steel on two rings.
fn life() -> Life {
    let mm = Length::from_mm;
    let mut way = Way::of_jaws(mm(40), mm(1200));
    way.supports = vec![
        Support { at: mm(420), holds: Holds::Pin, play: Length::from_um(300) },
        Support { at: mm(800), holds: Holds::Pin, play: Length::from_um(300) },
    ];
    let (gpa, kg) = (Modulus::from_gpa, Density::from_kg_per_m3);
    Life {
        stock: Stock {
            section: Section::Round { diameter: mm(25) },
            length: Length::from_um(1_219_200),
            length_tolerance: mm(1),
            modulus: Between { low: gpa(200.0), likely: gpa(205.0), high: gpa(210.0) },
            density: Between { low: kg(7800.0), likely: kg(7850.0), high: kg(7900.0) },
            bow: Bow::AS_DRAWN,
        },
        way,
        division: Division {
            finished: Length::from_um(24_178),
            part_off: mm(2),
            face_stock: mm(1),
            first_face: Length::ZERO,
            jaw_clearance: mm(12),
            least_grip: Length::from_um(11_368),
            parts_per_advance: 1,
        },
        separation: Life::SEPARATION,
        most_side_force: None,
    }
}

/// The same with jaws and liner that give way: every range is two more eigenproblems.
fn soft() -> Life {
    let mut life = life();
    let stiffness = BedStiffness::from_n_per_mm2(5.0);
    life.way.supports.push(Support::new(
        Length::from_mm(900),
        Holds::Bed { to: Length::from_mm(1100), stiffness },
    ));
    life.way.jaws = JawHold::Springs {
        lateral: model::quantity::Stiffness::from_n_per_mm(50_000.0),
        tilt: model::quantity::TiltStiffness::from_nm_per_rad(40_000.0),
    };
    life
}

/// Milliseconds of one curve, the best of many.
fn best(life: &Life) -> f64 {
    let mut best = f64::INFINITY;
    for _ in 0..RUNS {
        let start = Instant::now();
        let curve = std::hint::black_box(life).curve(PARTS).expect("the bar turns");
        std::hint::black_box(curve);
        best = best.min(start.elapsed().as_secs_f64() * 1e3);
    }
    best
}

fn main() {
    let life = life();
    let (ours, soft) = (best(&life), best(&soft()));
    println!("whole bar of {PARTS} parts, rigid jaws, rings with play: {ours:.3} ms");
    println!("the same with springs and a bed, ranges solved: {soft:.3} ms (both at most 5 ms)");
    let curve = life.curve(PARTS).expect("the bar turns");
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/whirl.py");
    let python = std::env::var("PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let mut command = Command::new(python);
    command.arg(script);
    for limit in &curve.limits {
        command.arg(format!("{},{}", limit.stick_out.m(), limit.behind.m()));
    }
    let output = command.output().ok().filter(|output| output.status.success());
    let Some(output) = output else {
        println!("scipy: not measured, no interpreter with scipy (set PYTHON)");
        return;
    };
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let figures: Vec<f64> = text.split_whitespace().filter_map(|word| word.parse().ok()).collect();
    let [dense, sparse, speeds @ ..] = figures.as_slice() else {
        println!("scipy: not measured, the script printed something else");
        return;
    };
    let off = speeds
        .iter()
        .zip(&curve.limits)
        .map(|(speed, limit)| (speed / limit.critical.likely.rpm() - 1.0).abs())
        .fold(0.0, f64::max);
    println!("scipy, one eigenproblem a part, ours has two and the ranges besides:");
    println!("  eigh, dense: {dense:.3} ms, {:.0} times ours", dense / ours);
    println!("  eigsh, sparse: {sparse:.3} ms, {:.0} times ours", sparse / ours);
    println!("largest difference of {} critical speeds: {off:.1e}", speeds.len());
    assert!(speeds.len() == curve.limits.len() && off < 1e-6, "scipy finds other speeds");
}
