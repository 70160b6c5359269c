//! One cut with all that follows, on every shipped material: by hand, and for any figures.

use calc::cut::{Cut, CutError, Edge, EdgeMaterial, Limit, Limits, Outcome};
use calc::cutting::Wear;
use calc::registry::{self, Given};
use calc::spread::Spread;
use model::files::Material;
use model::files::lathe::Drive;
use model::quantity::{
    Angle, FeedPerRev, Force, Power, Roughness, Seconds, SpindleSpeed, SurfaceSpeed, Torque,
};
use model::{Length, Source};
use proptest::prelude::*;
use std::path::Path;
use std::sync::LazyLock;

static MATERIALS: LazyLock<Vec<Material>> = LazyLock::new(|| {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/materials");
    let mut paths: Vec<_> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let read = |path: &std::path::PathBuf| {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        Material::read(&Source::new(name, std::fs::read(path).unwrap())).value.unwrap()
    };
    paths.iter().map(read).collect()
});

fn material(name: &str) -> &'static Material {
    MATERIALS.iter().find(|material| material.name == name).unwrap()
}

fn mm(mm: f64) -> Length {
    Length::nearest_mm(mm)
}

/// Turning 1045 from 40 to 34 mm at 0.3 mm/rev and 100 m/min with a sharp 75° edge.
fn turning() -> Cut<'static> {
    Cut {
        from: mm(40.0),
        to: mm(34.0),
        feed: FeedPerRev::from_mm(0.3),
        speed: SurfaceSpeed::from_m_per_min(100.0),
        clamp: SpindleSpeed::from_rpm(3000.0),
        edge: Edge::Nose { edge: Angle::from_deg(75.0), nose: Length::ZERO, inside: false },
        rake: None,
        made_of: Some(EdgeMaterial::Carbide),
        wear: Wear::Sharp,
        material: material("1045 steel"),
    }
}

/// At 100 m/min the two laws of the speed factor, with their rounded constants, meet within 0.03 %,
/// and binary rounding decides which is taken: forces by hand are held to 0.04 %.
fn about(ours: f64, expected: f64) {
    near(ours, expected, 0.000_4 * expected);
}

fn near(ours: f64, expected: f64, within: f64) {
    assert!((ours - expected).abs() <= within, "{ours} is not {expected}");
}

#[test]
fn turning_1045_by_hand() {
    let outcome = turning().outcome().unwrap();
    // n = 100 000 / (π · 40); kc 2640.36 and Fc 2376.3 N from handbook/made-by/cutting.txt, E1; the
    // speed factor at 100 m/min is 1.
    near(outcome.spindle.rpm(), 795.77, 0.01);
    about(outcome.force.nominal.n(), 2376.3);
    about(outcome.force.low.n(), 0.8 * 2376.3);
    about(outcome.force.high.n(), 1.2 * 2376.3);
    about(outcome.torque.nominal.nm(), 2376.3 * 0.020);
    about(outcome.power.nominal.w(), 2376.3 * 100.0 / 60.0);
    // Half of Fc at right angles to the edge.
    about(outcome.axial.nominal.n(), 1188.15 * 0.965_926);
    about(outcome.radial.nominal.n(), 1188.15 * 0.258_819);
    // π/4 · (40² − 34²) · 0.3 · 795.77 / 1000 cm³/min.
    near(outcome.rate.cm3_per_min(), 83.25, 0.01);
    // 0.82 hp/(in³/min) · 2.7303 J/mm³ · C 1.0032 · 1387.5 mm³/s.
    let unit = outcome.unit_power.unwrap().nominal.w();
    near(unit, 0.82 * 2.730_324 * 1.003_2 * 83.25e3 / 60.0, 2.0);
    // 3960 W against 3116 W: 1.27, which is not yet worth showing.
    assert_eq!(outcome.opinions_apart, None);
    // Ra of a sharp corner is not judged.
    assert_eq!(outcome.ra, None);
    // 15 min at 239 m/min, 0.18 and 1 mm: T = 15 · (2.39 · 0.6^0.28 · (1/3)^0.14)^4.
    near(outcome.life.unwrap().time.nominal.s() / 60.0, 149.2, 0.2);
}

#[test]
fn annealed_4140_shows_both_opinions() {
    let cut = Cut { material: material("4140 steel, annealed"), ..turning() };
    let apart = cut.outcome().unwrap().opinions_apart.unwrap();
    // Kienzle 3450 N/mm² over 0.69 · 2730.3: materials.md says 1.83, there at v·f·ap and C = 1;
    // ours at the mean diameter, 40/37 more.
    near(apart, 1.83 * 40.0 / 37.0, 0.03);
}

