//! Cycles, threads and the nose radius as whole programs run them: rows C and E of the project's
//! list of worked NC checks that have two answers or came later than `motions.rs`, with their flags.
#![allow(dead_code, reason = "a test fails by panic")]

use crate::moves::{control, ends, motions, shop};
use model::files::control::{CodeSystem, Drilling, LevelsFrom};
use model::{Length, Units};
use prove::Setup;

fn near(one: f64, other: f64, within: f64) -> bool {
    (one - other).abs() <= within
}

/// E1 (form found, levels computed): layers counted from the allowances, or from the start.
#[test]
fn e1_layers_are_counted_from_either() {
    let text = "G21 G99 G97 S1000 M3 F.2\nG0 X52. Z2.\nG71 U2. R.5\nG71 P10 Q20 U.4 W.1 F.2\n\
                N10 G0 X20.\nG1 Z-20.\nX30.\nZ-35.\nN20 X50.\nM30\n";
    let levels = |from| {
        let setup = control(|control| control.cycles.levels_from = from);
        let along = motions(&setup, text).into_iter().map(|(motion, _)| motion);
        let along = along.filter(|it| !it.rapid && it.from.r == it.to.r && it.to.z < it.from.z);
        along.map(|it| it.to.r.mm() * 2.0).take(8).collect::<Vec<_>>()
    };
    let wanted = [48.4, 44.4, 40.4, 36.4, 32.4, 28.4, 24.4, 20.4];
    for (level, x) in levels(LevelsFrom::Allowance).into_iter().zip(wanted) {
        assert!(near(level, x, 1e-9), "{level} {x}");
    }
    let wanted = [48.0, 44.0, 40.0, 36.0, 32.0, 28.0, 24.0, 20.4];
    for (level, x) in levels(LevelsFrom::Start).into_iter().zip(wanted) {
        assert!(near(level, x, 1e-9), "{level} {x}");
    }
}

/// A control with the plain form of drilling cycles.
fn plain() -> Setup {
    control(|control| {
        control.drilling = Drilling::Plain;
        control.code_system = CodeSystem::B;
    })
}

/// E17 (NISTIR 6556 §3.5.16.2, found, with X and Z of the row; X as a diameter is twice as much).
#[test]
fn e17_a_plain_hole() {
    let text = "G21 G94 F100\nG0 X2. Z3.\nG90 G81 G98 X8. Z1.5 R2.8\nM30\n";
    let wanted = [
        "2.000 3.000 r",
        "8.000 3.000 r",
        "8.000 2.800 r",
        "8.000 1.500",
        "8.000 2.800 r",
        "8.000 3.000 r",
    ];
    assert_eq!(ends(&plain(), text), wanted);
}

/// E18 (NISTIR 6556 §3.5.16.2, found): three holes in increments, up to the clear point first.
#[test]
fn e18_plain_holes_in_increments() {
    let text = "G21 G94 F100\nG0 X2. Z3.\nG91 G81 G98 X8. Z-.6 R1.8 L3\nM30\n";
    let mut wanted = vec!["2.000 3.000 r".to_owned(), "2.000 4.800 r".to_owned()];
    for x in [10, 18, 26] {
        wanted.extend([
            format!("{x}.000 4.800 r"),
            format!("{x}.000 4.200"),
            format!("{x}.000 4.800 r"),
        ]);
    }
    assert_eq!(ends(&plain(), text), wanted);
}

/// From memory (lathe form): R is the way to the clear point; pecks go all the way back, or a
/// little where the control says so.
#[test]
fn deep_holes_are_pecked() {
    let text = "G21 G98 F100\nG0 X30. Z5.\nG83 X0 Z-10. R-3. Q6000\nG80\nM30\n";
    let deep = [
        "30.000 5.000 r",
        "0.000 5.000 r",
        "0.000 2.000 r",
        "0.000 -4.000",
        "0.000 2.000 r",
        "0.000 -4.000 r",
        "0.000 -10.000",
        "0.000 2.000 r",
        "0.000 5.000 r",
    ];
    assert_eq!(ends(&control(|_| {}), text), deep);
    let fast = control(|control| control.cycles.drill_back = Length::from_um(500));
    let short = [
        "30.000 5.000 r",
        "0.000 5.000 r",
        "0.000 2.000 r",
        "0.000 -4.000",
        "0.000 -3.500 r",
        "0.000 -10.000",
        "0.000 2.000 r",
        "0.000 5.000 r",
    ];
    assert_eq!(ends(&fast, text), short);
}

