//! Bars in the spindle against other methods: a dense eigenproblem by nalgebra with elements
//! written anew, and roots of the determinant of the exact solution.
#![allow(
    clippy::many_single_char_names,
    clippy::needless_range_loop,
    reason = "a bar that is none fails the test; an oracle keeps the letters of its formulas"
)]

use calc::whirl::{self, Beam, Bow, Holds, Section, Support, WhirlError};
use model::Length;
use model::quantity::{BedStiffness, Density, Modulus, SpindleSpeed, Stiffness, TiltStiffness};
use nalgebra::{DMatrix, SymmetricEigen};
use proptest::prelude::*;
use std::f64::consts::PI;

const MODULUS: f64 = 205e9;
const DENSITY: f64 = 7850.0;
const DIAMETER: f64 = 0.025;

fn bending() -> f64 {
    MODULUS * PI * DIAMETER.powi(4) / 64.0
}

fn linear_mass() -> f64 {
    DENSITY * PI * DIAMETER.powi(2) / 4.0
}

fn beam(length_mm: i64, supports: Vec<Support>) -> Beam {
    Beam {
        section: Section::Round { diameter: Length::from_mm(25) },
        length: Length::from_mm(length_mm),
        modulus: Modulus::from_gpa(MODULUS / 1e9),
        density: Density::from_kg_per_m3(DENSITY),
        supports,
        masses: Vec::new(),
    }
}

fn at(mm: i64, holds: Holds) -> Support {
    Support::new(Length::from_mm(mm), holds)
}

/// Critical speeds by dense matrices: 30 even elements, with a node at each support besides.
/// Also gives the shortest element in meters.
fn dense(beam: &Beam) -> (Vec<f64>, f64) {
    let length = beam.length.m();
    let mut x: Vec<f64> = (0..=30).map(|node| length * f64::from(node) / 30.0).collect();
    for support in &beam.supports {
        for place in [support.at, end(support)] {
            if x.iter().all(|node| (node - place.m()).abs() > 1e-9) {
                x.push(place.m());
            }
        }
    }
    x.sort_by(f64::total_cmp);
    let size = 2 * x.len();
    let mut k = DMatrix::zeros(size, size);
    let mut m = DMatrix::zeros(size, size);
    for node in 0..x.len() - 1 {
        let h = x[node + 1] - x[node];
        let middle = f64::midpoint(x[node], x[node + 1]);
        let bed: f64 = beam.supports.iter().map(|support| bed_at(support, middle)).sum();
        // ∫ N·N and ∫ N''·N'' of the cubic shape functions by Gauss points: exact to degree 7.
        for (point, weight) in GAUSS {
            let s = f64::midpoint(1.0, point);
            let n = [
                1.0 - 3.0 * s * s + 2.0 * s * s * s,
                h * (s - 2.0 * s * s + s * s * s),
                3.0 * s * s - 2.0 * s * s * s,
                h * (s * s * s - s * s),
            ];
            let bent = [
                (12.0 * s - 6.0) / (h * h),
                (6.0 * s - 4.0) / h,
                (6.0 - 12.0 * s) / (h * h),
                (6.0 * s - 2.0) / h,
            ];
            for i in 0..4 {
                for j in 0..4 {
                    let part = weight * h / 2.0;
                    let place = (2 * node + i, 2 * node + j);
                    k[place] += part * (bending() * bent[i] * bent[j] + bed * n[i] * n[j]);
                    m[place] += part * linear_mass() * n[i] * n[j];
                }
            }
        }
    }
    let mut fixed = Vec::new();
    for support in &beam.supports {
        let node = x.iter().position(|node| (node - support.at.m()).abs() <= 1e-9).unwrap();
        match support.holds {
            Holds::Pin => fixed.push(2 * node),
            Holds::Clamp => fixed.extend([2 * node, 2 * node + 1]),
            Holds::Spring { lateral, tilt } => {
                k[(2 * node, 2 * node)] += lateral.n_per_mm() * 1e3;
                k[(2 * node + 1, 2 * node + 1)] += tilt.nm_per_rad();
            }
            Holds::Bed { .. } | Holds::Liner { .. } => {}
        }
    }
    let free: Vec<usize> = (0..size).filter(|index| !fixed.contains(index)).collect();
    let k = DMatrix::from_fn(free.len(), free.len(), |i, j| k[(free[i], free[j])]);
    let m = DMatrix::from_fn(free.len(), free.len(), |i, j| m[(free[i], free[j])]);
    let lower = m.cholesky().unwrap().l();
    let half = lower.solve_lower_triangular(&k).unwrap();
    let whole = lower.solve_lower_triangular(&half.transpose()).unwrap();
    let even = (&whole + whole.transpose()) / 2.0;
    let mut values: Vec<f64> = SymmetricEigen::new(even).eigenvalues.iter().copied().collect();
    values.sort_by(f64::total_cmp);
    let shortest = x.windows(2).map(|pair| pair[1] - pair[0]).fold(f64::INFINITY, f64::min);
    (values.iter().map(|value| value.max(0.0).sqrt() * 30.0 / PI).collect(), shortest)
}

