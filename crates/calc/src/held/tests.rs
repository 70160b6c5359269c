#![allow(clippy::unwrap_used, clippy::float_cmp, reason = "a figure that is not there fails")]

use super::*;
use model::quantity::MassRadius;
use proptest::prelude::*;

fn range(nominal: f64, share: f64) -> Spread<Force> {
    Spread::either_side(nominal, share).map(Force::from_n)
}

fn holder(share: f64) -> Holder {
    let nominal = Coefficients { around: 0.10, along: 0.13 };
    Holder {
        at_rest: range(36_000.0, share),
        loss: Loss::Jaws(MassRadius::from_kg_m(0.081)),
        jaw_length: Length::from_mm(30),
        friction: Spread {
            low: nominal.times(1.0 - share),
            nominal,
            high: nominal.times(1.0 + share),
        },
        radial: Some(Spread::either_side(4.0, share).map(RadialCompliance::from_um_per_kn)),
        tilt: Some(Spread::either_side(1.5, share).map(TiltCompliance::from_urad_per_nm)),
        safety: Safety::LEAST,
    }
}

fn cut(share: f64) -> HeldCut {
    HeldCut {
        from: Length::from_mm(60),
        to: Length::from_mm(20),
        diameter: Length::from_mm(22),
        cutting: range(600.0, share),
        passive: range(200.0, share),
        feed: range(250.0, share),
        toward_chuck: true,
        torque: Spread::exact(Torque::default()),
        speed: SpindleSpeed::from_rpm(2500.0),
        allowed: Some(Deflection::from_um(30.0)),
    }
}

const STEPS: [Step; 1] =
    [Step { length: Length::from_mm(60), diameter: Length::from_mm(25), bore: Length::ZERO }];

fn part(holder: &Holder) -> HeldPart<'_> {
    HeldPart {
        holder,
        steps: &STEPS,
        modulus: Modulus::from_gpa(205.0),
        diameter: Length::from_mm(25),
        gripped: Length::from_mm(30),
    }
}

fn near(ours: f64, other: f64) {
    assert!((ours / other - 1.0).abs() < 1e-3, "{ours} is not {other}");
}

#[test]
fn margins_by_hand() {
    let holder = holder(0.0);
    let margins = part(&holder).margins(&cut(0.0)).unwrap();
    // Loss 0.081·(π·2500/30)² = 5551.7 N, so 30 448.3 N are left (trade-checks I5).
    near(margins.grip_at_speed.nominal.n(), 30_448.3);
    near(margins.loss.unwrap().ratio.nominal, 0.67 * 36_000.0 / 5551.7);
    // Torque 600 N · 11 mm = 6.6 N·m against 0.10 · 30 448.3 N · 12.5 mm = 38.06 N·m.
    near(margins.slip.unwrap().ratio.nominal, 38.06 / 6.6);
    // 0.13 · 30 448.3 N = 3958.3 N against 250 N.
    near(margins.pull_out.unwrap().ratio.nominal, 3958.3 / 250.0);
    // Lever 60 + 15 mm: 15 N·m by the passive force and 45 N·m by the cutting force make 47.43 N·m.
    // 30 448.3 N · 30 mm/(2·√3) = 263.7 N·m; across √(200² + 600²) = 632.5 N, which counts less.
    near(margins.overturning.unwrap().ratio.nominal, 263.7 / 47.43);
    // An edge lifts below 1264.9 + 12·47.43/0.03 = 20 239 N.
    near(margins.lift.unwrap().ratio.nominal, 30_448.3 / 20_239.0);
    // Slip: √((2·6.6/(0.025·0.10))² + (250/0.13)²) = 5619.3 N; tipping 2·√3·47.43/0.03 = 5477 N.
    // 1.5·(1.5·5619.3 + 5551.7) = 20 971 N.
    near(margins.grip_needed.nominal.n(), 20_971.0);
    near(margins.grip.unwrap().ratio.nominal, 36_000.0 / 20_971.0);
    // 30/π·√((24 000 − 8429)/0.081).
    near(margins.highest_speed.nominal.rpm(), 4186.9);
    near(margins.stick_out, 60.0 / 25.0);
    // 200 N at 60 mm on Ø25 (I = 19 175 mm⁴): 200·60³/(3·205 000·19 175) = 3.663 µm; feed force
    // 250·11 mm·60²/(2·205 000·19 175) = 1.259 µm back; chuck 0.2 kN·4 + (12 − 2.75) N·m ·
    // 1.5 µrad · 60 mm = 0.8 + 0.8325 µm: 4.036 µm, on the diameter 8.07 µm. Across 600 N:
    // 10.99 + 2.4 + 36·1.5·0.06 = 16.63 µm, which is 0.025 µm on the diameter. Shear: 200 N·60 mm/
    // (0.8864·78 846·490.87) = 0.350 µm.
    near(margins.size.worst.nominal.um(), 2.0 * (3.663 - 1.259 + 0.8 + 0.8325 + 0.350) + 0.025);
    assert!(margins.size.chuck_known);
    assert_eq!((margins.size.at, margins.size.broken), (60.0, None));
    let (limit, used) = margins.nearest().unwrap();
    assert_eq!(limit, Limit::Lift);
    near(used, 20_239.0 / 30_448.3);
}