/// From memory: a tap goes in and out with the spindle, which turns back at the bottom. 12 mm at a
/// lead of 1.25 are 9.6 turns: 1.92 s at 300 rev/min each way, without the turning back.
#[test]
fn a_tap_follows_the_spindle() {
    let text = "G21 G99 G97 S300 M3\nG0 X0 Z5.\nG84 X0 Z-10. R-3. F1.25\nG80\nM30\n";
    let moves = motions(&control(|_| {}), text);
    let taps: Vec<_> = moves.iter().filter(|(motion, _)| motion.lead.is_some()).collect();
    assert_eq!(taps.len(), 2);
    let before = moves[moves.iter().position(|(motion, _)| motion.lead.is_some()).unwrap() - 1].1;
    assert!(near(taps[0].1 - before, 1.92, 1e-9), "{}", taps[0].1 - before);
    assert!(near(taps[1].1 - taps[0].1, 1.92, 1e-9));
}

/// From memory: the last 0.1·L·tenths of a threading box slant out at 45°. Two leads of 1.5 are 3.
#[test]
fn a_thread_pulls_out() {
    let text = "G21 G99 G97 S500 M3\nG0 X54. Z2.\nG92 X29.2 Z-20. F1.5\nM30\n";
    let square = [
        "54.000 2.000 r",
        "29.200 2.000 r",
        "29.200 -20.000",
        "54.000 -20.000 r",
        "54.000 2.000 r",
    ];
    assert_eq!(ends(&control(|_| {}), text), square);
    let slanting = control(|control| control.cycles.thread_pull_out = 20);
    let out = [
        "54.000 2.000 r",
        "29.200 2.000 r",
        "29.200 -17.000",
        "35.200 -20.000",
        "54.000 -20.000 r",
        "54.000 2.000 r",
    ];
    assert_eq!(ends(&slanting, text), out);
    // In the cycle of many passes the first block says it: 10 tenths.
    let many = "G21 G99 G97 S500 M3\nG0 X32. Z2.\nG76 P011060 Q50 R.05\n\
                G76 X28.16 Z-20. P920 Q920 F1.5\nM30\n";
    let ends = ends(&control(|_| {}), many);
    assert_eq!(ends[3..5], ["28.260 -18.500", "31.260 -20.000"]);
}

/// From memory: the four ways of going in, in the one-block form. First 0.3, height 0.9: constant
/// area 0.3, 0.4243, …; constant depth 0.3, 0.6, 0.9. Zigzag changes the flank with each pass.
#[test]
fn the_one_block_thread_goes_in_four_ways() {
    let passes = |kind: u32| {
        let text = format!(
            "G21 G99 G97 S500 M3\nG0 X32. Z5.\nG76 X28.2 Z-20. I0 K.9 D300 F1.5 A60 P{kind}\nM30\n"
        );
        let moves = motions(&control(|_| {}), &text);
        let cuts = moves.into_iter().filter(|(motion, _)| motion.lead.is_some());
        cuts.map(|(motion, _)| (motion.to.r.mm(), motion.from.z.mm())).collect::<Vec<_>>()
    };
    let crest = 15.0;
    let depth = |cut: &(f64, f64)| crest - cut.0;
    for (kind, second) in [(1, 0.424_26), (2, 0.424_26), (3, 0.6), (4, 0.6)] {
        let cuts = passes(kind);
        assert!(
            near(depth(&cuts[0]), 0.3, 1e-6) && near(depth(&cuts[1]), second, 1e-5),
            "{cuts:?}"
        );
        // tan 30° of the depth along the flank that cuts.
        let side = second * 30.0_f64.to_radians().tan();
        let flank = if kind % 2 == 0 { 5.0 + side } else { 5.0 - side };
        assert!(near(cuts[1].1, flank, 1e-5), "P{kind}: {cuts:?} {flank}");
        assert!(near(depth(cuts.last().unwrap()), 0.9, 1e-9));
    }
}

