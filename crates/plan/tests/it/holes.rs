//! Holes, threads and knurls: whatever the plan makes of them, the proof of its program finds the part
//! as drawn, in the plan's own time.

use crate::shop::{self, PIN, SPACER};
use model::files::control::{CodeSystem, Drilling, HolesAs, TapsAs, ThreadsAs};
use model::files::job::{Feature, FeatureKind};
use model::files::{Job, Tools};
use model::standards::knurl::Knurl;
use model::standards::thread::ThreadForm;
use model::{Length, Source};
use plan::acts::Acts;
use plan::process::Process;
use plan::time::Clock;
use proptest::prelude::*;

fn um(um: i64) -> Length {
    Length::from_um(um)
}

/// What cuts ask of drive, chuck and bar is no matter of holes: parts and tools are made up.
const LOADS: [&str; 10] = [
    "power-too-small",
    "torque-too-small",
    "grip-too-weak",
    "bar-turns-in-jaws",
    "bar-slides-in-jaws",
    "bar-tips-out",
    "jaws-lift",
    "speed-takes-grip",
    "part-bends",
    "power-opinions-differ",
];

/// Plans a job without its checks and proves the program: what is found, the plan's cycle and the proof's,
/// and the programs' text.
fn proven(job: &Job) -> (Vec<String>, (f64, f64), String) {
    let bar = plan::bar::divide(job);
    let process = Process::of(job, &bar.division);
    assert!(process.missing.is_empty(), "{:#?}", process.missing);
    let programs = plan::program::write(job, &bar, &process);
    let proof = plan::answer::prove_programs(job, &programs);
    let text = programs.iter().map(|program| program.text.as_str()).collect();
    // Bars are larger here than the demo's gripper takes.
    let known = |id: &str| LOADS.contains(&id) || id.starts_with("gripper-");
    let found = proof.findings.iter().filter(|it| !known(it.id));
    let found = found.map(|it| format!("{} {:?} {}", it.id, it.place.span, it.message));
    let acts = Acts::new(job, &bar);
    let mut clock = Clock::new(job, acts.clamp());
    for acts in [acts.new_bar(&process), acts.parts(&process), acts.stop()] {
        clock.follow(&acts);
    }
    let first = clock.now();
    for acts in [acts.advance(), acts.parts(&process), acts.stop()] {
        clock.follow(&acts);
    }
    let cycle = clock.now() - first;
    (found.collect(), (cycle.s(), proof.cycle.s()), text)
}

fn with_tools(job: &mut Job, more: &str) {
    let read = Tools::read(&Source::new("tools.toml", format!("units = \"mm\"\n{more}")));
    assert!(read.diagnostics.is_empty(), "{:#?}", read.diagnostics);
    job.tools.stations.retain(|it| ![11, 12, 13, 14, 15].contains(&it.number));
    job.tools.stations.extend(read.value.unwrap().stations);
}

/// How the program is written.
#[derive(Debug, Clone, Copy)]
struct Manner {
    inch: bool,
    system: CodeSystem,
    drilling: Drilling,
    holes: HolesAs,
    threads: ThreadsAs,
    taps: TapsAs,
    /// Tenths of the lead by which the control's threading box pulls out.
    pull_out: u32,
}

prop_compose! {
    fn manner()(
        inch in any::<bool>(),
        system in prop_oneof![Just(CodeSystem::A), Just(CodeSystem::B), Just(CodeSystem::C)],
        plain in any::<bool>(),
        holes in prop_oneof![Just(HolesAs::Moves), Just(HolesAs::Cycle), Just(HolesAs::FacePeck)],
        threads in prop_oneof![
            Just(ThreadsAs::Moves), Just(ThreadsAs::Box), Just(ThreadsAs::Cycle), Just(ThreadsAs::OneBlock)
        ],
        taps in prop_oneof![Just(TapsAs::Moves), Just(TapsAs::Cycle)],
        pull_out in 0_u32..12,
    ) -> Manner {
        // The plain drilling cycles go with the return levels of systems B and C.
        let plain = plain && system != CodeSystem::A;
        let drilling = if plain { Drilling::Plain } else { Drilling::Lathe };
        Manner { inch, system, drilling, holes, threads, taps, pull_out }
    }
}