const GAUSS: [(f64, f64); 4] = [
    (-0.861_136_311_594_052_6, 0.347_854_845_137_453_9),
    (-0.339_981_043_584_856_26, 0.652_145_154_862_546_1),
    (0.339_981_043_584_856_26, 0.652_145_154_862_546_1),
    (0.861_136_311_594_052_6, 0.347_854_845_137_453_9),
];

fn end(support: &Support) -> Length {
    match support.holds {
        Holds::Bed { to, .. } | Holds::Liner { to } => to,
        _ => support.at,
    }
}

fn bed_at(support: &Support, place: f64) -> f64 {
    match support.holds {
        Holds::Bed { to, stiffness } if (support.at.m()..to.m()).contains(&place) => {
            stiffness.n_per_mm2() * 1e6
        }
        _ => 0.0,
    }
}

/// Determinant of the exact solution on spans between pins; ends clamped, pinned or free.
fn determinant(b: f64, spans: &[f64], ends: [[usize; 2]; 2]) -> f64 {
    let mut rows: Vec<Vec<f64>> = Vec::new();
    let width = 4 * spans.len();
    let mut put = |parts: &[(usize, f64, usize, f64)]| {
        let mut row = vec![0.0; width];
        for (span, x, order, sign) in parts {
            let (sin, cos) = (b * x).sin_cos();
            let turned = [[cos, sin], [-sin, cos], [-cos, -sin], [sin, -cos]][*order];
            let falls = if order % 2 == 0 { 1.0 } else { -1.0 } * (-b * x).exp();
            let grows = (b * (x - spans[*span])).exp();
            for (at, figure) in [turned[0], turned[1], falls, grows].into_iter().enumerate() {
                row[4 * span + at] += sign * figure;
            }
        }
        rows.push(row);
    };
    for order in ends[0] {
        put(&[(0, 0.0, order, 1.0)]);
    }
    for span in 0..spans.len() - 1 {
        put(&[(span, spans[span], 0, 1.0)]);
        put(&[(span + 1, 0.0, 0, 1.0)]);
        for order in [1, 2] {
            put(&[(span, spans[span], order, 1.0), (span + 1, 0.0, order, -1.0)]);
        }
    }
    for order in ends[1] {
        put(&[(spans.len() - 1, spans[spans.len() - 1], order, 1.0)]);
    }
    DMatrix::from_fn(width, width, |i, j| rows[i][j]).determinant()
}

const FREE: [usize; 2] = [2, 3];
const PINNED: [usize; 2] = [0, 2];
const CLAMPED: [usize; 2] = [0, 1];

/// Something that holds, at a place in the bar.
fn holds() -> impl Strategy<Value = Holds> {
    prop_oneof![
        3 => Just(Holds::Pin),
        1 => Just(Holds::Clamp),
        2 => (0.1_f64..1e5, 0.0_f64..1e5).prop_map(|(lateral, tilt)| Holds::Spring {
            lateral: Stiffness::from_n_per_mm(lateral),
            tilt: TiltStiffness::from_nm_per_rad(tilt),
        }),
    ]
}

