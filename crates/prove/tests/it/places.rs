//! Where words send the tool: shifts, work offsets, tool offsets, homes, and the way of rapid moves.
//! Rows D of the project's list of worked NC checks, with their flags, and what belongs to them.
#![allow(dead_code, reason = "a test fails by panic")]

use crate::moves::{control, ends, motions, place, proof, shop};
use model::Length;
use model::files::control::{CodeSystem, DwellCounts};
use model::files::lathe::Home;
use model::quantity::{Acceleration, FeedRate};

/// D1 (NISTIR 6556 §3.5.18, found, for the plane of mills): a second setting adds to the first.
#[test]
fn d1_coordinates_set_twice() {
    let setup = control(|control| control.code_system = CodeSystem::B);
    // The tool stands at diameter 8; radii are 4, so that the row's figures are radii here.
    let set = |words: &str| {
        let text = format!("G21 G94 F100\nG0 X8. Z0.\n{words}\nG1 X14.\nM30\n");
        ends(&setup, &text).pop().unwrap()
    };
    // At 4 the place is called 7: 7 is where the tool already stands, an offset of -3.
    assert_eq!(set("G92 X14."), "8.000 0.000");
    // Called 9 then, the offset is -5: 7 lies 2 below.
    assert_eq!(set("G92 X14.\nG92 X18."), "4.000 0.000");
}

/// D2 (NISTIR 6556 §3.5.5, found): one work offset is set, its other axes and the others stay.
#[test]
fn d2_a_work_offset_is_set() {
    let setup = control(|_| {});
    let text = "G21 G98 F100\nG10 L2 P1 X0 Z0\nG10 L2 P2 X7. Z17.2\n\
                G55 G0 X0 Z0\nG10 L2 P2 Z18.\nX0 Z0\nG54 X0 Z0\nM30\n";
    let wanted = ["7.000 17.200 r", "7.000 18.000 r", "0.000 0.000 r"];
    assert_eq!(ends(&setup, text), wanted);
}

/// From memory: increments move an offset, G52 shifts all of them, and the external offset too.
#[test]
fn offsets_add_up() {
    let setup = control(|_| {});
    let text = "G21 G98 F100\nG0 X0 Z0\nG10 L2 P1 U2. W-1.\nX0 Z0\nG52 X10. Z5.\nX0 Z0\n\
                G10 L2 P0 W.5\nZ0\nG52 X0 Z0\nX0 Z0\nM30\n";
    let wanted =
        ["0.000 0.000 r", "2.000 -1.000 r", "12.000 4.000 r", "12.000 4.500 r", "2.000 -0.500 r"];
    assert_eq!(ends(&setup, text), wanted);
}

/// From memory: a wear offset changed by an increment moves the tip of its tool alone.
#[test]
fn wear_moves_the_tool_it_belongs_to() {
    let setup = control(|_| {});
    let text = "G21 G98 F100\nT0101\nG0 X10. Z0\nG10 P1 U-.2 W.05\nX10. Z0\nT0202\nX10. Z0\n\
                T0101\nX10. Z0\nM30\n";
    let wanted = ["10.000 0.000 r", "9.800 0.050 r", "10.000 0.000 r", "9.800 0.050 r"];
    assert_eq!(ends(&setup, text), wanted);
    let (_, unproven) = proof(&setup, "G21\nT0101\nG10 P1 X-.2\nM30\n");
    let what = "what the tool offset held before the program set it";
    assert!(unproven.iter().any(|open| open == what), "{unproven:?}");
}

/// A work offset that nobody set lies nobody knows where.
#[test]
fn an_offset_that_is_not_known_is_unproven() {
    let setup = control(|_| {});
    let (_, unproven) = proof(&setup, "G21\nG55 G0 X0 Z0\nM30\n");
    let what = "where work offsets other than the first lie";
    assert!(unproven.iter().any(|open| open == what), "{unproven:?}");
    let known = "G21\nG10 L2 P1 X0 Z0\nG10 L2 P2 X0 Z5.\nG55 G0 X0 Z0\nM30\n";
    let (_, unproven) = proof(&setup, known);
    assert!(unproven.iter().all(|open| open != what), "{unproven:?}");
}

