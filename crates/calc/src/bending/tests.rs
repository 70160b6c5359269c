#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    clippy::disallowed_methods,
    reason = "tests reckon the plain way; a figure that is not there fails"
)]

use super::*;
use nalgebra::{DMatrix, DVector};
use proptest::prelude::*;

fn step(length: f64, diameter: f64, bore: f64) -> Step {
    let [length, diameter, bore] = [length, diameter, bore].map(Length::nearest_mm);
    Step { length, diameter, bore }
}

fn chuck(radial: f64, tilt: f64) -> Compliance {
    Compliance {
        radial: RadialCompliance::from_um_per_kn(radial),
        tilt: TiltCompliance::from_urad_per_nm(tilt),
    }
}

fn load(at: f64, force: f64, moment: f64) -> Load {
    let at = Length::nearest_mm(at);
    Load { at, force: Force::from_n(force), moment: Torque::from_nm(moment) }
}

fn near(ours: f64, other: f64, share: f64) -> bool {
    (ours - other).abs() <= share * other.abs().max(1e-9)
}

/// Deflection in µm and slope by integrating curvature twice, with fine steps (midpoint rule on
/// pieces that end where the diameter changes), apart from any beam element.
fn by_integration(steps: &[Step], gpa: f64, compliance: Compliance, load: &Load) -> (f64, f64) {
    let (force, moment, at) = (load.force.n(), 1000.0 * load.moment.nm(), load.at.mm());
    let root_moment = force * at + moment;
    let mut slope = root_moment * compliance.tilt.urad_per_nm() * 1e-9;
    let mut deflection = force * compliance.radial.um_per_kn() * 1e-6;
    let mut x = 0.0;
    for step in steps {
        let end = (x + step.length.mm()).min(at);
        let (d, b) = (step.diameter.mm(), step.bore.mm());
        let stiffness = 1000.0 * gpa * PI / 64.0 * (d.powi(4) - b.powi(4));
        let pieces = 2000;
        let dx = (end - x) / f64::from(pieces);
        for piece in 0..pieces {
            let middle = x + dx * (f64::from(piece) + 0.5);
            let curvature = (force * (at - middle) + moment) / stiffness;
            deflection += dx * (slope + dx * curvature / 2.0);
            slope += dx * curvature;
        }
        x = end;
        if x >= at {
            break;
        }
    }
    (1000.0 * deflection, slope)
}

fn parts() -> impl Strategy<Value = Vec<Step>> {
    let one = (1.0_f64..60.0, 6.0_f64..60.0, 0.0_f64..0.9);
    prop::collection::vec(one, 1..7).prop_map(|steps| {
        steps
            .into_iter()
            .map(|(length, diameter, bore)| step(length, diameter, bore * diameter))
            .collect()
    })
}

