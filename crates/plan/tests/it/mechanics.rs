//! What the cuts of any job ask: all metal is accounted for, and every figure is a number, with the
//! keys of the files anywhere in the ranges that the readers allow.

use crate::cuts::a_job;
use crate::shop::{self, PIN};
use calc::spread::Spread;
use calc::station::Feeding;
use model::files::Job;
use model::files::job::{BarShape, Condition, FeatureKind};
use model::files::lathe::{Drive, HolderKind, JawSurface};
use model::files::material::{CuttingForce, IsoGroup, Stiffness};
use model::files::tools::{Station, ToolKind};
use model::quantity::{
    Angle, FeedPerRev, Force, MassRadius, Modulus, Power, RadialCompliance, Roughness, Seconds,
    SpecificForce, SpindleSpeed, SurfaceSpeed, TiltCompliance,
};
use model::{Length, Level, Unproven};
use plan::checks::{self, CheckLine, Planned};
use plan::mechanics::Mechanics;
use plan::walk_away::Pace;
use proptest::prelude::*;

const PI: f64 = std::f64::consts::PI;

/// All that a plan reckons before it writes a program.
struct Reckoned {
    mechanics: Mechanics,
    checks: Vec<CheckLine>,
    unproven: Vec<Unproven>,
    limits: Vec<plan::walk_away::Limit>,
}

fn reckoned(job: &Job) -> Reckoned {
    let bar = plan::bar::divide(job);
    let process = plan::process::Process::of(job, &bar.division);
    let mechanics = plan::mechanics::reckon(job, &bar, &process);
    let times = mechanics.of_each_part().map(|(station, cut)| (station, cut.time.s()));
    let mut cutting = std::collections::BTreeMap::new();
    for (station, time) in times {
        *cutting.entry(station).or_insert(0.0) += time;
    }
    let edges = plan::edges::reckon(job, &bar, &mechanics, &cutting);
    let pull = plan::pull::reckon(job, &bar);
    let mut unproven = Vec::new();
    let planned = Planned {
        job,
        bar: &bar,
        swing: Err("not looked at here"),
        process: &process,
        mechanics: &mechanics,
        edges: &edges,
        pull: pull.as_ref(),
    };
    let checks = checks::all(&planned, &mut unproven);
    let pace = Pace {
        first: Seconds::from_s(30.0),
        cycle: Seconds::from_s(30.0),
        parts_per_advance: bar.division.parts_per_advance,
    };
    let limits = plan::walk_away::ladder(job, &bar, pace, &edges, &mut unproven).limits;
    Reckoned { mechanics, checks, unproven, limits }
}

/// Metal that the cuts of a job take off, in mm³, and what the bar loses by the drawing: its pitch
/// and first-face stock less the part's cylinders.
fn metal(job: &Job) -> (f64, f64) {
    let bar = plan::bar::divide(job);
    let ring = |from: Length, to: Length| {
        let (from, to) = (from.mm(), to.mm().max(0.0));
        PI / 4.0 * (from * from - to * to).abs()
    };
    let process = plan::process::Process::of(job, &bar.division);
    let mechanics = plan::mechanics::reckon(job, &bar, &process);
    let of = |cut: &plan::mechanics::CutLoads| match cut.feeding {
        Feeding::Along { from, to, .. } | Feeding::Thread { from, to, .. } => {
            ring(from, to) * cut.length.mm()
        }
        Feeding::Across { from, to, depth } => ring(from, to) * depth.mm(),
    };
    let off = mechanics.cuts().map(|(_, cut)| of(cut)).sum();
    let size = job.file.bar.size;
    let length = bar.division.first_face + bar.division.pitch();
    let part: f64 = job
        .file
        .part
        .steps()
        .iter()
        .map(|step| ring(step.diameter, Length::ZERO) * (step.to - step.from).mm())
        .sum();
    (off, ring(size, Length::ZERO) * length.mm() - part)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    /// Without chamfers, which are taken at their deepest place, the cuts take off just what the
    /// drawing has not; of the part-off width the blade is told more than its due by what the
    /// outside was turned there, half a millimeter at most, and shoulders are turned where they stand.
    #[test]
    fn all_metal_is_accounted_for(job in a_job()) {
        let mut job = job;
        job.file.part.features.retain(|feature| feature.kind != FeatureKind::Chamfer);
        job.file.bar.shape = BarShape::Round;
        let (off, wanted) = metal(&job);
        let size = job.file.bar.size.mm();
        let last = job.file.part.steps().last().map_or(0.0, |step| step.diameter.mm());
        let nose = |station: &Station| station.nose_radius.mm();
        let noses = job.tools.stations.iter().filter(|it| it.kind == ToolKind::Turning);
        let width = plan::bar::divide(&job).division.part_off.mm();
        let into = (noses.map(nose).fold(0.0, f64::max) + 0.05).min(0.9 * width);
        let told_twice = PI / 4.0 * (size * size - last * last) * into.max((width / 2.0).min(0.5));
        // Diameters are written to a micrometer and hundredths of an inch's mils.
        let surface: f64 = job.file.part.length.mm() * PI * size;
        let rounding = 0.01 * surface + 0.01 * size * size * 10.0;
        prop_assert!(
            off >= wanted - rounding && off <= wanted + told_twice + rounding,
            "{off} of {wanted} to {}", wanted + told_twice
        );
    }
}

