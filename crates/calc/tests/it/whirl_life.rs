//! The highest speed over a bar's life: how it falls and rises, its ranges, and that no figures
//! make it fail.

use calc::bar::Division;
use calc::whirl::{
    self, Beam, Between, Bow, Holds, JawHold, Life, Reason, Section, Stock, Stretch, Support, Way,
    WhirlError,
};
use model::Length;
use model::quantity::{
    Angle, BedStiffness, Density, Force, Mass, Modulus, SpindleSpeed, Stiffness, TiltStiffness,
};
use proptest::prelude::*;

fn mm(mm: i64) -> Length {
    Length::from_mm(mm)
}

fn between<T: Copy>(unit: fn(f64) -> T, low: f64, likely: f64, high: f64) -> Between<T> {
    Between { low: unit(low), likely: unit(likely), high: unit(high) }
}

/// 1 m of 20 mm steel in jaws of 40 mm; 20 mm a part, 50 mm stick out.
fn life(rings: &[i64]) -> Life {
    let mut way = Way::of_jaws(mm(40), mm(950));
    way.supports = rings.iter().map(|at| Support::new(mm(*at), Holds::Pin)).collect();
    Life {
        stock: Stock {
            section: Section::Round { diameter: mm(20) },
            length: mm(1000),
            length_tolerance: Length::ZERO,
            modulus: between(Modulus::from_gpa, 195.0, 205.0, 210.0),
            density: between(Density::from_kg_per_m3, 7800.0, 7850.0, 7900.0),
            bow: Bow::AS_DRAWN,
        },
        way,
        division: Division {
            finished: mm(17),
            part_off: mm(2),
            face_stock: mm(1),
            first_face: Length::ZERO,
            jaw_clearance: mm(30),
            least_grip: mm(20),
            parts_per_advance: 1,
        },
        separation: 0.7,
        most_side_force: None,
    }
}

/// (βL)² = 3.5160 of a bar held at one end, from the roots of cos βL · cosh βL = −1.
fn cantilever(length: f64) -> f64 {
    let root = 1.875_104_068_711_961;
    let speed = root * root / (length * length) * 0.02 / 4.0 * (205e9_f64 / 7850.0).sqrt();
    speed * 30.0 / std::f64::consts::PI
}

#[test]
fn a_bar_in_jaws_alone_is_two_bars_held_at_one_end() {
    let life = life(&[]);
    for part in [1, 10, 30, 45] {
        let limit = life.limit(part).unwrap();
        let tail = 0.95 - 0.02 * f64::from(part - 1) - 0.04;
        let expected = cantilever(tail.max(0.05));
        let off = limit.critical.likely.rpm() / expected - 1.0;
        assert!(off.abs() < 1e-5, "{part}: {off}");
        assert!((limit.allowed.likely.rpm() / expected - 0.7).abs() < 1e-5);
        if tail > 0.05 {
            let to = life.behind(part).unwrap();
            assert_eq!(limit.weakest, Stretch::Tail { from: mm(40), to });
        } else {
            assert_eq!(limit.weakest, Stretch::Front { length: mm(50) });
        }
    }
}

#[test]
fn the_speed_rises_until_the_bar_leaves_a_ring() {
    let curve = life(&[300, 600]).curve(45).unwrap();
    assert_eq!(curve.limits.len(), 45);
    for pair in curve.limits.windows(2) {
        let left =
            [300, 600].iter().any(|at| pair[0].behind >= mm(*at) && pair[1].behind < mm(*at));
        let [before, after] = [&pair[0], &pair[1]].map(|limit| limit.allowed.likely.rpm());
        assert_eq!(after < before * (1.0 - 1e-5), left, "part {}", pair[1].part);
    }
    // New, 350 mm swing behind the ring at 600 mm; after it, never more than 300 mm do.
    let worst = curve.worst().unwrap();
    assert_eq!(worst.part, 1);
    assert_eq!(worst.weakest, Stretch::Tail { from: mm(600), to: mm(950) });
    assert_eq!(curve.hangs_out, Length::ZERO);
    // A span between far supports is told as one.
    let span = life(&[940]).limit(1).unwrap();
    assert_eq!(span.weakest, Stretch::Span { from: mm(40), to: mm(940) });
}