/// A job of one cylinder or two, without anything on them.
fn job(manner: Manner, steps: &[(i64, i64)]) -> Job {
    let mut job = shop::demo(if manner.inch { SPACER } else { PIN });
    let cylinder = |&(diameter, to): &(i64, i64)| Feature {
        diameter: um(diameter),
        to: um(to),
        ..Feature::of(FeatureKind::Diameter)
    };
    job.file.part.features = steps.iter().map(cylinder).collect();
    let last = job.file.part.features.last().unwrap();
    (job.file.part.length, job.file.bar.size) = (last.to, last.diameter + um(1000));
    job.file.bar.length = um(700_000);
    let control = &mut job.control;
    control.code_system = manner.system;
    control.drilling = manner.drilling;
    control.cycles.thread_pull_out = manner.pull_out;
    (control.writing.drilling, control.writing.threads, control.writing.tapping) =
        (manner.holes, manner.threads, manner.taps);
    let feed = if manner.system == CodeSystem::A { "G99" } else { "G95" };
    control.writing.safe_start = ["G18", "G40", "G80", "G97", feed].map(str::to_owned).to_vec();
    job
}

fn hole(diameter: i64, to: i64) -> Feature {
    Feature { diameter: um(diameter), to: um(to), ..Feature::of(FeatureKind::Hole) }
}

fn drill(number: u32, diameter: i64, reach: i64) -> String {
    let (diameter, reach) = (diameter as f64 / 1000.0, reach as f64 / 1000.0);
    format!(
        "[[station]]\nnumber = {number}\nkind = \"drill\"\nname = \"drill {diameter}\"\n\
         diameter = {diameter}\nreach = {reach}\nspeed = 60\nfeed = 0.08\n"
    )
}

/// Lengths along the axis as a drawing in the job's units has them.
fn as_drawn(job: &mut Job) {
    let round = |length: &mut Length| *length = length.round_to(job.file.units, 3);
    for feature in &mut job.file.part.features {
        round(&mut feature.from);
        round(&mut feature.to);
        round(&mut feature.width);
    }
    round(&mut job.file.part.length);
}