#[test]
fn a_blade_pushes_across_the_axis_and_a_drill_along_it() {
    let blade = Cut {
        from: mm(40.0),
        to: Length::ZERO,
        feed: FeedPerRev::from_mm(0.08),
        edge: Edge::Blade { width: mm(3.0) },
        ..turning()
    };
    let outcome = blade.outcome().unwrap();
    // 758.8 N from handbook/made-by/cutting.txt, E6, times 1.3 for a slot; half of it against the
    // feed.
    about(outcome.force.nominal.n(), 1.3 * 758.8);
    about(outcome.radial.nominal.n(), 0.65 * 758.8);
    near(outcome.axial.nominal.n(), 0.0, 0.001);
    assert!(outcome.axial.high.n() > 0.0);

    let drill = Cut {
        from: Length::ZERO,
        to: mm(10.0),
        feed: FeedPerRev::from_mm(0.2),
        clamp: SpindleSpeed::from_rpm(10_000.0),
        edge: Edge::Drill { point: Angle::from_deg(118.0) },
        made_of: Some(EdgeMaterial::HighSpeedSteel),
        ..turning()
    };
    let outcome = drill.outcome().unwrap();
    // 7.828 N·m from handbook/made-by/cutting.txt, times 1.2 in a hole.
    about(outcome.torque.nominal.nm(), 1.2 * 7.8282);
    near(outcome.radial.high.n(), 0.0, 0.0);
    // Power is torque times speed, and the force of both lips at a quarter of the diameter gives
    // that torque.
    about(outcome.power.nominal.w(), 1.2 * 7.8282 * 100.0 / 60.0 / 0.005);
    near(outcome.force.nominal.n() * 2.0 * 0.0025, outcome.torque.nominal.nm(), 1e-9);
    assert!(Cut { from: mm(2.0), ..drill }.outcome().is_err());
}

#[test]
fn a_shallow_cut_with_a_large_nose_pushes_the_bar_away() {
    let edge = |nose| Edge::Nose { edge: Angle::from_deg(95.0), nose: mm(nose), inside: false };
    let finish = Cut { from: mm(20.4), to: mm(20.0), edge: edge(0.0), ..turning() };
    let sharp = finish.outcome().unwrap();
    let round = Cut { edge: edge(0.8), ..finish }.outcome().unwrap();
    assert!(sharp.axial.nominal.n() > sharp.radial.nominal.n());
    assert!(round.radial.nominal.n() > round.axial.nominal.n());
}

#[test]
fn what_is_missing_or_impossible_is_named() {
    let mut unknown = material("1045 steel").clone();
    unknown.force = None;
    let cut = Cut { material: &unknown, ..turning() };
    let error = cut.outcome().unwrap_err();
    assert_eq!(error.to_string(), "the material file of 1045 steel has no table `[force]`");
    let named = |cut: Cut<'_>| match cut.outcome() {
        Err(CutError::Figure(which)) => which,
        other => panic!("{other:?}"),
    };
    let zero = Cut { from: Length::ZERO, to: Length::ZERO, ..turning() };
    assert_eq!(named(zero), "the diameter");
    assert_eq!(named(Cut { to: mm(40.0), ..turning() }), "the depth");
    assert_eq!(named(Cut { feed: FeedPerRev::default(), ..turning() }), "the feed");
    assert_eq!(named(Cut { speed: SurfaceSpeed::default(), ..turning() }), "the speed");
    let rake = Some(Angle::from_deg(90.0));
    assert_eq!(named(Cut { rake, ..turning() }), "the rake angle");
    let sharp = turning().outcome().unwrap();
    let drive = drive();
    let beyond =
        Limits { drive: Some((&drive, SpindleSpeed::from_rpm(500.0))), ..Limits::default() };
    assert!(sharp.loads(&beyond).is_err(), "800 rev/min on a spindle of 500");
}

fn drive() -> Drive {
    Drive {
        power: Power::from_w(7500.0),
        base_speed: SpindleSpeed::from_rpm(1500.0),
        full_power_to: None,
        efficiency: 0.8,
    }
}

#[test]
fn the_nearest_limit_is_the_one_most_used() {
    let outcome = turning().outcome().unwrap();
    let drive = drive();
    let limits = Limits {
        drive: Some((&drive, SpindleSpeed::from_rpm(4000.0))),
        grip_torque: Some(Torque::from_nm(100.0)),
        radial_force: Some(Force::from_n(2000.0)),
        axial_force: None,
        ra: Some(Roughness::from_um(1.6)),
        edge_time: Some(Seconds::from_s(600.0)),
    };
    let loads = outcome.loads(&limits).unwrap();
    // Power: 6 kW · 795.77/1500 = 3183 W for 3960 W; the torque of the same drive is the same
    // share. Ra is not judged without a nose.
    assert_eq!(loads.len(), 5);
    let nearest = outcome.nearest(&limits).unwrap().unwrap();
    assert!(matches!(nearest.limit, Limit::Power | Limit::Torque));
    about(nearest.nominal, 3960.5 / 3183.1);
    near(nearest.worst, 1.2 * nearest.nominal, 1e-9);
    let grip = loads.iter().find(|load| load.limit == Limit::GripTorque).unwrap();
    about(grip.worst, 1.2 * 0.47526);
    assert!(outcome.nearest(&Limits::default()).unwrap().is_none());
    assert!(loads.windows(2).all(|pair| pair[0].worst >= pair[1].worst));
}