/// Part 33 of the nominal bar still reaches the ring at 300 mm, by 10 mm; one that is 12 mm shorter
/// does not, and swings 258 mm of tail where the nominal one has a tail of 10.
#[test]
fn a_bar_of_doubtful_length_is_taken_at_its_worst() {
    let mut doubtful = life(&[300]);
    assert_eq!(doubtful.behind(33).unwrap(), mm(310));
    doubtful.stock.length_tolerance = mm(12);
    // Behind the jaws 330, 310, 290 and 270 mm, all 12 mm more or less: the ring is reached by both,
    // by the longer, by the longer, by none.
    for (part, taken) in [(32, 12), (33, -12), (34, -12), (35, 12)] {
        let mut exact = life(&[300]);
        exact.stock.length += mm(taken);
        assert_eq!(doubtful.limit(part).unwrap(), exact.limit(part).unwrap(), "part {part}");
    }
    let speed = doubtful.limit(33).unwrap().critical.likely.rpm();
    assert!((speed / cantilever(0.258) - 1.0).abs() < 1e-5);
    doubtful.way.rear_end = mm(955);
    assert_eq!(doubtful.hangs_out().unwrap(), mm(7));
}

#[test]
fn several_parts_an_advance_change_the_front_only() {
    let mut three = life(&[300]);
    three.division.parts_per_advance = 3;
    three.division.first_face = mm(4);
    let places: Vec<_> =
        (1..=4).map(|part| (three.stick_out(part).unwrap(), three.behind(part).unwrap())).collect();
    // 3·20 + 30 = 90 in front and 4 more at first; each part takes 20.
    assert_eq!(
        places,
        [(mm(94), mm(906)), (mm(70), mm(906)), (mm(50), mm(906)), (mm(90), mm(846))]
    );
    assert_eq!(three.limit(0), Err(WhirlError::Parts));
    assert_eq!(three.limit(200), Err(WhirlError::Parts));
}

/// With rigid supports the speed goes with √(E/ρ), so that the ends of the range are known;
/// the low end also carries shear: 2.1·ω·r/c with r = 5 mm and c = √(195e9/7900).
#[test]
fn the_range_is_that_of_modulus_and_density() {
    let critical = life(&[300]).limit(1).unwrap().critical;
    let likely = critical.likely.rpm();
    let high = likely * (210.0_f64 / 205.0 * 7850.0 / 7800.0).sqrt();
    assert!((critical.high.rpm() / high - 1.0).abs() < 1e-9);
    let low = likely * (195.0_f64 / 205.0 * 7850.0 / 7900.0).sqrt();
    let shear = 2.1 * low * std::f64::consts::PI / 30.0 * 0.005 / (195e9_f64 / 7900.0).sqrt();
    assert!((critical.low.rpm() / (low * (1.0 - shear)) - 1.0).abs() < 1e-9);
    assert!(shear > 0.0 && shear < 1e-3);
}

/// A range that is solved agrees with one that is scaled: springs that are all but rigid.
#[test]
fn a_solved_range_is_the_scaled_one_where_springs_are_rigid() {
    let rigid = life(&[300]).limit(1).unwrap().critical;
    let mut stiff = life(&[300]);
    let lateral = Stiffness::from_n_per_mm(1e7);
    stiff.way.supports =
        vec![Support::new(mm(300), Holds::Spring { lateral, tilt: TiltStiffness::default() })];
    let stiff = stiff.limit(1).unwrap().critical;
    for (a, b) in [(rigid.low, stiff.low), (rigid.likely, stiff.likely), (rigid.high, stiff.high)] {
        assert!((a.rpm() / b.rpm() - 1.0).abs() < 1e-4, "{a} {b}");
    }
}