fn is_right(job: &mut Job) -> Result<(), TestCaseError> {
    as_drawn(job);
    let (found, (planned, proven), text) = proven(job);
    prop_assert!(found.is_empty(), "{found:#?}\n{text}");
    prop_assert!((planned - proven).abs() < 0.001, "{planned} planned, {proven} proven\n{text}");
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Drilled holes of any depth, blind or through, with a spot where they are deep.
    #[test]
    fn drilled_holes_are_as_drawn(
        manner in manner(),
        diameter in 20_i64..90,
        wall in 10_i64..40,
        length in 80_i64..350,
        depth in 0.1_f64..1.2,
        angle in prop_oneof![Just(118.0), Just(135.0), Just(140.0)],
        peck in prop::option::of(500_i64..6000),
    ) {
        let (diameter, length) = (diameter * 100, length * 100);
        let outside = diameter + wall * 100;
        let mut job = job(manner, &[(outside, length)]);
        let deep = ((depth * length as f64) as i64 / 10 * 10).min(length);
        // A blind hole keeps a bottom.
        let through = deep > length - diameter;
        let deep = if through { length } else { deep };
        let feature = Feature { through, point_angle: angle, ..hole(diameter, deep) };
        job.file.part.features.push(feature);
        let peck = peck.map_or(String::new(), |um| format!("peck = {}\n", um as f64 / 1000.0));
        with_tools(&mut job, &format!(
            "{}point_angle = {angle}\n{peck}[[station]]\nnumber = 12\nkind = \"spot-drill\"\nname = \"spot\"\n\
             diameter = 6\nspeed = 50\nfeed = 0.05\n", drill(11, diameter, length + 10_000)
        ));
        is_right(&mut job)?;
    }

    /// Reamed holes, blind or through.
    #[test]
    fn reamed_holes_are_as_drawn(
        manner in manner(),
        tenths in 30_i64..120,
        through in any::<bool>(),
        chamfer in 0_i64..200,
    ) {
        let diameter = tenths * 100;
        let mut job = job(manner, &[(diameter + 4000, 24_000)]);
        let to = if through { 24_000 } else { 14_000 };
        let feature =
            Feature { through, deviations: (um(12), um(0)), reamed: true, ..hole(diameter, to) };
        job.file.part.features.push(feature);
        let (least, most) = calc::hole::reaming_stock(um(diameter + 6)).unwrap();
        let pilot = um(diameter) - (least + most).half();
        with_tools(&mut job, &format!(
            "{}[[station]]\nnumber = 12\nkind = \"reamer\"\nname = \"reamer\"\ndiameter = {}\n\
             chamfer = {}\nreach = 60\nspeed = 15\nfeed = 0.2\n",
            drill(11, pilot.nm() / 1000, 60_000), (diameter + 6) as f64 / 1000.0,
            (if through { chamfer * 10 } else { chamfer }) as f64 / 1000.0
        ));
        is_right(&mut job)?;
    }

    /// Knurls of every form on a whole cylinder.
    #[test]
    fn knurls_are_as_drawn(
        manner in manner(),
        form in prop_oneof![Just("RAA"), Just("RBL"), Just("RGE"), Just("RKV")],
        pitch in prop_oneof![Just("0.5"), Just("0.8"), Just("1"), Just("1.6")],
        (small, large) in (60_i64..120, 20_i64..60),
        (first, second) in (30_i64..120, 40_i64..200),
        width in 20_i64..80,
    ) {
        let (small, first) = (small * 100, first * 100);
        let (large, to) = (small + large * 100, first + second * 100);
        let mut job = job(manner, &[(small, first), (large, to)]);
        let name = format!("{form} {pitch}");
        job.file.part.features.push(Feature {
            knurl: Some(Knurl::read(&name).unwrap()),
            diameter: um(large),
            from: um(first),
            to: um(to),
            ..Feature::of(FeatureKind::Knurl)
        });
        with_tools(&mut job, &format!(
            "[[station]]\nnumber = 11\nkind = \"knurling\"\nname = \"wheel\"\nknurl = \"{name}\"\n\
             width = {}\nspeed = 20\nfeed = 0.15\n", width as f64 / 10.0
        ));
        is_right(&mut job)?;
    }

    /// Outside threads by designation, with and without an undercut, on a part with a shoulder.
    #[test]
    fn outside_threads_are_as_drawn(
        manner in manner(),
        name in prop_oneof![
            Just("M6"), Just("M8"), Just("M10"), Just("M8x1"), Just("M12x1.5"), Just("M10-6h"),
            Just("1/4-20 UNC"), Just("3/8-24 UNF"), Just("M20")
        ],
        turns in 5_i64..12,
        full in any::<bool>(),
        relief in any::<bool>(),
        neck in any::<bool>(),
        starts in prop_oneof![3 => Just(1_u32), 1 => Just(2), 1 => Just(3)],
        left_hand in any::<bool>(),
    ) {
        let form = ThreadForm::read(name, false).unwrap();
        let (nominal, pitch) = (form.nominal, form.pitch);
        let form = ThreadForm { starts, left_hand, ..form };
        let from = if neck { um(9_000) } else { Length::ZERO };
        let to = from + um((pitch * turns).nm() / 10_000 * 10);
        let shoulder = to + if relief { pitch * 4 } else { pitch * 8 };
        let shoulder = um(shoulder.nm() / 10_000 * 10);
        // More than three pitches of pull-out are no thread's end.
        let manner = Manner { pull_out: manner.pull_out / starts, ..manner };
        let mut job = job(manner, &[(0, 0), (nominal.nm() / 1000 + 4000, shoulder.nm() / 1000 + 10_000)]);
        let limits = form.limits.unwrap();
        if neck {
            let thinner = nominal - um((pitch.nm() as f64 * 1.7 / 1000.0) as i64);
            job.file.part.features.insert(0, Feature {
                diameter: thinner, to: from, ..Feature::of(FeatureKind::Diameter)
            });
        }
        let first = &mut job.file.part.features[usize::from(neck)];
        (first.diameter, first.to) = (nominal, shoulder);
        first.deviations = (limits.major.most - nominal, limits.major.least - nominal);
        if relief {
            let width = shoulder - to;
            let ground = nominal - um((pitch.nm() as f64 * 1.4 / 1000.0) as i64);
            job.file.part.features.push(Feature {
                diameter: ground, to: shoulder, width, ..Feature::of(FeatureKind::Groove)
            });
        }
        job.file.part.features.push(Feature {
            form: Some(form), diameter: nominal, pitch, from, to, starts, ..Feature::of(FeatureKind::Thread)
        });
        let turns = if left_hand { "reverse" } else { "forward" };
        let edge = if full {
            format!("pitch = {}", pitch.mm())
        } else {
            format!("least_pitch = 0.5\nmost_pitch = 3\nnose_radius = {:.3}", pitch.mm() * 0.1)
        };
        with_tools(&mut job, &format!(
            "[[station]]\nnumber = 11\nkind = \"threading\"\nname = \"edge\"\nspeed = 90\n{edge}\n\
             turns = \"{turns}\"\n[[station]]\nnumber = 12\nkind = \"grooving\"\nname = \"blade\"\nwidth = 1\nspeed = 80\n\
             feed = 0.04\nreach = 8\nturns = \"forward\"\n"
        ));
        is_right(&mut job)?;
    }

    /// Inside threads with a tap or an edge, blind or through.
    #[test]
    fn inside_threads_are_as_drawn(
        manner in manner(),
        name in prop_oneof![
            Just("M5"), Just("M8"), Just("M10x1"), Just("M14"), Just("3/8-16 UNC"), Just("M16x1.5")
        ],
        with_tap in any::<bool>(),
        through in any::<bool>(),
    ) {
        let form = ThreadForm::read(name, true).unwrap();
        let (nominal, pitch) = (form.nominal, form.pitch);
        let with_tap = with_tap || nominal < um(9000);
        let minor = form.limits.unwrap().minor;
        let drilled = um((minor.least + minor.most).half().nm() / 1000);
        let length = 30_000;
        let to = um((pitch * 8).nm() / 10_000 * 10);
        let (to, deep) = if through { (um(length), um(length)) } else { (to, to + um(7000)) };
        let mut job = job(manner, &[(nominal.nm() / 1000 + 5000, length)]);
        job.file.part.features.push(Feature { through, ..hole(drilled.nm() / 1000, deep.nm() / 1000) });
        job.file.part.features.push(Feature {
            form: Some(form), inside: true, diameter: nominal, pitch, to, ..Feature::of(FeatureKind::Thread)
        });
        let (diameter, lead) = (nominal.shortest(model::Units::Mm), pitch.shortest(model::Units::Mm));
        let tool = if with_tap {
            format!("kind = \"tap\"\nname = \"tap\"\ndiameter = {diameter}\npitch = {lead}\nchamfer = {}\n\
                     speed = 12\nreach = 80", pitch.mm() * 2.5)
        } else {
            format!("kind = \"threading\"\nname = \"bar\"\ninside = true\nshank = 5\noverhang = 60\n\
                     least_pitch = 0.5\nmost_pitch = 3\nnose_radius = {:.3}\nspeed = 60", pitch.mm() * 0.05)
        };
        with_tools(&mut job, &format!(
            "{}[[station]]\nnumber = 12\n{tool}\n", drill(11, drilled.nm() / 1000, 90_000)
        ));
        is_right(&mut job)?;
    }
}