proptest! {
    #[test]
    fn the_line_is_that_of_direct_integration(
        steps in parts(),
        share in 0.05_f64..=1.0,
        (force, moment) in (-2000.0_f64..2000.0, -20.0_f64..20.0),
        (radial, tilt) in (0.0_f64..50.0, 0.0_f64..20.0),
    ) {
        let compliance = chuck(radial, tilt);
        let part = Cantilever::new(&steps, Modulus::from_gpa(205.0), compliance).unwrap();
        let load = load(share * part.stick_out(), force, moment);
        let bent = part.at_load(&load).unwrap();
        let (deflection, slope) = by_integration(&steps, 205.0, compliance, &load);
        let scale = by_integration(&steps, 205.0, compliance, &Load {
            force: Force::from_n(force.abs()), moment: Torque::from_nm(moment.abs()), ..load
        });
        prop_assert!((bent.deflection.um() - deflection).abs() <= 1e-6 * scale.0);
        prop_assert!((bent.slope - slope).abs() <= 1e-6 * scale.1);
    }

    #[test]
    fn a_load_farther_out_bends_more_and_twice_the_load_twice_as_much(
        steps in parts(),
        (near, far) in (0.0_f64..1.0, 0.0_f64..1.0),
        (radial, tilt) in (0.0_f64..50.0, 0.0_f64..20.0),
    ) {
        let part = Cantilever::new(&steps, Modulus::from_gpa(205.0), chuck(radial, tilt)).unwrap();
        let (near, far) = (near.min(far), near.max(far));
        let at = |share: f64, force| {
            part.at_load(&load(share * part.stick_out(), force, 0.0)).unwrap().deflection.um()
        };
        prop_assert!(at(far, 1000.0) >= at(near, 1000.0) * (1.0 - 1e-12));
        prop_assert!(super::tests::near(at(far, 2000.0), 2.0 * at(far, 1000.0), 1e-12));
    }

    #[test]
    fn a_weaker_part_or_chuck_bends_more(steps in parts(), thinner in 0.3_f64..1.0) {
        let tip = |steps: &[Step], gpa, compliance| {
            let part = Cantilever::new(steps, Modulus::from_gpa(gpa), compliance).unwrap();
            part.at_load(&load(part.stick_out(), 500.0, 0.0)).unwrap().deflection.um()
        };
        let thin: Vec<Step> = steps.iter()
            .map(|s| step(s.length.mm(), s.diameter.mm() * thinner, s.bore.mm() * thinner))
            .collect();
        let as_it_is = tip(&steps, 205.0, chuck(5.0, 2.0));
        prop_assert!(tip(&thin, 205.0, chuck(5.0, 2.0)) >= as_it_is);
        prop_assert!(tip(&steps, 69.0, chuck(5.0, 2.0)) > as_it_is);
        prop_assert!(tip(&steps, 205.0, chuck(6.0, 2.0)) > as_it_is);
        prop_assert!(tip(&steps, 205.0, chuck(5.0, 3.0)) > as_it_is);
        prop_assert!(tip(&steps, 205.0, chuck(0.0, 0.0)) < as_it_is);
    }

    #[test]
    fn nothing_is_not_a_number_and_nothing_panics(
        figures in prop::collection::vec((odd_length(), odd_length(), odd_length()), 0..6),
        (gpa, radial, tilt) in (odd_number(), odd_number(), odd_number()),
        (at, force, moment) in (odd_length(), odd_number(), odd_number()),
    ) {
        let steps: Vec<Step> = figures.into_iter()
            .map(|(length, diameter, bore)| Step { length, diameter, bore }).collect();
        let Ok(part) = Cantilever::new(&steps, Modulus::from_gpa(gpa), chuck(radial, tilt)) else {
            return Ok(());
        };
        let (force, moment) = (Force::from_n(force), Torque::from_nm(moment));
        if let Ok(line) = part.line(&Load { at, force, moment }) {
            for bent in line {
                prop_assert!(bent.at.is_finite() && bent.slope.is_finite());
                prop_assert!(bent.deflection.um().is_finite());
            }
        }
        let cut = Cut {
            from: at, to: Length::ZERO, diameter: at, passive: force, cutting: force, feed: force,
        };
        if let Ok(form) = part.form(&cut) {
            prop_assert!(form.taper.um() >= 0.0 && form.taper.um().is_finite());
            prop_assert!(form.worst.1.um().is_finite());
        }
    }
}

fn odd_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        8 => -1e4_f64..1e4,
        1 => Just(0.0),
        1 => Just(f64::NAN),
        1 => Just(f64::INFINITY),
        1 => Just(f64::MIN_POSITIVE),
        1 => Just(f64::MAX),
    ]
}

fn odd_length() -> impl Strategy<Value = Length> {
    prop_oneof![
        4 => (0_i64..100_000_000).prop_map(Length::from_nm),
        1 => any::<i64>().prop_map(Length::from_nm),
        1 => Just(Length::ZERO),
        1 => (1_i64..2000).prop_map(Length::from_nm),
    ]
}

/// The whole beam by a dense solver, with twice as many elements, springs always as springs.
fn dense(steps: &[(f64, f64)], radial: f64, tilt: f64, force: f64) -> f64 {
    let halves: Vec<(f64, f64)> =
        steps.iter().flat_map(|&(length, d)| [(length / 2.0, d), (length / 2.0, d)]).collect();
    let count = 2 * (halves.len() + 1);
    let mut k = DMatrix::<f64>::zeros(count, count);
    for (index, (l, d)) in halves.iter().enumerate() {
        let ei = 205_000.0 * PI / 64.0 * d.powi(4);
        let element = nalgebra::Matrix4::new(
            12.0,
            6.0 * l,
            -12.0,
            6.0 * l,
            6.0 * l,
            4.0 * l * l,
            -6.0 * l,
            2.0 * l * l,
            -12.0,
            -6.0 * l,
            12.0,
            -6.0 * l,
            6.0 * l,
            2.0 * l * l,
            -6.0 * l,
            4.0 * l * l,
        ) * (ei / l.powi(3));
        let mut place = k.view_mut((2 * index, 2 * index), (4, 4));
        place += element;
    }
    k[(0, 0)] += 1e6 / radial;
    k[(1, 1)] += 1e9 / tilt;
    let mut right = DVector::zeros(count);
    right[count - 2] = force;
    1000.0 * k.lu().solve(&right).unwrap()[count - 2]
}