#[test]
fn play_makes_a_ring_a_stop_and_not_a_guide() {
    let mut loose = life(&[500]);
    loose.way.supports[0].play = Length::from_um(300);
    let guided = loose.limit(1).unwrap();
    assert_eq!(guided.critical, life(&[500]).limit(1).unwrap().critical);
    let untouched = life(&[]).limit(1).unwrap();
    let speed = guided.untouched.unwrap().rpm();
    assert!((speed / untouched.allowed.likely.rpm() - 1.0).abs() < 1e-5);
    loose.way.supports[0].play = mm(2);
    let wide = loose.limit(1).unwrap();
    assert!((wide.critical.likely.rpm() / untouched.critical.likely.rpm() - 1.0).abs() < 1e-5);
    assert_eq!(wide.untouched, None);
    // Past the free tail's critical speed the ring holds the bar at its play.
    let fast = SpindleSpeed::from_rpm(1.5 * untouched.critical.likely.rpm());
    let bent = loose.running(1, fast).unwrap();
    assert_eq!(bent.touches, 1);
    assert_eq!(life(&[]).running(1, fast), Err(WhirlError::AboveCritical));
}

#[test]
fn the_bore_stops_a_bar_that_nothing_else_holds() {
    let mut bare = life(&[]);
    bare.way.bore = Some(mm(40));
    let fast = SpindleSpeed::from_rpm(4000.0);
    let bent = bare.running(1, fast).unwrap();
    // (40 − 20)/2 = 10 mm of room.
    assert!(bent.touches > 0 && bent.run_out >= mm(10), "{bent:?}");
    let behind = bent.shape.iter().filter(|(x, _)| *x > 0.09);
    assert!(behind.clone().count() > 20);
    for (x, height) in behind {
        assert!(height.abs() <= 10.0 + 1e-6, "{x} {height}");
    }
}

#[test]
fn a_side_force_lowers_the_speed_until_it_is_borne() {
    let free = life(&[]).limit(1).unwrap();
    let mut life = life(&[]);
    let force = life.running(1, free.allowed.low).unwrap().side_force;
    let most = Force::from_n(force.n() / 3.0);
    life.most_side_force = Some(most);
    let limit = life.limit(1).unwrap();
    assert_eq!(limit.reason, Reason::SideForce);
    let at = life.running(1, limit.allowed.low).unwrap().side_force;
    assert!(at.n() <= most.n() && at.n() > 0.98 * most.n(), "{at} {most}");
    life.most_side_force = Some(Force::from_n(10.0 * force.n()));
    assert_eq!(life.limit(1).unwrap(), free);
}

#[test]
fn a_bar_of_very_many_parts_keeps_its_worst() {
    // Slowest is not the new bar, with 370 mm behind the ring, but the one that has just left it: at
    // part 372, which lies between the parts spaced evenly (371 and 373).
    let mut long = life(&[599]);
    long.stock.length = mm(1000);
    long.division.finished = Length::from_um(500);
    long.division.part_off = Length::from_um(400);
    long.division.face_stock = Length::from_um(100);
    let parts = 930;
    let curve = long.curve(parts).unwrap();
    assert!(curve.limits.len() < 410);
    let low = |limit: &whirl::Limit| limit.allowed.low.rpm();
    let worst = low(curve.worst().unwrap());
    let all = (1..=parts).map(|part| low(&long.limit(part).unwrap())).fold(f64::INFINITY, f64::min);
    assert!((worst - all).abs() < 1e-9, "{worst} {all}");
    assert_eq!(curve.worst().unwrap().part, 372);
}

/// Mostly a figure of the range, now and then one that is none.
fn odd(usual: std::ops::Range<f64>) -> impl Strategy<Value = f64> {
    prop_oneof![
        40 => usual,
        1 => -1e3_f64..1e12,
        1 => prop::sample::select(vec![0.0, f64::NAN, f64::INFINITY, 1e-300, 1e300, -0.0]),
    ]
}