/// The drill for a tapped hole is that of the printed tables, whatever else stands there.
///
/// Found: two public tap drill charts for coarse metric threads, which agree.
#[test]
fn a_tapped_hole_is_drilled_as_charts_have_it() {
    const CHART: [(&str, i64); 9] = [
        ("M3", 2_500),
        ("M4", 3_300),
        ("M5", 4_200),
        ("M6", 5_000),
        ("M8", 6_800),
        ("M10", 8_500),
        ("M12", 10_200),
        ("M16", 14_000),
        ("M20", 17_500),
    ];
    let drills = CHART.iter().enumerate().map(|(index, (_, size))| {
        let nearby = drill(60 + index as u32, size + 300, 80_000);
        drill(20 + index as u32, *size, 80_000) + &nearby
    });
    let drills: String = drills.collect();
    for (name, chart) in CHART {
        let form = ThreadForm::read(name, true).unwrap();
        let mut job = job(PLAIN, &[(30_000, 40_000)]);
        let drilled = form.tap_drill.unwrap().nm() / 1000;
        let tap = format!(
            "[[station]]\nnumber = 12\nkind = \"tap\"\nname = \"tap\"\ndiameter = {}\npitch = {}\n\
             chamfer = 2\nspeed = 10\nreach = 60\n",
            form.nominal.mm(),
            form.pitch.mm()
        );
        job.file.part.features.push(hole(drilled, 30_000));
        job.file.part.features.push(Feature {
            diameter: form.nominal,
            pitch: form.pitch,
            form: Some(form),
            inside: true,
            to: um(20_000),
            ..Feature::of(FeatureKind::Thread)
        });
        with_tools(&mut job, &(drills.clone() + &tap));
        let process = Process::of(&job, &plan::bar::divide(&job).division);
        let first =
            process.operations.iter().find(|it| it.work == plan::cuts::Work::Drill).unwrap();
        let station = job.tools.station(first.station).unwrap();
        assert_eq!(station.diameter, Some(um(chart)), "{name}");
        assert!(process.operations.iter().any(|it| it.work == plan::cuts::Work::Tap), "{name}");
    }
}