/// The test shop with a home position at X 200 and 150 before the jaws, and a second one.
fn with_homes() -> prove::Setup {
    shop(|setup| {
        let home = |number, x, z| Home { number, x: Length::from_mm(x), z: Length::from_mm(z) };
        let lathe = setup.lathe.as_mut().unwrap();
        lathe.homes = vec![home(1, 200, 150), home(2, 220, 170)];
    })
}

/// D3 (from memory), with the home position known: the jaws stand 34.5 behind the finished face
/// (face stock 0.5, advance 23, jaw clearance 12), so home is Z115.5.
#[test]
fn d3_home_is_reached_by_way_of_the_place_named() {
    let text = "G21 G98 F100\nT0101\nG0 X40. Z10.\nG28 U10. W5.\nG0 X40. Z10.\nG28 U0\n\
                G30 U0 W0\nG53 X-10. Z-5.\nM30\n";
    let wanted = [
        "40.000 10.000 r",
        "50.000 15.000 r",
        "200.000 115.500 r",
        "40.000 10.000 r",
        "200.000 10.000 r",
        "220.000 135.500 r",
        "190.000 110.500 r",
    ];
    assert_eq!(ends(&with_homes(), text), wanted);
    let (_, unproven) = proof(&with_homes(), text);
    assert!(unproven.iter().all(|open| open != "the way to the home position"), "{unproven:?}");
}

/// D9 (computed): each axis at its own speed, X 200 mm/s on the radius and Z 400 mm/s, from X100
/// Z50 to X20 Z2: Z is there first, with X at 52. Straight, the move takes as long.
#[test]
fn d9_rapid_moves_bend_where_the_first_axis_is_there() {
    let way = |straight| {
        let setup = shop(|setup| {
            setup.control.rapid_straight = straight;
            let rapid = &mut setup.lathe.as_mut().unwrap().rapid;
            rapid.x = FeedRate::from_mm_per_min(200.0 * 60.0);
            rapid.z = FeedRate::from_mm_per_min(400.0 * 60.0);
            // The row has no acceleration.
            rapid.x_acceleration = Acceleration::from_m_per_s2(1e12);
            rapid.z_acceleration = rapid.x_acceleration;
        });
        let moves = motions(&setup, "G21\nG0 X100. Z50.\nX20. Z2.\nM30\n");
        let bend = moves[1].0.bend.map(|bend| place(bend.r * 2, bend.z));
        (bend, moves[1].1 - moves[0].1)
    };
    let (bend, time) = way(false);
    assert_eq!(bend.as_deref(), Some("52.000 2.000"));
    assert!((time - 0.2).abs() < 1e-6, "{time}");
    let (bend, time) = way(true);
    assert_eq!(bend, None);
    assert!((time - 0.2).abs() < 1e-6, "{time}");
}

/// From memory: on some controls a dwell counts turns while feeds are per revolution. 10 turns at
/// 600 rev/min take a second.
#[test]
fn a_dwell_may_count_turns() {
    let seconds = |counts| {
        let setup = control(|control| control.numbers.dwell_counts = counts);
        let text = "G21 G99 G97 S600 M3\nG4 X10.\nG0 X10.\nM30\n";
        motions(&setup, text)[0].1
    };
    assert!((seconds(DwellCounts::Seconds) - 10.0).abs() < 1e-9);
    assert!((seconds(DwellCounts::Revolutions) - 1.0).abs() < 1e-9);
}

/// From memory: with the switch on, a block is left out; with the sign inside, its rest is.
#[test]
fn the_skip_switch_leaves_blocks_out() {
    let text = "G21 G98 F100\nG0 X40. Z10.\n/G0 X50.\n/2 G0 X60.\nG0 Z20. /X70.\nM30\n";
    let with = |levels: &[u8]| {
        let mut setup = control(|_| {});
        setup.skip_switches = levels.to_vec();
        ends(&setup, text)
    };
    assert_eq!(
        with(&[]),
        ["40.000 10.000 r", "50.000 10.000 r", "60.000 10.000 r", "70.000 20.000 r"]
    );
    assert_eq!(with(&[1]), ["40.000 10.000 r", "60.000 10.000 r", "60.000 20.000 r"]);
    assert_eq!(with(&[1, 2]), ["40.000 10.000 r", "40.000 20.000 r"]);
}