/// Mostly a length up to this many millimeters, now and then one that is none.
fn odd_length(usual_mm: i64) -> impl Strategy<Value = Length> {
    prop_oneof![
        40 => (0..usual_mm * 1_000_000).prop_map(Length::from_nm),
        1 => (-1000_i64..1000).prop_map(Length::from_nm),
        1 => any::<i32>().prop_map(|nm| Length::from_nm(i64::from(nm) * 1000)),
    ]
}

fn odd_holds() -> impl Strategy<Value = Holds> {
    prop_oneof![
        Just(Holds::Pin),
        Just(Holds::Clamp),
        odd_length(400).prop_map(|more| Holds::Liner { to: mm(600) + more }),
        (odd(0.0..1e6), odd(0.0..1e6)).prop_map(|(lateral, tilt)| Holds::Spring {
            lateral: Stiffness::from_n_per_mm(lateral),
            tilt: TiltStiffness::from_nm_per_rad(tilt),
        }),
        (odd_length(400), odd(0.0..1e4)).prop_map(|(more, stiffness)| Holds::Bed {
            to: mm(600) + more,
            stiffness: BedStiffness::from_n_per_mm2(stiffness),
        }),
    ]
}

fn odd_support() -> impl Strategy<Value = Support> {
    (odd_length(600), odd_holds(), prop_oneof![Just(Length::ZERO), odd_length(3)])
        .prop_map(|(at, holds, play)| Support { at, holds, play })
}

fn odd_section() -> impl Strategy<Value = Section> {
    let size = || prop_oneof![20 => (500_000_i64..100_000_000).prop_map(Length::from_nm), 1 => odd_length(9)];
    prop_oneof![
        size().prop_map(|diameter| Section::Round { diameter }),
        size().prop_map(|across_flats| Section::Hexagon { across_flats }),
        size().prop_map(|across_flats| Section::Square { across_flats }),
        (size(), size()).prop_map(|(a, b)| Section::Tube { outside: a.max(b), bore: a.min(b) }),
    ]
}

/// Most odd figures make a bar that can turn: the properties below are about something.
#[test]
fn odd_figures_are_mostly_bars() {
    use proptest::strategy::ValueTree;
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let supports = prop::collection::vec(odd_support(), 0..6);
    let figures = (odd_section(), odd(1.0..500.0), odd(500.0..2e4), supports);
    let turns = (0..200).filter(|_| {
        let (section, modulus, density, supports) =
            figures.new_tree(&mut runner).unwrap().current();
        let modulus = Modulus::from_gpa(modulus);
        let density = Density::from_kg_per_m3(density);
        let beam =
            Beam { section, length: mm(2000), modulus, density, supports, masses: Vec::new() };
        whirl::modes(&beam, 1).is_ok()
    });
    let turns = turns.count();
    assert!((80..200).contains(&turns), "{turns} of 200");
}