/// What is missing says what would do.
#[test]
fn what_is_missing_says_what_would_do() {
    let thread = |name: &str, inside: bool, to: i64| {
        let form = ThreadForm::read(name, inside).unwrap();
        Feature {
            diameter: form.nominal,
            pitch: form.pitch,
            form: Some(form),
            inside,
            to: um(to),
            ..Feature::of(FeatureKind::Thread)
        }
    };
    let reamed = Feature { reamed: true, deviations: (um(15), um(0)), ..hole(6_000, 12_000) };
    let knurl = Feature {
        knurl: Some(Knurl::read("RAA 1").unwrap()),
        diameter: um(14_000),
        to: um(20_000),
        ..Feature::of(FeatureKind::Knurl)
    };
    let tap = "[[station]]\nnumber = 12\nkind = \"tap\"\nname = \"tap\"\ndiameter = 6\npitch = 1\n\
               chamfer = 4\nspeed = 10\nreach = 15\n";
    let edge = "[[station]]\nnumber = 12\nkind = \"threading\"\nname = \"edge\"\nspeed = 90\n";
    let range = "least_pitch = 0.5\nmost_pitch = 3\n";
    let none = String::new();
    let cases: Vec<(&str, Vec<Feature>, String)> = vec![
        ("no drill", vec![hole(5_000, 20_000)], none.clone()),
        ("a short drill", vec![hole(5_000, 20_000)], drill(11, 5_000, 15_000)),
        (
            "a drill of unknown reach",
            vec![hole(5_000, 20_000)],
            drill(11, 5_000, 15_000).replace("reach = 15\n", ""),
        ),
        (
            "a drill without a speed",
            vec![hole(5_000, 20_000)],
            drill(11, 5_000, 40_000).replace("speed = 60\n", ""),
        ),
        ("no reamer", vec![reamed], drill(11, 6_000, 40_000)),
        (
            "a tap that needs a deeper hole",
            vec![hole(5_000, 14_000), thread("M6", true, 12_000)],
            drill(11, 5_000, 40_000) + tap,
        ),
        (
            "nothing for an inside thread",
            vec![hole(5_000, 20_000), thread("M6", true, 12_000)],
            drill(11, 5_000, 40_000),
        ),
        ("no threading tool", vec![thread("M14", false, 8_000)], none.clone()),
        ("unknown pitches", vec![thread("M14", false, 8_000)], edge.to_owned()),
        (
            "a blunt edge",
            vec![thread("M14", false, 8_000)],
            format!("{edge}{range}nose_radius = 0.8\n"),
        ),
        (
            "a shoulder behind the thread",
            vec![thread("M14", false, 19_500)],
            format!("{edge}{range}nose_radius = 0.1\n"),
        ),
        ("no knurling tool", vec![knurl], none),
    ];
    let mut told = String::new();
    for (name, features, tools) in cases {
        let mut job = job(PLAIN, &[(14_000, 20_000), (20_000, 30_000)]);
        job.file.part.features.extend(features);
        with_tools(&mut job, &tools);
        let process = Process::of(&job, &plan::bar::divide(&job).division);
        assert_eq!(process.missing.len(), 1, "{name}: {:#?}", process.missing);
        let missing = &process.missing[0];
        assert!(missing.feature.is_some_and(|index| index >= 2), "{name}");
        told += &format!("{name}\n  {}\n  {}\n", missing.why, missing.mend);
    }
    insta::assert_snapshot!(told);
}