/// A bar that something holds: a clamp, more supports at steps of 10 mm, perhaps a bed.
fn held() -> impl Strategy<Value = Beam> {
    let others = prop::collection::vec((0_i64..=100, holds()), 0..4);
    let bed = prop::option::of((0_i64..50, 51_i64..=100, 0.001_f64..10.0));
    (20_i64..300, 0_i64..=100, others, bed).prop_map(|(length, clamp, others, bed)| {
        let place = |hundredth: i64| length * hundredth / 100 * 10;
        let mut supports = vec![at(place(clamp), Holds::Clamp)];
        supports.extend(others.into_iter().map(|(hundredth, holds)| at(place(hundredth), holds)));
        if let Some((from, to, stiffness)) = bed {
            let stiffness = BedStiffness::from_n_per_mm2(stiffness);
            let to = Length::from_mm(place(to).max(place(from) + 10).min(length * 10));
            if place(from) < length * 10 {
                supports.push(at(place(from), Holds::Bed { to, stiffness }));
            }
        }
        beam(length * 10, supports)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn three_modes_are_those_of_dense_matrices(beam in held()) {
        let (expected, shortest) = dense(&beam);
        for (mode, expected) in whirl::modes(&beam, 3).unwrap().iter().zip(expected) {
            let off = mode.speed.rpm() / expected - 1.0;
            // 30 elements are good for (βh)⁴/2880. Dense matrices round to 1e-16 of their largest
            // eigenvalue, 8400/s⁴ for the shortest element s; a bar clamped at 700 mm and pinned at
            // 690 mm once came out 2e-6 wrong there, and right here by the exact determinant.
            // A bed bends the bar within waves of its own.
            let h = beam.length.m() / 30.0;
            let bed = beam.supports.iter().map(|support| bed_at(support, support.at.m())).sum::<f64>();
            let fourth = mode.beta.powi(4) + bed / bending();
            let allowed = fourth * h.powi(4) / 1000.0 + 1e-6 + 1e-15 * 8400.0 / (mode.beta * shortest).powi(4);
            prop_assert!(off.abs() < allowed, "{} {expected} {beam:?}", mode.speed);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    /// The determinant changes its sign at each mode, and between modes it does not.
    #[test]
    fn modes_are_roots_of_the_exact_solution(
        spans in prop::collection::vec(5_i64..80, 1..5),
        first in prop::sample::select(vec![PINNED, CLAMPED]),
        last in prop::sample::select(vec![PINNED, CLAMPED, FREE]),
    ) {
        prop_assume!(first == CLAMPED || last != FREE || spans.len() > 1);
        let mut supports = Vec::new();
        let mut place = 0;
        for (index, span) in [0].iter().chain(&spans).enumerate() {
            place += span * 10;
            let kind = if index == 0 { first } else if index == spans.len() { last } else { PINNED };
            match kind {
                CLAMPED => supports.push(at(place, Holds::Clamp)),
                PINNED => supports.push(at(place, Holds::Pin)),
                _ => {}
            }
        }
        let meters: Vec<f64> = spans.iter().map(|span| *span as f64 / 100.0).collect();
        let sign = |b: f64| determinant(b, &meters, [first, last]).signum();
        let modes = whirl::modes(&beam(place, supports), 3).unwrap();
        for mode in &modes {
            prop_assert!(
                sign(mode.beta * (1.0 - 1e-6)) * sign(mode.beta * (1.0 + 1e-6)) < 0.0,
                "no root within 1e-6 of {}", mode.beta
            );
        }
        // From far below the first mode, and between two modes that are not one, no root is left out.
        let mut low = modes[0].beta * 0.05;
        for mode in &modes {
            let high = mode.beta * (1.0 - 1e-6);
            let steps = 400;
            let signs: Vec<f64> =
                (0..=steps).map(|step| sign(low + (high - low) * f64::from(step) / f64::from(steps))).collect();
            prop_assert!(high <= low || signs.windows(2).all(|pair| pair[0] * pair[1] > 0.0));
            low = mode.beta * (1.0 + 1e-6);
        }
    }

    /// Rayleigh: what holds more never lowers a natural frequency.
    #[test]
    fn one_more_support_never_lowers_the_speed(
        beam in held(), hundredth in 0_i64..=100, holds in holds(),
    ) {
        let place = beam.length.nm() / 100 * hundredth;
        let mut more = beam.clone();
        more.supports.push(Support::new(Length::from_nm(place), holds));
        let speed = |beam: &Beam| whirl::modes(beam, 1).unwrap()[0].speed.rpm();
        // Both meshes are a little too stiff, by up to 1e-7 each.
        prop_assert!(speed(&more) >= speed(&beam) * (1.0 - 1e-6));
    }

    #[test]
    fn a_longer_tail_lowers_the_speed(beam in held(), longer_mm in 1_i64..500) {
        let mut longer = beam.clone();
        longer.length += Length::from_mm(longer_mm);
        let speed = |beam: &Beam| whirl::modes(beam, 1).unwrap()[0].speed.rpm();
        prop_assert!(speed(&longer) <= speed(&beam) * (1.0 + 1e-6));
    }

    #[test]
    fn figures_in_millimeters_and_inches_are_one(tenths in 10_i64..500, inches in 1_i64..100) {
        let given = |size: (&str, String), length: (&str, String)| {
            [("shape", "round".to_owned()), ("modulus_gpa", "205".to_owned()),
             ("density_kg_per_m3", "7850".to_owned()), ("supports", "clamp 0".to_owned()),
             size, length]
                .into_iter().map(|(key, value)| (key.to_owned(), value)).collect()
        };
        let speed = |given| calc::registry::calculate("whirl.critical_speed", &given).unwrap();
        let mm = |nm: i64| Length::from_nm(nm).shortest(model::Units::Mm);
        let metric = given(
            ("size_mm", mm(tenths * 2_540_000)), ("length_mm", mm(inches * 25_400_000)));
        let inch = given(
            ("size_in", format!("{}.{}", tenths / 10, tenths % 10)),
            ("length_in", inches.to_string()));
        prop_assert_eq!(speed(metric).to_bits(), speed(inch).to_bits());
    }
}

/// A bar on two pins with a ring of 2 mm play in its middle.
fn with_loose_ring() -> Beam {
    let mut loose = at(600, Holds::Pin);
    loose.play = Length::from_mm(2);
    beam(1200, vec![at(0, Holds::Pin), at(1200, Holds::Pin), loose])
}

fn run_out_in_middle(beam: &Beam, rpm: f64) -> f64 {
    let bent = whirl::running(beam, Bow::AS_DRAWN, SpindleSpeed::from_rpm(rpm)).unwrap();
    bent.shape.iter().find(|(x, _)| (x - 0.6).abs() < 1e-9).unwrap().1.abs()
}

/// Until it touches, the bar bends out as if the ring were not there; then it stays at the play.
/// The free run-out is the closed form κ/2β²·(1/cos βL/2 − 1/cosh βL/2); critical at 2090 rev/min.
#[test]
fn a_ring_with_play_holds_the_bar_once_it_touches() {
    let free = |rpm: f64| {
        let b = (rpm * PI / 30.0 * (linear_mass() / bending()).sqrt()).sqrt();
        let half = b * 0.6;
        8e-3 / (2.0 * b * b) * (1.0 / half.cos() - 1.0 / half.cosh()) * 1e3
    };
    let beam = with_loose_ring();
    for rpm in [300.0, 800.0, 1000.0] {
        assert!((run_out_in_middle(&beam, rpm) - free(rpm)).abs() < 1e-4, "{rpm}");
    }
    assert!(free(1100.0) > 2.0);
    for rpm in [1100.0, 2000.0, 2500.0, 5000.0] {
        assert!((run_out_in_middle(&beam, rpm) - 2.0).abs() < 1e-9, "{rpm}");
    }
    // Held in the middle, either half is critical at 4 · 2090 rev/min; nothing stops that.
    let at = |rpm| whirl::running(&beam, Bow::AS_DRAWN, SpindleSpeed::from_rpm(rpm));
    assert_eq!(at(8400.0), Err(WhirlError::AboveCritical));
    assert!(at(8300.0).unwrap().touches == 1);
}

/// What touches stands at its play, and the rest is the exact solution about it: half of the bar,
/// even about its middle, with u(0) = −δ, u'(0) = 0, u(l) = 0, u''(l) = κ.
#[test]
fn beyond_the_touch_the_rest_bends_about_it() {
    let rpm = 3000.0;
    let b = (rpm * PI / 30.0 * (linear_mass() / bending()).sqrt()).sqrt();
    let waves = |s: f64| [(b * s).cos(), (b * s).sin(), (b * s).cosh(), (b * s).sinh()];
    let [cos, sin, cosh, sinh] = waves(0.6);
    let rows = [
        [1.0, 0.0, 1.0, 0.0],
        [0.0, 1.0, 0.0, 1.0],
        [cos, sin, cosh, sinh],
        [-cos, -sin, cosh, sinh],
    ];
    let right = nalgebra::DVector::from_vec(vec![-2.0, 0.0, 0.0, 8.0 / (b * b)]);
    let weights = DMatrix::from_fn(4, 4, |i, j| rows[i][j]).lu().solve(&right).unwrap();
    let speed = SpindleSpeed::from_rpm(rpm);
    let bent = whirl::running(&with_loose_ring(), Bow::AS_DRAWN, speed).unwrap();
    for (place, height) in &bent.shape {
        let exact: f64 =
            waves((place - 0.6).abs()).iter().zip(&weights).map(|(wave, x)| wave * x).sum();
        assert!((height - exact).abs() < 1e-4, "{place}: {height} {exact}");
    }
}

/// So slow that nothing bends further: a tail with u = κx²/2 and a weight at its end has the side
/// force ω²·(m·κL³/6 + M·κL²/2).
#[test]
fn the_side_force_is_that_of_bar_and_weight() {
    let mut tail = beam(1000, vec![at(0, Holds::Clamp)]);
    tail.masses = vec![(Length::from_mm(1000), model::quantity::Mass::from_kg(2.0))];
    let bent = whirl::running(&tail, Bow::AS_DRAWN, SpindleSpeed::from_rpm(1.0)).unwrap();
    let rate = PI / 30.0;
    let expected = rate * rate * (linear_mass() * 8e-3 / 6.0 + 2.0 * 8e-3 / 2.0);
    // The bar's own share is summed over straight pieces, 1/70 of its length each.
    let off = bent.side_force.n() / expected - 1.0;
    assert!(off.abs() < 1e-4, "{off}");
}

/// A ring out of play on one side: weight rests a long bar on it, 2 mm below the axis.
#[test]
fn a_sagging_bar_rests_in_a_ring_with_play() {
    let long = |play: i64| {
        let mut ring = at(1500, Holds::Pin);
        ring.play = Length::from_um(play);
        beam(3000, vec![at(0, Holds::Pin), at(3000, Holds::Pin), ring])
    };
    // 5wL⁴/384EI of 3 m is 10.14 mm: 0.259561455 mm · (3/1.2)⁴, see handbook/made-by/whirl.txt.
    let free = 0.259_561_455 * (3.0_f64 / 1.2).powi(4);
    let sag = whirl::sag(&long(20_000)).unwrap();
    assert!((sag.run_out.mm() - free).abs() < 1e-4 && sag.touches == 0);
    let sag = whirl::sag(&long(2000)).unwrap();
    let middle = sag.shape.iter().find(|(x, _)| (x - 1.5).abs() < 1e-9).unwrap().1;
    assert!((middle.abs() - 2.0).abs() < 1e-9 && sag.touches == 1);
}

/// Exact first frequency in rad/s of Timoshenko's beam on two pins: the lower root of
/// `(ρI·ρA/κGA)·ω⁴ − (ρA + turning·ρI·k² + EI·k²·ρA/κGA)·ω² + EI·k⁴ = 0` with `k = π/L`. Turning
/// inertia counts 1; with the gyroscopic effect of a whirl at the spindle's speed, 1 − 2.
fn timoshenko(radius: f64, sound: f64, shear: f64, length: f64, turning: f64) -> f64 {
    // In units of ρA = 1 and EI = r²·c²; κGA = c²/shear with shear = E/κG.
    let k = PI / length;
    let bending = radius * radius * sound * sound;
    let a = turning * radius * radius * shear / (sound * sound);
    let b = 1.0 + turning * radius * radius * k * k + bending * k * k * shear / (sound * sound);
    let c = bending * k.powi(4);
    (2.0 * c / (b + (b * b - 4.0 * a * c).sqrt())).sqrt()
}

/// What the slender beam leaves out is below what the low end of a range is lowered by, and not
/// far below: round steel, κ = 0.9 and G = E/2.6, spans of 4 to 100 diameters.
#[test]
fn shear_and_turning_inertia_are_within_what_is_taken_off() {
    let (diameter, sound) = (0.025, (MODULUS / DENSITY).sqrt());
    let (radius, shear) = (diameter / 4.0, 2.6 / 0.9);
    for diameters in [4.0, 5.0, 10.0, 20.0, 50.0, 100.0] {
        let length: f64 = diameters * diameter;
        let slender = (PI / length).powi(2) * radius * sound;
        let lost = 1.0 - timoshenko(radius, sound, shear, length, 1.0) / slender;
        let taken = whirl::left_out(
            Section::Round { diameter: Length::from_mm(25) },
            Modulus::from_gpa(MODULUS / 1e9),
            Density::from_kg_per_m3(DENSITY),
            SpindleSpeed::from_rpm(slender * 30.0 / PI),
        )
        .unwrap();
        assert!(lost <= taken && taken < 2.1 * lost, "{diameters}: {lost} {taken}");
        // The gyroscopic effect gives back about ω·r/c of it: less is lost, never gained.
        let turning = 1.0 - timoshenko(radius, sound, shear, length, -1.0) / slender;
        let back = (lost - turning) / (slender * radius / sound);
        assert!(turning > 0.0 && turning < lost && (0.5..1.1).contains(&back), "{back}");
    }
}