fn sound(bent: &whirl::Bent) -> bool {
    let figures = [bent.stress.mpa(), bent.side_force.n()];
    let shape = bent.shape.iter().flat_map(|(x, y)| [*x, *y]);
    figures.into_iter().chain(shape).all(f64::is_finite) && !bent.run_out.is_negative()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn no_figures_make_a_beam_fail_or_give_what_is_no_number(
        section in odd_section(),
        longer in odd_length(2000),
        (modulus, density, speed) in (odd(1.0..500.0), odd(500.0..2e4), odd(0.0..2000.0)),
        supports in prop::collection::vec(odd_support(), 0..6),
        mass in prop::option::of((odd_length(900), odd(0.0..5.0))),
        (rise, over) in (odd_length(20), odd_length(3000)),
    ) {
        let length = mm(1000) + longer;
        let beam = Beam {
            section, length, supports,
            modulus: Modulus::from_gpa(modulus),
            density: Density::from_kg_per_m3(density),
            masses: mass.into_iter().map(|(at, kg)| (at, Mass::from_kg(kg))).collect(),
        };
        if let Ok(modes) = whirl::modes(&beam, 3) {
            for pair in modes.windows(2) {
                prop_assert!(pair[0].speed.rpm() <= pair[1].speed.rpm() * (1.0 + 1e-6));
            }
            for mode in modes {
                prop_assert!(mode.speed.rpm() > 0.0 && mode.speed.rpm().is_finite(), "{mode:?}");
                prop_assert!(mode.shape.iter().all(|(x, y)| x.is_finite() && y.abs() <= 1.0 + 1e-9));
            }
        }
        let bow = Bow { rise, over };
        let speed = SpindleSpeed::from_rpm(speed);
        if let Ok(bent) = whirl::running(&beam, bow, speed) {
            prop_assert!(sound(&bent), "{bent:?}");
        }
        if let Ok(bent) = whirl::sag(&beam) {
            prop_assert!(sound(&bent), "{bent:?}");
        }
        let growth = whirl::growth(speed, SpindleSpeed::from_rpm(modulus));
        prop_assert!(growth.is_err() || growth.unwrap() >= 1.0);
        let force = whirl::unbalance(Mass::from_kg(density), length, speed);
        prop_assert!(force.is_err() || force.unwrap().n() >= 0.0);
        let end = whirl::flung_end(length, Angle::from_deg(density), speed);
        prop_assert!(end.is_err() || end.unwrap().m_per_min() >= 0.0);
        let estimate = whirl::sag_estimate(length);
        prop_assert!(estimate.is_err() || estimate.unwrap().rpm() > 0.0);
    }

    #[test]
    fn no_figures_make_a_life_fail_or_give_what_is_no_number(
        section in odd_section(),
        tolerance in odd_length(3),
        (longer, jaw_length, rear_end) in (odd_length(2000), odd_length(80), odd_length(2000)),
        (a, b, c) in (0_i64..60_000_000, 0_i64..60_000_000, 0_i64..60_000_000),
        many in prop_oneof![20 => 1_u32..4, 1 => Just(0)],
        (modulus, density) in (odd(1.0..500.0), odd(500.0..2e4)),
        (within, separation) in (odd(1.0..3.0), odd(0.1..0.95)),
        supports in prop::collection::vec(odd_support(), 0..4),
        bore in prop::option::of(odd_length(200)),
        force in prop::option::of(odd(0.0..5000.0)),
        springs in prop::option::of((odd(1.0..1e6), odd(1.0..1e6))),
    ) {
        let nm = Length::from_nm;
        let life = Life {
            stock: Stock {
                section,
                length: mm(700) + longer,
                length_tolerance: tolerance,
                modulus: between(Modulus::from_gpa, modulus * 0.9, modulus, modulus),
                density: between(Density::from_kg_per_m3, density, density, density * 1.1),
                bow: Bow::AS_DRAWN,
            },
            way: Way {
                jaws: springs.map_or(JawHold::Rigid, |(lateral, tilt)| JawHold::Springs {
                    lateral: Stiffness::from_n_per_mm(lateral),
                    tilt: TiltStiffness::from_nm_per_rad(tilt),
                }),
                supports, bore, stiffness_within: within,
                ..Way::of_jaws(jaw_length, rear_end)
            },
            division: Division {
                finished: nm(a), part_off: nm(b / 10), face_stock: nm(c / 10), first_face: nm(b),
                jaw_clearance: nm(c), least_grip: nm(a), parts_per_advance: many,
            },
            separation,
            most_side_force: force.map(Force::from_n),
        };
        for part in [1, 2, 5, 40] {
            if let Ok(limit) = life.limit(part) {
                for range in [limit.critical, limit.allowed] {
                    prop_assert!(range.low <= range.likely && range.likely <= range.high, "{limit:?}");
                    prop_assert!(range.low.rpm() >= 0.0 && range.high.rpm().is_finite(), "{limit:?}");
                }
                if let Ok(bent) = life.running(part, limit.allowed.low) {
                    prop_assert!(sound(&bent), "{bent:?}");
                }
            }
        }
        if let Ok(curve) = life.curve(12) {
            prop_assert!(curve.limits.len() == 12 && curve.worst().is_some());
        }
    }
}