/// The form is judged: a drill larger than the plan's, and a thread that is not cut, are found.
#[test]
fn what_is_not_as_drawn_is_found() {
    let mut job = job(PLAIN, &[(8_000, 20_000), (14_000, 30_000)]);
    job.file.part.features.push(hole(5_000, 20_000));
    job.file.part.features.push(Feature {
        form: Some(ThreadForm::read("M8", false).unwrap()),
        diameter: um(8_000),
        pitch: um(1_250),
        to: um(12_000),
        ..Feature::of(FeatureKind::Thread)
    });
    let edge = "[[station]]\nnumber = 12\nkind = \"threading\"\nname = \"edge\"\nspeed = 90\npitch = 1.25\n";
    with_tools(&mut job, &format!("{}{edge}", drill(11, 5_000, 60_000)));
    assert_eq!(proven(&job).0, [] as [&str; 0]);
    let bar = plan::bar::divide(&job);
    let process = Process::of(&job, &bar.division);
    let found = |job: &Job, process: &Process| -> Vec<&'static str> {
        let programs = plan::program::write(job, &bar, process);
        let proof = plan::answer::prove_programs(job, &programs);
        proof.findings.iter().map(|it| it.id).collect()
    };
    let mut larger = job.clone();
    with_tools(&mut larger, &format!("{}{edge}", drill(11, 5_600, 60_000)));
    assert!(found(&larger, &process).contains(&"form-gouged"));
    let mut without = process.clone();
    without.operations.retain(|it| it.work != plan::cuts::Work::Thread);
    assert!(found(&job, &without).contains(&"thread-too-shallow"));
}

const PLAIN: Manner = Manner {
    inch: false,
    system: CodeSystem::A,
    drilling: Drilling::Lathe,
    holes: HolesAs::Moves,
    threads: ThreadsAs::Moves,
    taps: TapsAs::Moves,
    pull_out: 0,
};