#[test]
fn the_chuck_of_a_lathe_file() {
    let grip = Grip {
        kind: HolderKind::Collet,
        force: Force::from_n(30_000.0),
        jaws: 3,
        mass_radius: None,
        lost: Some(0.1),
        surface: model::files::lathe::JawSurface::Smooth,
        diameter: None,
        total_run_out: None,
        radial: None,
        tilt: None,
    };
    let chuck = Chuck {
        open: model::quantity::Seconds::default(),
        close: model::quantity::Seconds::default(),
        jaw_length: Length::from_mm(30),
        least_grip: Length::from_mm(20),
        max_speed: SpindleSpeed::from_rpm(5000.0),
        start_when_open: model::files::lathe::StartWithChuckOpen::Refused,
        steps: Vec::new(),
    };
    let holder = Holder::of(&grip, &chuck, WorkSurface::Raw, WorkMetal::Brass).unwrap();
    near(holder.friction.nominal.around, 0.14 * 0.92);
    near(holder.at_rest.low.n(), 27_000.0);
    let margins = part(&holder).margins(&cut(0.0)).unwrap();
    // A tenth at 5000 is a fortieth at 2500 rev/min.
    near(margins.grip_at_speed.nominal.n(), 29_250.0);
    assert!(!margins.size.chuck_known);
    let jaw = Grip { kind: HolderKind::Jaw, ..grip };
    assert!(Holder::of(&jaw, &chuck, WorkSurface::Raw, WorkMetal::Steel).is_err());
}

#[test]
fn a_feed_force_away_from_the_chuck_makes_it_worse() {
    let holder = holder(0.0);
    let away = HeldCut { toward_chuck: false, ..cut(0.0) };
    let (toward, away) =
        (part(&holder).margins(&cut(0.0)).unwrap(), part(&holder).margins(&away).unwrap());
    assert!(away.size.worst.nominal.um() > toward.size.worst.nominal.um());
    assert!(away.overturning.unwrap().ratio.nominal < toward.overturning.unwrap().ratio.nominal);
}

#[test]
fn what_nothing_acts_against_has_no_margin() {
    let holder = Holder { loss: Loss::Jaws(MassRadius::from_kg_m(0.0)), ..holder(0.0) };
    let none = range(0.0, 0.0);
    let idle = HeldCut { cutting: none, passive: none, feed: none, ..cut(0.0) };
    let margins = part(&holder).margins(&idle).unwrap();
    let all = [margins.grip, margins.slip, margins.pull_out, margins.overturning, margins.loss];
    assert!(all.iter().chain([&margins.size_margin]).all(Option::is_none));
    assert!(margins.highest_speed.nominal.rpm().is_infinite());
    assert_eq!(margins.nearest().unwrap().0, Limit::StickOut);
}

#[test]
fn the_shortest_grip_just_holds() {
    let strong = Holder { at_rest: range(36_000.0, 0.0), ..holder(0.0) };
    let part = part(&strong);
    let shortest = part.shortest_grip(&cut(0.0)).unwrap().unwrap();
    assert!(shortest < strong.jaw_length);
    let holds = |gripped| {
        let margins = HeldPart { gripped, ..part.clone() }.margins(&cut(0.0)).unwrap();
        [margins.grip, margins.slip, margins.pull_out, margins.overturning]
            .iter()
            .all(|margin| margin.is_none_or(|it| it.ratio.low >= it.least))
    };
    assert!(holds(shortest) && !holds(shortest - Length::from_um(1)));
    let weak = Holder { at_rest: range(10_000.0, 0.0), ..holder(0.0) };
    let weak = HeldPart { holder: &weak, ..part.clone() };
    assert_eq!(weak.shortest_grip(&cut(0.0)).unwrap(), None);
}