/// A lead that grows (definition of the word, from memory): 1 mm and 0.1 mm more each turn over
/// 15 mm are 10 turns; at 600 rev/min one second.
#[test]
fn a_changing_lead_takes_its_turns() {
    let text = "G21 G99 G97 S600 M3\nG0 X20. Z5.\nG34 Z-10. F1. K.1\nM30\n";
    let moves = motions(&control(|_| {}), text);
    assert!(near(moves[1].1 - moves[0].1, 1.0, 1e-9), "{}", moves[1].1 - moves[0].1);
}

/// The test shop with a nose of this radius and tip at station 1.
fn with_nose(radius_um: i64, tip: u8) -> Setup {
    shop(|setup| {
        let stations = &mut setup.tools.as_mut().unwrap().stations;
        let station = stations.iter_mut().find(|station| station.number == 1).unwrap();
        (station.nose_radius, station.tip) = (Length::from_um(radius_um), Some(tip));
    })
}

/// C18 and C19 (computed), through whole programs: the tip's path beside the contour.
#[test]
fn c18_c19_the_nose_goes_beside_its_contour() {
    let text = "G21 G98 F100\nT0101\nG0 X20. Z8.\nG42 G1 X20. Z0\nX30. Z-20.\nX30. Z-40.\n\
                G40 G0 X60. Z-40.\nM30\n";
    let ends = ends(&with_nose(800, 3), text);
    assert_eq!(ends[1..4], ["19.952 -0.606", "30.000 -20.702", "30.000 -40.800"]);
    let text = "G21 G98 F100\nT0101\nG0 X18. Z8.\nG42 G1 X18. Z0\nX20. Z-1.\nZ-30.\nX30. Z-35.\n\
                G40 G0 X60. Z-35.\nM30\n";
    let ends = crate::moves::ends(&with_nose(400, 3), text);
    assert_eq!(ends[1..5], ["17.766 -0.117", "20.000 -1.234", "20.000 -30.234", "29.766 -35.117"]);
}

/// The same contour in a finishing cycle gives the same path; roughing is not offset (common
/// practice, from memory: applied in the finishing pass only).
#[test]
fn the_finishing_cycle_goes_beside_its_contour() {
    let text = "G21 G98 F100\nT0101\nG0 X20. Z8.\nG70 P10 Q20\nG0 X60.\nM30\n\
                N10 G42 G1 X20. Z0\nX30. Z-20.\nX30. Z-40.\nN20 G40 G0 X60. Z-40.\n";
    let ends = ends(&with_nose(800, 3), text);
    assert_eq!(ends[1..4], ["19.952 -0.606", "30.000 -20.702", "30.000 -40.800"]);
    assert_eq!(ends[4..], ["60.000 -40.000 r", "20.000 8.000 r", "60.000 8.000 r"]);
}

/// What stands between two moves of a contour comes between them, though the moves wait for what
/// lies ahead: the new speed is for the second cut.
#[test]
fn words_between_contour_blocks_keep_their_place() {
    let text = "G21 G99 F.1 G97 S600 M3\nT0101\nG0 X20. Z8.\nG42 G1 X20. Z0\nZ-10.\nS1200\nZ-20.\n\
                Z-25.\nZ-30.\nG40 G0 X60. Z-30.\nM30\n";
    let moves = motions(&with_nose(800, 3), text);
    // The tip of number 3 goes 0.8 further than the contour, which runs straight on here.
    let speed = |z: &str| {
        let cut = moves.iter().find(|(motion, _)| motion.to.z.text(Units::Mm, 1) == z);
        cut.and_then(|(motion, _)| motion.speed).unwrap()
    };
    assert!(near(speed("-10.8"), 60.0, 1e-9));
    assert!(near(speed("-20.8"), 120.0, 1e-9));
}