/// Figures anywhere in the ranges of the readers.
#[derive(Debug, Clone)]
struct Figures {
    of: Vec<f64>,
    group: usize,
    collet: bool,
    known: [bool; 6],
}

prop_compose! {
    fn figures()(
        of in prop::collection::vec(prop_oneof![4 => 0.0_f64..=1.0, 1 => Just(0.0), 1 => Just(1.0)], 30),
        group in 0_usize..6,
        collet in any::<bool>(),
        known in prop::array::uniform6(prop_oneof![4 => Just(true), 1 => Just(false)]),
    ) -> Figures {
        Figures { of, group, collet, known }
    }
}

/// Lays figures over a job, each from its least to its most, mostly by its order of size.
fn lay(job: &mut Job, figures: &Figures) {
    let mut of = figures.of.iter().copied();
    let mut between = |least: f64, most: f64| {
        let share = of.next().unwrap_or(0.5);
        if least > 0.0 {
            libm::exp(libm::log(least) + share * libm::log(most / least)).clamp(least, most)
        } else {
            least + share * (most - least)
        }
    };
    let [drive, grip, stiff, force, hold, life] = figures.known;
    job.lathe.spindle.drive = drive.then(|| Drive {
        power: Power::from_w(1000.0 * between(0.01, 500.0)),
        base_speed: SpindleSpeed::from_rpm(between(1.0, 100_000.0)),
        full_power_to: None,
        efficiency: between(0.1, 1.0),
    });
    if let Some(chuck) = &mut job.lathe.grip {
        chuck.kind = if figures.collet { HolderKind::Collet } else { HolderKind::Jaw };
        chuck.force = Force::from_n(between(10.0, 1_000_000.0));
        chuck.mass_radius = Some(MassRadius::from_kg_m(between(0.0, 100.0)));
        chuck.lost = Some(between(0.0, 1.0));
        chuck.surface = JawSurface::Smooth;
        chuck.radial = Some(RadialCompliance::from_um_per_kn(between(0.0, 10_000.0)));
        chuck.tilt = Some(TiltCompliance::from_urad_per_nm(between(0.0, 10_000.0)));
    }
    job.lathe.grip = job.lathe.grip.take().filter(|_| grip);
    let material = &mut job.material;
    material.group = [IsoGroup::P, IsoGroup::M, IsoGroup::K, IsoGroup::N, IsoGroup::S, IsoGroup::H]
        [figures.group];
    material.stiffness = stiff.then(|| Stiffness {
        modulus: Modulus::from_gpa(between(0.01, 1000.0)),
        source: String::new(),
    });
    material.force = force.then(|| CuttingForce {
        kc11: SpecificForce::from_n_per_mm2(between(10.0, 20_000.0)),
        mc: between(0.0, 0.9),
        spread: between(0.0, 0.9),
        rake: Angle::from_deg(between(-20.0, 40.0)),
        source: String::new(),
    });
    if let Some(edge) = &mut material.carbide {
        edge.n = between(0.02, 1.5);
        edge.life = Seconds::from_s(60.0 * between(0.1, 10_000.0));
        edge.feed_exponent = between(0.0, 1.5);
        edge.depth_exponent = between(0.0, 1.5);
        edge.spread = between(1.0, 20.0);
    }
    material.chip_bulk = Some(between(1.0, 200.0));
    if let Some(fingers) = &mut job.gripper.hold {
        fingers.smallest = Force::from_n(between(0.1, 100_000.0));
        fingers.largest = Force::from_n(between(0.1, 100_000.0));
    }
    job.gripper.hold = job.gripper.hold.take().filter(|_| hold);
    job.gripper.diameter = (Length::from_um(100), Length::from_mm(1000));
    let (speed, feed) = (between(0.1, 10_000.0), between(0.001, 10.0));
    for station in &mut job.tools.stations {
        station.speed = station.speed.map(|_| SurfaceSpeed::from_m_per_min(speed));
        station.feed = station.feed.map(|_| FeedPerRev::from_mm(feed));
        station.edge_life = station.edge_life.filter(|_| life);
        station.edge_angle = station.edge_angle.map(|_| between(10.0, 130.0));
    }
    job.file.cutting.max_speed = Some(SpindleSpeed::from_rpm(between(1.0, 100_000.0)));
    job.file.cutting.hour_rate = Some(between(0.01, 100_000.0));
    let over = Length::nearest_mm(between(50.0, 20_000.0));
    job.file.bar.condition = Some(Condition {
        bow: Some(Length::from_nm((over.nm() as f64 / 10.0 * between(0.0, 1.0)) as i64)),
        over,
        ends: None,
        surface: None,
        chamfered: None,
    });
    let ra = Roughness::from_um(between(0.01, 10_000.0));
    for feature in &mut job.file.part.features {
        if feature.kind == FeatureKind::Diameter {
            feature.ra = Some(ra);
            feature.deviations = (Length::from_um(20), Length::from_um(-20));
        }
    }
}