#[test]
fn what_cannot_be_is_named() {
    let holder = holder(0.0);
    let named = |part: &HeldPart<'_>, cut: &HeldCut| part.margins(cut).unwrap_err().what;
    let (good, fine) = (part(&holder), cut(0.0));
    let short = HeldPart { gripped: Length::ZERO, ..good.clone() };
    assert_eq!(named(&short, &fine), "gripped length");
    let thin = HeldPart { diameter: Length::ZERO, ..good.clone() };
    assert_eq!(named(&thin, &fine), "gripped diameter");
    let nothing = HeldPart { steps: &[], ..good.clone() };
    assert!(nothing.margins(&fine).is_err());
    let backward = HeldCut { cutting: range(-5.0, 0.0), ..fine.clone() };
    assert_eq!(named(&good, &backward), "cutting force");
    let beyond = HeldCut { from: Length::from_mm(61), ..fine.clone() };
    assert_eq!(named(&good, &beyond), "place of the load");
    let still = HeldCut { speed: SpindleSpeed::from_rpm(-1.0), ..fine.clone() };
    assert_eq!(named(&good, &still), "spindle speed");
    let upside = Spread { low: Force::from_n(3.0), ..range(2.0, 0.0) };
    assert_eq!(named(&good, &HeldCut { feed: upside, ..fine }), "feed force");
}

fn inside<T: Copy>(range: Spread<T>, figure: fn(T) -> f64) -> bool {
    let [low, nominal, high] = [range.low, range.nominal, range.high].map(figure);
    low <= nominal && nominal <= high && !low.is_nan() && !high.is_nan()
}

proptest! {
    #[test]
    fn every_range_holds_its_nominal_and_a_longer_part_is_never_safer(
        (share, gripped) in (0.0_f64..0.5, 1.0_f64..40.0),
        (cutting, passive, feed) in (0.0_f64..3000.0, 0.0_f64..2000.0, 0.0_f64..2000.0),
        (speed, torque, toward_chuck) in (0.0_f64..6000.0, 0.0_f64..50.0, any::<bool>()),
        from in 20.0_f64..60.0,
    ) {
        let holder = holder(share);
        let gripped = Length::nearest_mm(gripped);
        let part = HeldPart { gripped, ..part(&holder) };
        let cut = HeldCut {
            from: Length::nearest_mm(from),
            cutting: range(cutting, share),
            passive: range(passive, share),
            feed: range(feed, share),
            torque: Spread::either_side(torque, share).map(Torque::from_nm),
            speed: SpindleSpeed::from_rpm(speed),
            toward_chuck,
            ..cut(share)
        };
        let margins = part.margins(&cut).unwrap();
        let all = [
            margins.grip, margins.slip, margins.pull_out, margins.overturning, margins.lift,
            margins.loss,
            margins.size_margin,
        ];
        for margin in all.into_iter().flatten() {
            prop_assert!(inside(margin.ratio, |ratio| ratio) && margin.ratio.low >= 0.0);
        }
        prop_assert!(inside(margins.grip_needed, Force::n));
        prop_assert!(inside(margins.grip_at_speed, Force::n));
        prop_assert!(inside(margins.highest_speed, SpindleSpeed::rpm));
        prop_assert!(inside(margins.size.worst, Deflection::um));
        prop_assert!(inside(margins.size.taper, Deflection::um));
        // The same cut farther out.
        let out = HeldCut { from: Length::from_mm(60), ..cut.clone() };
        let farther = part.margins(&out).unwrap();
        let ratio = |margin: Option<Margin>| margin.map_or(f64::INFINITY, |it| it.ratio.low);
        prop_assert!(ratio(farther.grip) <= ratio(margins.grip) * (1.0 + 1e-12));
        prop_assert!(ratio(farther.lift) <= ratio(margins.lift) * (1.0 + 1e-12));
        prop_assert!(ratio(farther.overturning) <= ratio(margins.overturning) * (1.0 + 1e-12));
        // The same with a longer grip.
        let held = HeldPart { gripped: gripped + Length::from_mm(3), ..part.clone() };
        let longer = held.margins(&cut).unwrap();
        prop_assert!(ratio(longer.grip) >= ratio(margins.grip) * (1.0 - 1e-12));
        prop_assert!(ratio(longer.slip) >= ratio(margins.slip) * (1.0 - 1e-12));
        prop_assert!(ratio(longer.overturning) >= ratio(margins.overturning) * (1.0 - 1e-12));
    }
}
