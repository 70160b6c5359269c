#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    clippy::disallowed_methods,
    reason = "tests reckon the plain way; a figure that is not there fails"
)]

use super::friction::Coefficients;
use super::*;
use model::quantity::Torque;
use proptest::prelude::*;

fn n(force: f64) -> Force {
    Force::from_n(force)
}

fn rpm(speed: f64) -> SpindleSpeed {
    SpindleSpeed::from_rpm(speed)
}

fn jaws(sum: f64) -> Loss {
    Loss::Jaws(MassRadius::from_kg_m(sum))
}

fn seat(diameter: f64, length: f64, friction: f64) -> Seat {
    Seat {
        diameter: Length::nearest_mm(diameter),
        length: Length::nearest_mm(length),
        friction: Coefficients::same(friction),
    }
}

fn reaction(torque: f64, axial: f64, radial: f64, overturning: f64) -> Reaction {
    Reaction {
        torque: Torque::from_nm(torque),
        axial: n(axial),
        radial: n(radial),
        overturning: Torque::from_nm(overturning),
    }
}

fn odd_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        8 => -1e5_f64..1e5,
        1 => Just(0.0),
        1 => Just(f64::NAN),
        1 => Just(f64::INFINITY),
        1 => Just(f64::MIN_POSITIVE),
        1 => Just(f64::MAX),
    ]
}

/// Least pressure that jaws one by one press with, as a share of the mean: each jaw with its
/// normal pressure as a straight line along the grip, from balance of the jaws' forces.
fn least_pressure(jaws: u32, turn: f64, on: &Reaction, grip: f64, length_mm: f64) -> f64 {
    let jaw = |index: u32| turn + 2.0 * PI * f64::from(index) / f64::from(jaws);
    // Σcos² over the jaws by counting, not by the closed form.
    let squares: f64 = (0..jaws).map(|index| libm::cos(jaw(index)).powi(2)).sum();
    let even = grip / f64::from(jaws);
    (0..jaws)
        .map(|index| {
            let share = libm::cos(jaw(index)) / squares;
            // A line p(x) on the length g with force P_j and moment M_j about its middle has at
            // its ends (P_j ± 6·M_j/g)/g; the force even/g is there already.
            let force = on.radial.n() * share;
            let edge = 6.0 * on.overturning.nm() * 1000.0 * share / length_mm;
            (even - (force + edge).abs()) / even
        })
        .fold(f64::INFINITY, f64::min)
}