#[test]
fn a_dense_solver_with_finer_elements_agrees() {
    let steps = [(30.0, 25.0), (18.0, 16.0), (7.0, 22.0), (12.0, 9.0)];
    let ours: Vec<Step> = steps.iter().map(|&(l, d)| step(l, d, 0.0)).collect();
    for (radial, tilt) in [(4.0, 1.5), (40.0, 0.01), (0.01, 30.0)] {
        let part = Cantilever::new(&ours, Modulus::from_gpa(205.0), chuck(radial, tilt)).unwrap();
        let tip = part.at_load(&load(67.0, 350.0, 0.0)).unwrap().deflection.um();
        assert!(near(tip, dense(&steps, radial, tilt, 350.0), 1e-8), "{tip}");
    }
}

#[test]
fn a_very_short_step_does_not_spoil_the_rest() {
    for short in [1e-6, 1e-4, 0.01, 0.05, 0.079, 0.39, 0.41] {
        for place in [0.001, 0.05, 20.0, 79.9, 79.999 - short] {
            for diameter in [25.0, 6.0] {
                let steps = [
                    step(place, 20.0, 0.0),
                    step(short, diameter, 0.0),
                    step((80.0 - place - short).max(1e-6), 20.0, 0.0),
                ];
                let steel = Modulus::from_gpa(205.0);
                let part = Cantilever::new(&steps, steel, Compliance::default()).unwrap();
                let load = load(part.stick_out(), 500.0, 5.0);
                let ours = part.at_load(&load).unwrap();
                let (deflection, slope) =
                    by_integration(&steps, 205.0, Compliance::default(), &load);
                assert!(near(ours.deflection.um(), deflection, 1e-6), "{short} {place} {diameter}");
                assert!(near(ours.slope, slope, 1e-6), "{short} {place} {diameter}");
            }
        }
    }
}

#[test]
fn shear_counts_in_short_parts_and_hardly_in_long_ones() {
    let steel = Modulus::from_gpa(205.0);
    for (length, share) in [(20.0, 0.550), (60.0, 0.0611), (200.0, 0.0055)] {
        let steps = [step(length / 2.0, 20.0, 0.0), step(length / 2.0, 20.0, 0.0)];
        let tip =
            |part: Cantilever| part.at_load(&load(length, 500.0, 0.0)).unwrap().deflection.um();
        let rigid = Compliance::default();
        let bent = tip(Cantilever::new(&steps, steel, rigid).unwrap());
        let both = tip(Cantilever::with_shear(&steps, steel, 0.3, rigid).unwrap());
        // 3·E·I/(κ·G·A·L²) with κ = 0.8864: 3·2·1.3/(16·0.8864)·(d/L)² = 0.550·(d/L)².
        assert!(near(both / bent - 1.0, share, 1e-2), "{length}: {}", both / bent - 1.0);
    }
    for poisson in [-0.1, 0.6, f64::NAN] {
        let part = Cantilever::with_shear(&[step(9.0, 9.0, 0.0)], steel, poisson, chuck(0.0, 0.0));
        assert_eq!(part.unwrap_err().what, "Poisson's ratio");
    }
}

#[test]
fn a_load_just_past_a_change_of_diameter_is_reckoned_sharply() {
    // Here a stiffness matrix loses three digits and more.
    let steps = [step(10.610_079, 6.0, 0.0), step(59.9381, 38.7, 0.0), step(35.8, 6.0, 0.0)];
    let steel = Modulus::from_gpa(205.0);
    let part = Cantilever::new(&steps, steel, Compliance::default()).unwrap();
    for at in [10.610_079, 10.610_08, 27.396_731, 70.548_179, 70.548_18, 71.0] {
        let load = load(at, 0.0, 19.0);
        let bent = part.at_load(&load).unwrap();
        let (deflection, slope) = by_integration(&steps, 205.0, Compliance::default(), &load);
        assert!(near(bent.deflection.um(), deflection, 1e-6), "{at}: {bent:?} {deflection}");
        assert!(near(bent.slope, slope, 1e-6), "{at}: {bent:?} {slope}");
    }
}

#[test]
fn the_tip_beyond_the_load_stays_straight() {
    let part =
        Cantilever::new(&[step(100.0, 20.0, 0.0)], Modulus::from_gpa(205.0), Compliance::default())
            .unwrap();
    let line = part.line(&load(60.0, 500.0, 0.0)).unwrap();
    let (at, tip) = (line[line.len() - 2], line[line.len() - 1]);
    assert_eq!((line[0].deflection.um(), line[0].slope, tip.at), (0.0, 0.0, 100.0));
    // F·a²·(3L − a)/(6EI), the table of beams.
    let ei = 205_000.0 * PI / 64.0 * 20.0_f64.powi(4);
    let expected = 1000.0 * 500.0 * 3600.0 * (300.0 - 60.0) / (6.0 * ei);
    assert!(near(tip.deflection.um(), expected, 1e-9) && tip.slope == at.slope);
}