/// Every range of an outcome, as figures.
fn ranges(outcome: &Outcome) -> Vec<Spread<f64>> {
    let mut ranges = vec![
        outcome.force.map(Force::n),
        outcome.thrust.feed.map(Force::n),
        outcome.thrust.passive.map(Force::n),
        outcome.radial.map(Force::n),
        outcome.axial.map(Force::n),
        outcome.torque.map(Torque::nm),
        outcome.power.map(Power::w),
        outcome.heat_in_chips.map(Power::w),
    ];
    ranges.extend(outcome.unit_power.map(|power| power.map(Power::w)));
    ranges.extend(outcome.life.map(|life| life.time.map(Seconds::s)));
    ranges.extend(outcome.ra.map(|ra| ra.map(Roughness::um)));
    ranges
}

fn any_edge(angle: f64, length: Length, other: Length, which: u8) -> Edge {
    let angle = Angle::from_deg(angle);
    match which % 5 {
        0 => Edge::Nose { edge: angle, nose: length, inside: which > 99 },
        1 => Edge::Face { edge: angle, nose: length, depth: other },
        2 => Edge::Blade { width: length },
        3 => Edge::Drill { point: angle },
        _ => Edge::Thread { blank: length, flat: other, angle },
    }
}

fn odd_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>(),
        -10.0_f64..1000.0,
        Just(0.0),
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(f64::MIN_POSITIVE),
    ]
}

fn odd_length() -> impl Strategy<Value = Length> {
    prop_oneof![
        any::<i64>().prop_map(Length::from_nm),
        (-1_000_000_i64..200_000_000).prop_map(Length::from_nm),
        Just(Length::ZERO),
    ]
}