proptest! {
    #[test]
    fn the_edge_of_the_jaws_lifts_where_it_is_said(
        (radial, moment, length) in (1.0_f64..3000.0, 1.0_f64..200.0, 5.0_f64..80.0),
        count in 3_u32..12,
    ) {
        let on = reaction(0.0, 0.0, radial, moment);
        let grip = seat(40.0, length, 0.15).grip_against_lift(&on).unwrap().n();
        // One jaw exactly in the plane of the load is the worst way the spindle can stand.
        let worst = least_pressure(count, 0.0, &on, grip, length);
        prop_assert!(worst.abs() < 1e-5, "{worst}");
        for turn in 1..12 {
            let turned = least_pressure(count, f64::from(turn) * 0.1, &on, grip, length);
            prop_assert!(turned > -1e-5, "{turned}");
        }
    }

    #[test]
    fn jaws_one_by_one_hold_what_is_said_in_every_way_of_standing(
        (radial, moment, length) in (prop_oneof![Just(0.0), 0.0_f64..3000.0], 0.1_f64..200.0, 5.0_f64..80.0),
    ) {
        let on = reaction(0.0, 0.0, radial, moment);
        let grip = seat(40.0, length, 0.15).grip_against_tipping(&on).unwrap().n();
        let mut least = f64::INFINITY;
        for turn in 0..360 {
            let angle = |jaw: i32| (f64::from(turn) + 120.0 * f64::from(jaw)).to_radians();
            // Three forces balance P and add up to the grip in one way only.
            let force = |jaw| grip / 3.0 + 2.0 / 3.0 * radial * libm::cos(angle(jaw));
            prop_assert!((0..3).all(|jaw| force(jaw) >= -1e-6 * grip));
            let held: f64 = (0..3)
                .map(|jaw| force(jaw) * libm::cos(angle(jaw)).abs() * length / 2000.0)
                .sum();
            least = least.min(held);
        }
        // The gripped length is rounded to whole nanometers.
        prop_assert!(least >= moment * (1.0 - 1e-6), "{least} {moment}");
        if grip > 2.0 * radial * (1.0 + 1e-9) {
            prop_assert!(least <= moment * (1.0 + 1e-6), "{least} {moment}");
        }
    }

    #[test]
    fn speed_takes_grip_and_the_highest_speed_is_where_it_is_just_enough(
        (at_rest, for_cut) in (1000.0_f64..80_000.0, 0.0_f64..30_000.0),
        (sum, speed) in (0.001_f64..3.0, 0.0_f64..6000.0),
        collet in any::<bool>(),
    ) {
        let loss = if collet {
            Loss::Share { lost: (sum / 4.0).min(1.0), at: rpm(5000.0) }
        } else {
            jaws(sum)
        };
        let grip = |speed: f64| grip_at_speed(n(at_rest), loss, rpm(speed)).unwrap().n();
        prop_assert!(grip(speed * 1.1) <= grip(speed) && grip(speed) <= at_rest);
        let safety = Safety::LEAST;
        let highest = highest_speed(n(at_rest), n(for_cut), loss, safety).unwrap();
        let needed = |speed| {
            let lost = loss.at(n(at_rest), speed).unwrap();
            grip_at_rest_needed(n(for_cut), lost, safety).unwrap().n()
        };
        if highest.rpm() > 0.0 {
            prop_assert!((needed(highest) / at_rest - 1.0).abs() < 1e-9);
        } else {
            prop_assert!(needed(rpm(0.0)) >= at_rest * (1.0 - 1e-12));
        }
        let limit = speed_of_largest_loss(n(at_rest), loss).unwrap();
        let lost = loss.at(n(at_rest), limit).unwrap().n();
        prop_assert!((lost / at_rest - LARGEST_LOSS).abs() < 1e-9);
    }

    #[test]
    fn more_load_needs_more_grip_and_more_friction_less(
        (torque, axial, radial, moment) in
            (0.0_f64..200.0, 0.0_f64..4000.0, 0.0_f64..3000.0, 0.0_f64..200.0),
        (diameter, length, friction) in (5.0_f64..80.0, 2.0_f64..80.0, 0.05_f64..0.3),
        more in 1.0_f64..3.0,
    ) {
        let base = reaction(torque, axial, radial, moment);
        let grip = |seat: Seat, on: &Reaction| seat.grip_needed(on).unwrap().n();
        let held = seat(diameter, length, friction);
        let plain = grip(held, &base);
        for worse in [
            reaction(torque * more, axial, radial, moment),
            reaction(torque, axial * more, radial, moment),
            reaction(torque, axial, radial * more, moment),
            reaction(torque, axial, radial, moment * more),
        ] {
            prop_assert!(grip(held, &worse) >= plain * (1.0 - 1e-12));
        }
        prop_assert!(grip(seat(diameter, length, friction * more), &base) <= plain * (1.0 + 1e-12));
        prop_assert!(grip(seat(diameter, length * more, friction), &base) <= plain * (1.0 + 1e-9));
        // What is needed is enough for each of the limits by itself.
        let needed = n(plain);
        prop_assert!(held.slip_torque(needed).unwrap().nm() >= torque * (1.0 - 1e-9));
        prop_assert!(held.pull_out_force(needed).unwrap().n() >= axial * (1.0 - 1e-9));
        let moment_held = held.overturning_moment(needed, n(radial)).unwrap().nm();
        prop_assert!(moment_held >= moment * (1.0 - 1e-6), "{moment_held} {moment}");
    }

    #[test]
    fn a_shorter_grip_never_holds_more(
        (full, jaws) in (0.0_f64..80_000.0, 1.0_f64..80.0),
        (one, other) in (0.1_f64..120.0, 0.1_f64..120.0),
    ) {
        let grip = |gripped: f64| {
            short_grip(n(full), Length::nearest_mm(gripped), Length::nearest_mm(jaws)).unwrap().n()
        };
        prop_assert!(grip(one.min(other)) <= grip(one.max(other)) && grip(120.0) <= full);
    }

    #[test]
    fn nothing_is_not_a_number(
        (a, b, c, d) in (odd_number(), odd_number(), odd_number(), odd_number()),
        (x, y) in (any::<i64>(), any::<i64>()),
        count in any::<u32>(),
    ) {
        let (x, y) = (Length::from_nm(x), Length::from_nm(y));
        let friction = Coefficients { around: a, along: b };
        let seat = Seat { diameter: x, length: y, friction };
        let on = reaction(a, b, c, d);
        let safety = Safety { grip: c, machining: d };
        let mut results = vec![
            mass_radius(count, Mass::from_kg(a), x).map(MassRadius::kg_m),
            short_grip(n(a), x, y).map(Force::n),
            grip_at_rest_needed(n(a), n(b), safety).map(Force::n),
            seat.grip_against_slip(&on).map(Force::n),
            seat.grip_against_lift(&on).map(Force::n),
            seat.grip_against_tipping(&on).map(Force::n),
            seat.grip_against_tipping_by_friction(&on).map(Force::n),
            seat.grip_needed(&on).map(Force::n),
            seat.slip_torque(n(c)).map(Torque::nm),
            seat.pull_out_force(n(c)).map(Force::n),
            seat.overturning_moment(n(c), n(d)).map(Torque::nm),
        ];
        let mut speeds = Vec::new();
        for loss in [jaws(b), Loss::Share { lost: b, at: rpm(c) }] {
            results.push(loss.at(n(a), rpm(d)).map(Force::n));
            results.push(grip_at_speed(n(a), loss, rpm(d)).map(Force::n));
            speeds.push(highest_speed(n(a), n(c), loss, safety).map(SpindleSpeed::rpm));
            speeds.push(speed_of_largest_loss(n(a), loss).map(SpindleSpeed::rpm));
        }
        for result in results.into_iter().flatten() {
            prop_assert!(result.is_finite() && result >= 0.0, "{result}");
        }
        // A speed may be infinite, where speed takes no grip.
        for speed in speeds.into_iter().flatten() {
            prop_assert!(speed >= 0.0, "{speed}");
        }
    }
}