fn sound(what: &str, range: Spread<f64>) -> Result<(), TestCaseError> {
    let Spread { low, nominal, high } = range;
    prop_assert!(low.is_finite() && high.is_finite(), "{what}: {range:?}");
    let rounding = 1e-12 * nominal.abs();
    prop_assert!(low <= nominal + rounding && nominal <= high + rounding, "{what}: {range:?}");
    Ok(())
}

/// Everything that a plan tells of its mechanics.
fn all_sound(reckoned: &Reckoned) -> Result<(), TestCaseError> {
    for line in &reckoned.checks {
        sound(line.id, Spread { low: line.low, nominal: line.value, high: line.high })?;
        prop_assert!(line.limit.is_finite() && line.margin.is_finite(), "{line:?}");
        let broken = if line.at_least { line.value < line.limit } else { line.value > line.limit };
        // What its check has judged by itself apart, a likely value beyond the limit is never clear.
        let by_itself = ["speed-limit-not-stated", "grip-too-short"].contains(&line.id);
        prop_assert!(!broken || line.level.is_some() || by_itself, "{line:?}");
        for words in [&line.message, line.remedy] {
            prop_assert!(!words.contains("NaN") && !words.contains("inf "), "{words}");
        }
    }
    for limit in &reckoned.limits {
        prop_assert!(limit.at.s().is_finite() && limit.at.s() >= 0.0, "{limit:?}");
    }
    for unproven in &reckoned.unproven {
        prop_assert!(!unproven.why.is_empty() && !unproven.why.contains("NaN"), "{unproven:?}");
    }
    for (_, cut) in reckoned.mechanics.cuts() {
        prop_assert!(cut.time.s().is_finite());
        let Ok(loads) = &cut.loads else { continue };
        sound("force", loads.outcome.force.map(Force::n))?;
        sound("power", loads.outcome.power.map(Power::w))?;
        if let Ok(life) = &loads.life {
            sound("life", life.time.map(Seconds::s))?;
        }
        if let Ok(held) = &loads.held {
            sound("grip", held.grip_needed.map(Force::n))?;
            sound("taper", held.size.taper.map(model::quantity::Deflection::um))?;
            let margins =
                [held.grip, held.slip, held.pull_out, held.overturning, held.lift, held.loss];
            for margin in margins.into_iter().flatten() {
                sound("margin", margin.ratio)?;
            }
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, ..ProptestConfig::default() })]

    #[test]
    fn no_figure_is_none(job in a_job(), figures in figures()) {
        let mut job = job;
        lay(&mut job, &figures);
        all_sound(&reckoned(&job))?;
    }
}