/// Cuts as a shop makes them: turning with a nose.
fn shop_cut() -> impl Strategy<Value = Cut<'static>> {
    let figures = (8.0_f64..80.0, 0.1_f64..3.0, 0.04_f64..0.5, 20.0_f64..300.0);
    let edge = (30.0_f64..120.0, 0.0_f64..1.2);
    let choice = (0..MATERIALS.len(), any::<bool>(), 0_u8..3);
    (figures, edge, choice).prop_map(
        |((to, depth, feed, speed), (edge, nose), (which, hss, wear))| Cut {
            from: mm(to + 2.0 * depth),
            to: mm(to),
            feed: FeedPerRev::from_mm(feed),
            speed: SurfaceSpeed::from_m_per_min(speed),
            clamp: SpindleSpeed::from_rpm(1e6),
            edge: Edge::Nose { edge: Angle::from_deg(edge), nose: mm(nose), inside: false },
            rake: None,
            made_of: Some(if hss { EdgeMaterial::HighSpeedSteel } else { EdgeMaterial::Carbide }),
            wear: [Wear::Sharp, Wear::Worn, Wear::Any][usize::from(wear)],
            material: &MATERIALS[which],
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn nothing_is_not_a_number(
        (from, to, length, other) in (odd_length(), odd_length(), odd_length(), odd_length()),
        (feed, speed, clamp, angle, rake) in
            (odd_number(), odd_number(), odd_number(), odd_number(), odd_number()),
        (which, kind) in (0..MATERIALS.len(), any::<u8>()),
    ) {
        let cut = Cut {
            from,
            to,
            feed: FeedPerRev::from_mm(feed),
            speed: SurfaceSpeed::from_m_per_min(speed),
            clamp: SpindleSpeed::from_rpm(clamp),
            edge: any_edge(angle, length, other, kind),
            rake: (kind > 127).then_some(Angle::from_deg(rake)),
            made_of: Some(EdgeMaterial::Carbide),
            wear: Wear::Any,
            material: &MATERIALS[which],
        };
        if let Ok(outcome) = cut.outcome() {
            for range in ranges(&outcome) {
                prop_assert!(range.low >= 0.0 && range.high.is_finite(), "{range:?}");
                prop_assert!(range.low <= range.nominal && range.nominal <= range.high);
            }
            prop_assert!(outcome.rate.cm3_per_min().is_finite());
        }
    }

    #[test]
    fn every_shop_cut_has_an_outcome_with_its_nominal_in_the_range(cut in shop_cut()) {
        let outcome = cut.outcome().unwrap();
        for range in ranges(&outcome) {
            prop_assert!(range.low >= 0.0 && range.high.is_finite(), "{range:?}");
            prop_assert!(range.low <= range.nominal && range.nominal <= range.high, "{range:?}");
        }
        prop_assert!(outcome.force.low.n() > 0.0);
        prop_assert!(outcome.force.low < outcome.force.high);
    }

    #[test]
    fn more_feed_depth_speed_and_wear_ask_more_and_last_less(
        cut in shop_cut(),
        more in 1.02_f64..2.0,
    ) {
        let base = cut.outcome().unwrap();
        let feed = Cut { feed: FeedPerRev::from_mm(cut.feed.mm() * more), ..cut }.outcome().unwrap();
        prop_assert!(feed.force.nominal > base.force.nominal);
        prop_assert!(feed.power.nominal > base.power.nominal);
        let depth = (cut.from - cut.to).mm();
        let deep = Cut { from: mm(cut.to.mm() + depth * more), ..cut }.outcome().unwrap();
        prop_assert!(deep.force.nominal > base.force.nominal);
        prop_assert!(deep.torque.nominal > base.torque.nominal);
        let speed = SurfaceSpeed::from_m_per_min(cut.speed.m_per_min() * more);
        let fast = Cut { speed, ..cut }.outcome().unwrap();
        prop_assert!(fast.power.nominal > base.power.nominal);
        prop_assert!(fast.force.nominal <= base.force.nominal);
        let worn = Cut { wear: Wear::Worn, ..cut }.outcome().unwrap();
        let sharp = Cut { wear: Wear::Sharp, ..cut }.outcome().unwrap();
        prop_assert!(worn.force.nominal > sharp.force.nominal);
        prop_assert!(worn.radial.nominal >= sharp.radial.nominal);
        if let Some(life) = base.life {
            for other in [feed, deep, fast] {
                prop_assert!(other.life.unwrap().time.nominal < life.time.nominal);
            }
        }
    }

    /// The same figures in inches, feet and pounds give the same result.
    #[test]
    fn inches_and_millimeters_agree(
        (depth, width, diameter) in (1_u32..200, 1_u32..200, 100_u32..3000),
        (feed, speed, edge) in (1_u32..30, 30_u32..1500, 30_u32..150),
    ) {
        // Thousandths of an inch and ft/min; 1 in = 25.4 mm and 1 ft = 0.3048 m exactly.
        let thousandths = |figure: u32| f64::from(figure) / 1000.0;
        let both = |name: &str, inch: &[(&str, f64, f64)], plain: &[(&str, f64)]| {
            let given = |side: usize| -> Given {
                let pairs = inch.iter().map(|(keys, figure, factor)| {
                    let key = keys.split(' ').nth(side).unwrap();
                    let figure = if side == 0 { *figure } else { figure * factor };
                    (key.to_owned(), if side == 0 { format!("{figure}") } else { format!("{figure:.6}") })
                });
                pairs.chain(plain.iter().map(|(key, n)| ((*key).to_owned(), n.to_string()))).collect()
            };
            let [one, other] = [0, 1].map(|side| registry::calculate(name, &given(side)).unwrap());
            assert!((one - other).abs() <= 1e-5 * one.abs(), "{name}: {one} {other}");
        };
        let feed = ("feed_in_per_rev feed_mm_per_rev", thousandths(feed), 25.4);
        let depth = ("depth_in depth_mm", thousandths(depth), 25.4);
        let speed = ("surface_speed_ft_per_min surface_speed_m_per_min", f64::from(speed), 0.3048);
        let width = ("width_in width_mm", thousandths(width), 25.4);
        let diameter = ("diameter_in diameter_mm", thousandths(diameter), 25.4);
        let force = [("kc11_n_per_mm2", 2220.0), ("mc", 0.14)];
        let edged = [force[0], force[1], ("edge_deg", f64::from(edge))];
        both("cutting.force", &[feed, depth], &edged);
        both("cutting.force", &[feed, width], &force);
        both("cutting.removal_rate", &[feed, depth, speed], &[]);
        both("cutting.unit_power_feed_factor", &[feed], &[]);
        both("cutting.torque", &[diameter], &[("force_n", 500.0)]);
        both("cutting.handbook_drill_torque", &[diameter, feed], &[("kd", 24000.0)]);
        both("cutting.drill_torque", &[diameter, feed], &[force[0], force[1], ("point_deg", 118.0)]);
        if 2.0 * 0.8 / 25.4 >= feed.1 {
            both("finish.ra_exact", &[feed, ("nose_in nose_mm", 0.032, 25.4)], &[]);
            both("finish.rt_exact", &[feed, ("nose_in nose_mm", 0.032, 25.4)], &[]);
        }
    }
}