#[test]
fn what_cannot_be_is_named() {
    let what = |error: BadFigure| error.what;
    let one = Length::from_mm(1);
    let kg = Mass::from_kg(1.0);
    assert_eq!(mass_radius(0, kg, one).map_err(what), Err("number of jaws"));
    assert_eq!(mass_radius(3, Mass::from_kg(-1.0), one).map_err(what), Err("mass of a jaw"));
    assert_eq!(short_grip(n(1.0), Length::ZERO, one).map_err(what), Err("gripped length"));
    assert_eq!(short_grip(n(1.0), one, -one).map_err(what), Err("length of the jaws"));
    assert_eq!(short_grip(n(-1.0), one, one).map_err(what), Err("grip at rest"));
    let lost = jaws(1.0).at(n(1.0), rpm(-1.0));
    assert_eq!(lost.map_err(what), Err("spindle speed"));
    let share = Loss::Share { lost: 1.5, at: rpm(1000.0) };
    assert_eq!(share.at(n(1.0), rpm(1.0)).map_err(what), Err("share of the grip lost"));
    let loose = Safety { grip: 0.9, machining: 1.5 };
    assert_eq!(grip_at_rest_needed(n(1.0), n(1.0), loose).map_err(what), Err("safety factor"));
    let on = reaction(1.0, 1.0, 1.0, 1.0);
    let slip = |diameter, friction| seat(diameter, 20.0, friction).grip_against_slip(&on);
    assert_eq!(slip(0.0, 0.1).map_err(what), Err("gripped diameter"));
    assert_eq!(slip(20.0, 0.0).map_err(what), Err("coefficient of friction around the bar"));
    assert_eq!(seat(20.0, 0.0, 0.1).grip_against_lift(&on).map_err(what), Err("gripped length"));
}

#[test]
fn a_grip_too_small_at_rest_allows_no_speed_and_no_loss_every_speed() {
    let highest = |at_rest, sum| highest_speed(n(at_rest), n(3000.0), jaws(sum), Safety::LEAST);
    assert_eq!(highest(6000.0, 1.0), Ok(rpm(0.0)));
    assert!(highest(9000.0, 0.0).unwrap().rpm().is_infinite());
}