#[test]
fn what_no_file_says_is_unproven_and_names_its_key() {
    let mut job = shop::demo(PIN);
    let open = |job: &Job, key: &str| {
        let reckoned = reckoned(job);
        reckoned.unproven.iter().any(|it| it.why.contains(key))
    };
    for key in ["[spindle.drive]", "[grip]", "[hold]", "[stiffness]", "[force]", "`edge_material`"]
    {
        assert!(!open(&job, key), "{key}");
    }
    job.lathe.spindle.drive = None;
    job.lathe.grip = None;
    job.gripper.hold = None;
    job.tools.stations[0].edge_material = None;
    job.tools.stations[0].edge_life = None;
    for key in ["[spindle.drive]", "[grip]", "[hold]", "`edge_material`"] {
        assert!(open(&job, key), "{key}");
    }
    let checks = reckoned(&job).checks;
    assert!(checks.iter().all(|it| it.id != "power-too-small" && it.id != "grip-too-weak"));
    assert!(!open(&job, "even chip"));
    job.file.bar.shape = BarShape::Hexagon;
    assert!(open(&job, "even chip"));
    let mut job = shop::demo(PIN);
    job.material.stiffness = None;
    assert!(open(&job, "[stiffness]"));
    job.material.force = None;
    assert!(open(&job, "[force]"));
}

/// A spindle that is told to turn faster than it can is a matter of the program; the clamp keeps the
/// plan within the curve, so that the drive is always judged.
#[test]
fn the_plan_never_asks_for_a_speed_beyond_the_curve() {
    let mut job = shop::demo(PIN);
    job.file.cutting.max_speed = Some(SpindleSpeed::from_rpm(90_000.0));
    let power = reckoned(&job).checks.into_iter().find(|it| it.id == "power-too-small").unwrap();
    assert_ne!(power.level, Some(Level::Stop), "{power:?}");
}

/// The pin's part-off, worked out with Python from the formulas of Kienzle and VDI 3106 alone: 2800
/// rev/min on 12 mm is 105.558 m/min; 1250/0.06^0.18 · 2.5 · 0.06 · 1.3 (slot) · 1.15 (wear) · 0.99594
/// (speed) is 463.24 N, from 302.12 (less 25 %, sharp) to 654.58 N (25 % more, worn).
#[test]
fn the_pins_part_off_by_hand() {
    let reckoned = reckoned(&shop::demo(PIN));
    let near = |ours: f64, hand: f64| assert!((ours / hand - 1.0).abs() < 1e-4, "{ours} {hand}");
    let part_off = reckoned.mechanics.operations.last().unwrap();
    assert_eq!(part_off.name, "part off");
    let loads = part_off.cuts[0].loads.as_ref().unwrap();
    let force = loads.outcome.force.map(Force::n);
    near(force.low, 302.116);
    near(force.nominal, 463.244);
    near(force.high, 654.584);
    let line = |id: &str| reckoned.checks.iter().find(|it| it.id == id).unwrap();
    // 463.244 · 105.558 / 60 W; 5.5 kW · 0.8; 463.244 · 6 mm.
    near(line("power-too-small").value, 814.98);
    near(line("power-too-small").limit, 4400.0);
    near(line("torque-too-small").value, 2.779_47);
    // 30 kN less 25 % · (2800/4000)² are 26 325 N; 0.10 · 26 325 · 6 mm over that torque.
    near(line("bar-turns-in-jaws").value, 0.10 * 26_325.0 * 0.006 / 2.779_47);
    near(line("speed-takes-grip").value, 12.25);
}