#[test]
fn a_load_at_the_jaw_face_moves_the_chuck_only() {
    let part = Cantilever::new(&[step(50.0, 20.0, 0.0)], Modulus::from_gpa(205.0), chuck(4.0, 2.0))
        .unwrap();
    let bent = part.at_load(&load(0.0, 500.0, 10.0)).unwrap();
    assert!(near(bent.deflection.um(), 2.0, 1e-12) && near(bent.slope, 20e-6, 1e-12));
}

#[test]
fn what_cannot_be_is_named() {
    let good = step(50.0, 20.0, 0.0);
    let steel = Modulus::from_gpa(205.0);
    let named = |steps: &[Step], modulus, compliance| {
        Cantilever::new(steps, modulus, compliance).unwrap_err().what
    };
    let rigid = Compliance::default();
    assert_eq!(named(&[], steel, rigid), "part in front of the jaws");
    assert_eq!(named(&[step(0.0, 20.0, 0.0)], steel, rigid), "length of a step");
    assert_eq!(named(&[good, step(5.0, 0.0, 0.0)], steel, rigid), "diameter of a step");
    assert_eq!(named(&[step(5.0, 10.0, 10.0)], steel, rigid), "bore of a step");
    assert_eq!(named(&[step(5.0, 10.0, -1.0)], steel, rigid), "bore of a step");
    assert_eq!(named(&[good], Modulus::from_gpa(0.0), rigid), "modulus of elasticity");
    assert_eq!(named(&[good], steel, chuck(-1.0, 0.0)), "radial compliance of the chuck");
    assert_eq!(named(&[good], steel, chuck(0.0, -1.0)), "tilt compliance of the chuck");
    let part = Cantilever::new(&[good], steel, rigid).unwrap();
    for at in [-1.0, 50.01] {
        assert_eq!(part.at_load(&load(at, 1.0, 0.0)).unwrap_err().what, "place of the load");
    }
    assert_eq!(part.at_load(&load(1.0, f64::NAN, 0.0)).unwrap_err().what, "force on the part");
    assert!(stick_out_ratio(Length::ZERO, Length::from_mm(1)).is_err());
    assert!(diameter_error(Length::ZERO, Deflection::default(), Deflection::default()).is_err());
}

fn cut(from: f64, to: f64, forces: (f64, f64, f64)) -> Cut {
    let (passive, cutting, feed) = forces;
    Cut {
        from: Length::nearest_mm(from),
        to: Length::nearest_mm(to),
        diameter: Length::from_mm(18),
        passive: Force::from_n(passive),
        cutting: Force::from_n(cutting),
        feed: Force::from_n(feed),
    }
}

#[test]
fn the_form_is_the_cube_of_the_stick_out_and_shows_where_it_breaks() {
    let part =
        Cantilever::new(&[step(80.0, 20.0, 0.0)], Modulus::from_gpa(205.0), Compliance::default())
            .unwrap();
    let form = part.form(&cut(80.0, 0.0, (300.0, 0.0, 0.0))).unwrap();
    // 2·F·L³/(3EI) on the diameter.
    let ei = 205_000.0 * PI / 64.0 * 20.0_f64.powi(4);
    let tip = 2000.0 * 300.0 * 512_000.0 / (3.0 * ei);
    assert!(near(form.worst.1.um(), tip, 1e-9) && form.worst.0 == 80.0);
    assert!(near(form.taper.um(), tip, 1e-9));
    let half = form.broken(Deflection::from_um(tip / 8.0)).unwrap().unwrap();
    assert!((half.nearest - 40.0).abs() < 0.01 && half.farthest == 80.0, "{half:?}");
    assert_eq!(form.broken(Deflection::from_um(tip * 1.001)).unwrap(), None);
    assert!(form.broken(Deflection::from_um(-1.0)).is_err());
}

#[test]
fn the_feed_force_bends_the_part_back_toward_the_tool() {
    let part =
        Cantilever::new(&[step(80.0, 20.0, 0.0)], Modulus::from_gpa(205.0), Compliance::default())
            .unwrap();
    let error = |forces| part.error_at(&cut(80.0, 0.0, forces), Length::from_mm(80)).unwrap().um();
    // F_p·L³/(3EI) − F_f·r·L²/(2EI), twice on the diameter: r = 9 mm, 80 mm out.
    let ei = 205_000.0 * PI / 64.0 * 20.0_f64.powi(4);
    let by_hand = 2000.0 * (300.0 * 512_000.0 / 3.0 - 400.0 * 9.0 * 6400.0 / 2.0) / ei;
    assert!(near(error((300.0, 0.0, 400.0)), by_hand, 1e-9));
    // The cutting force counts in the second order: 0.1272 mm across is 1.798 µm on the diameter.
    let across = 1000.0 * 1200.0 * 512_000.0 / (3.0 * ei);
    let second = error((0.0, 1200.0, 0.0));
    assert!(near(second, across * across / 9000.0, 1e-3) && near(second, 1.798, 1e-3));
}
