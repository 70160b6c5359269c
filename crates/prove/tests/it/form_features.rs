//! The limits of each feature of a drawing, held to pieces whose outlines are worked out here by hand:
//! the right one lies in them, each wrong one does not.

use crate::folder::Folder;
use model::files::job::Job;
use model::{Diagnostic, Files as _, Length, Source};
use nc::program::Library;
use proptest::prelude::*;
use prove::Setup;
use prove::form::Limits;
use shape::{Outline, Point, Region};
use std::fmt::Write as _;

/// The job of the small shop with these features, one a line: `kind key = value; …`; with the messages.
fn read(length: i64, features: &str) -> (Vec<Diagnostic>, Option<Job>) {
    let folder = Folder::of_tests("shop");
    let pin = folder.read("pin.job.toml").unwrap();
    let text = pin.text();
    let (before, rest) = text.split_once("[part]").unwrap();
    let (_, after) = rest.split_once("[advance]").unwrap();
    let mut part = format!("[part]\nlength = {length}\ninside_corner = 0.05\n");
    for feature in features.lines().map(str::trim).filter(|line| !line.is_empty()) {
        let (kind, keys) = feature.split_once(' ').unwrap();
        let keys = keys.replace("; ", "\n");
        write!(part, "\n[[part.feature]]\nkind = \"{kind}\"\n{keys}\n").unwrap();
    }
    let source = Source::new("job.toml", format!("{before}{part}\n[advance]{after}"));
    let read = Job::read(&source, &folder);
    (read.diagnostics, read.value)
}

/// A job that is good.
fn job(length: i64, features: &str) -> Job {
    let (diagnostics, job) = read(length, features);
    let troubles: Vec<_> = diagnostics.iter().map(|one| (&one.message, &one.help)).collect();
    assert!(troubles.is_empty(), "{features}: {troubles:?}");
    job.unwrap()
}

/// A piece by its outline: distances behind the front face and from the axis, in micrometers.
fn piece(corners: &[(i64, i64)]) -> Region {
    let points: Vec<_> = corners.iter().map(|(z, r)| Point::new(-z * 1000, r * 1000)).collect();
    Region::from(&Outline::polygon(&points).unwrap())
}

fn fits(job: &Job, piece: &Region) -> bool {
    let limits = Limits::of(&job.file.part, &job.file.bar, Length::from_um(50)).unwrap();
    let (missing, too_much) = (limits.least.difference(piece), piece.difference(&limits.most));
    // Chords follow arcs within 0.2 µm: what is thinner than that is none of the piece.
    let none = |region: &Region| region.volume_mm3() < 0.05;
    none(&missing) && none(&too_much)
}

/// The right piece lies in the limits, each wrong one does not.
fn holds(job: &Job, right: &[(i64, i64)], wrong: &[(&str, &[(i64, i64)])]) {
    assert!(fits(job, &piece(right)), "the right piece");
    for (why, corners) in wrong {
        assert!(!fits(job, &piece(corners)), "{why}");
    }
}

/// Points of a quarter of a hollow circle from its lowest point, in µm, with a radius of `r`; `down`
/// is its lowest place, `way` the direction along the axis.
fn corner(down: (i64, i64), r: i64, way: i64, inward: i64, upto: f64) -> Vec<(i64, i64)> {
    let at = |step: i32| {
        let angle = (f64::from(step) / 16.0 * upto).to_radians();
        let (along, up) = (r as f64 * angle.sin(), r as f64 * (1.0 - angle.cos()));
        (down.0 + way * along.round() as i64, down.1 - inward * up.round() as i64)
    };
    (1..=16).map(at).collect()
}

const STEPPED: &str = "diameter diameter = 10; to = 12\ndiameter diameter = 15; to = 20\n";
const STEPPED_PIECE: [(i64, i64); 6] =
    [(0, 0), (0, 5000), (12_000, 5000), (12_000, 7500), (20_000, 7500), (20_000, 0)];

#[test]
fn a_rear_edge_at_the_back_face() {
    let job = job(20, &format!("{STEPPED}chamfer back = true; size = 1"));
    let with = |leg: i64| {
        let back = [(20_000 - leg, 7500), (20_000, 7500 - leg), (20_000, 0)];
        [&STEPPED_PIECE[..4], &back].concat()
    };
    holds(&job, &with(1000), &[("sharp", &STEPPED_PIECE), ("too large", &with(2000))]);
}

#[test]
fn a_rear_edge_at_a_neck() {
    let job = job(
        20,
        "diameter diameter = 15; to = 8\ncorner back = true; radius = 1\ndiameter diameter = 12; to = 20",
    );
    // The round from the cylinder (7, 7.5) to the shoulder (8, 6.5), center (7, 6.5).
    let arc: Vec<_> = (0..=16)
        .map(|step| {
            let angle = f64::from(step) / 16.0 * std::f64::consts::FRAC_PI_2;
            let (z, r) = (7000.0 + 1000.0 * angle.sin(), 6500.0 + 1000.0 * angle.cos());
            (z.round() as i64, r.round() as i64)
        })
        .collect();
    let rear = [(8000, 6000), (20_000, 6000), (20_000, 0)];
    let right = [&[(0, 0), (0, 7500)], &arc[..], &rear].concat();
    let sharp = [&[(0, 0), (0, 7500), (8000, 7500)], &rear[..]].concat();
    holds(&job, &right, &[("sharp", &sharp)]);
}

#[test]
fn a_groove_inside() {
    let job = job(
        20,
        "diameter diameter = 15; to = 20\nbore diameter = 6; to = 10\ngroove inside = true; diameter = 9; width = 2; to = 6",
    );
    let bored = |ground: i64| {
        vec![
            (0, 3000),
            (0, 7500),
            (20_000, 7500),
            (20_000, 0),
            (10_000, 0),
            (10_000, 3000),
            (6000, 3000),
            (6000, ground),
            (4000, ground),
            (4000, 3000),
        ]
    };
    let plain = [(0, 3000), (0, 7500), (20_000, 7500), (20_000, 0), (10_000, 0), (10_000, 3000)];
    holds(
        &job,
        &bored(4500),
        &[("missing", &plain), ("too deep", &bored(4900)), ("shallow", &bored(4100))],
    );
}

#[test]
fn a_groove_in_the_face() {
    let job = job(
        20,
        "diameter diameter = 15; to = 20\ngroove face = true; diameter = 12; width = 2; to = 3",
    );
    let cut = |deep: i64, low: i64| {
        vec![
            (0, 0),
            (0, low),
            (deep, low),
            (deep, 6000),
            (0, 6000),
            (0, 7500),
            (20_000, 7500),
            (20_000, 0),
        ]
    };
    let plain = [(0, 0), (0, 7500), (20_000, 7500), (20_000, 0)];
    holds(
        &job,
        &cut(3000, 4000),
        &[
            ("missing", &plain),
            ("too deep", &cut(3400, 4000)),
            ("too wide", &cut(3000, 3500)),
            ("too narrow", &cut(3000, 4600)),
        ],
    );
}

/// An undercut outside before the shoulder at 12 mm, or a copy of it inside: depth, width, radius in µm.
fn relieved(depth: i64, width: i64, r: i64) -> Vec<(i64, i64)> {
    let run = (depth as f64 / 15.0_f64.to_radians().tan()).round() as i64;
    let ground = 5000 - depth;
    let mut points =
        vec![(0, 0), (0, 5000), (12_000 - width, 5000), (12_000 - width + run, ground)];
    points.push((12_000 - r, ground));
    points.extend(corner((12_000 - r, ground), r, 1, -1, 90.0));
    points.extend([(12_000, 7500), (20_000, 7500), (20_000, 0)]);
    points
}

#[test]
fn an_undercut_e_outside() {
    let features = "diameter diameter = 10; tolerance = \"h7\"; to = 12\nundercut undercut = \"E 0.6x0.3\"\n\
                    diameter diameter = 15; to = 20";
    let job = job(20, features);
    holds(
        &job,
        &relieved(340, 2600, 600),
        &[
            ("missing", &STEPPED_PIECE),
            ("too shallow", &relieved(200, 2600, 600)),
            ("too deep", &relieved(500, 2600, 600)),
            ("too wide", &relieved(340, 3600, 600)),
        ],
    );
}

#[test]
fn an_undercut_f_goes_into_the_face() {
    let features = "diameter diameter = 10; tolerance = \"h7\"; to = 12\nundercut undercut = \"F 0.6x0.3\"\n\
                    diameter diameter = 15; to = 20";
    let job = job(20, features);
    let with = |face: i64| {
        let (depth, width, r) = (340_i64, 2600_i64, 600_i64);
        let run = (depth as f64 / 15.0_f64.to_radians().tan()).round() as i64;
        let ground = 5000 - depth;
        let low = 12_000 - r + face;
        let mut points =
            vec![(0, 0), (0, 5000), (12_000 - width, 5000), (12_000 - width + run, ground)];
        points.push((low, ground));
        points.extend(corner((low, ground), r, 1, -1, 98.0));
        // The table of DIN 509 has it 2.1 mm above the ground for a depth of 0.2 mm into the face.
        points.extend([(12_000, ground + 2100), (12_000, 7500), (20_000, 7500), (20_000, 0)]);
        points
    };
    // 12 mm may lie off by 0.2 mm, so that only what goes beyond both is surely wrong.
    holds(&job, &with(200), &[("too deep into the face", &with(600))]);
}

#[test]
fn an_undercut_inside() {
    let features = "diameter diameter = 15; to = 20\nbore diameter = 10; tolerance = \"H7\"; to = 8\n\
                    undercut inside = true; undercut = \"E 0.6x0.3\"\nbore diameter = 5; to = 14";
    let job = job(20, features);
    let (outer, rest) = (
        [(0, 5000), (0, 7500), (20_000, 7500), (20_000, 0), (14_000, 0)],
        [(14_000, 2500), (8000, 2500)],
    );
    let with = |depth: i64| {
        let run = (depth as f64 / 15.0_f64.to_radians().tan()).round() as i64;
        let ground = 5000 + depth;
        let mut round = corner((7400, ground), 600, 1, 1, 90.0);
        round.reverse();
        let front = [(7400, ground), (8000 - 2600 + run, ground), (8000 - 2600, 5000)];
        [&outer[..], &rest, &round, &front].concat()
    };
    let plain = [&outer[..], &rest, &[(8000, 5000)]].concat();
    holds(&job, &with(340), &[("missing", &plain), ("too deep", &with(500))]);
}

#[test]
fn an_undercut_behind_a_thread() {
    let features = "diameter diameter = 10; to = 12\nundercut undercut = \"DIN 76 A\"\n\
                    diameter diameter = 15; to = 20\nthread thread = \"M10\"; to = 9";
    let job = job(20, features);
    // Ground 10 − 2.3 mm; 5.2 mm wide with its run-out of 30°; radius 0.8 mm.
    let with = |ground: i64| {
        let run = (f64::from(5000 - ground as i32) / 30.0_f64.to_radians().tan()).round() as i64;
        let mut points =
            vec![(0, 0), (0, 5000), (6800, 5000), (6800 + run, ground), (11_200, ground)];
        points.extend(corner((11_200, ground), 800, 1, -1, 90.0));
        points.extend([(12_000, 7500), (20_000, 7500), (20_000, 0)]);
        points
    };
    holds(&job, &with(3800), &[("missing", &STEPPED_PIECE), ("too deep", &with(3600))]);
}

#[test]
fn a_ring_groove() {
    let job = job(20, &format!("{STEPPED}groove ring = \"DIN 471\"; to = 8"));
    let with = |ground: i64, from: i64| {
        let rest = &STEPPED_PIECE[2..];
        let front = [(0, 0), (0, 5000), (from, 5000), (from, ground), (8000, ground), (8000, 5000)];
        [&front[..], rest].concat()
    };
    // On 10 mm: ground 9.6 h10, 1.1 mm wide.
    holds(
        &job,
        &with(4790, 6900),
        &[
            ("missing", &STEPPED_PIECE),
            ("shallow", &with(4850, 6900)),
            ("deep", &with(4700, 6900)),
            ("far too wide", &with(4790, 6400)),
        ],
    );
}

#[test]
fn a_knurl_lies_between_before_and_after() {
    let job = job(20, &format!("{STEPPED}knurl knurl = \"RGE 1\"; from = 14; to = 18"));
    let with = |r: i64| {
        let back =
            [(14_000, 7500), (14_000, r), (18_000, r), (18_000, 7500), (20_000, 7500), (20_000, 0)];
        [&STEPPED_PIECE[..4], &back].concat()
    };
    // 15 − 0.67 mm are turned before; the general tolerance is 0.2 mm.
    holds(&job, &with(7165), &[("too deep", &with(7000))]);
    assert!(fits(&job, &piece(&STEPPED_PIECE)), "as large as it comes out");
}

#[test]
fn a_hole_through_the_part_leaves_no_skin() {
    let job = job(20, &format!("{STEPPED}hole diameter = 4; through = true"));
    let through = [&[(0, 2000)], &STEPPED_PIECE[1..5], &[(20_000, 2000)]].concat();
    let skin = [&[(0, 2000)], &STEPPED_PIECE[1..], &[(19_850, 0), (19_850, 2000)]].concat();
    holds(&job, &through, &[("a skin of 0.15 mm", &skin)]);
}

/// A thread by its designation is deep enough at the largest ground of its class, and not above it.
#[test]
fn a_thread_by_its_designation() {
    let job = job(20, "diameter diameter = 14; to = 20\nthread thread = \"M14x1.5-6g\"; to = 12");
    let setup = Setup::of(&job);
    let proof = |last: &str| {
        let text = format!(
            "G21 G99\nG50 S2500\nT0101\nG96 S150 M3\nG0 X20. Z0.\nG1 X-0.8 F0.1\nG0 X14. Z1.\n\
             G1 Z-21. F0.2\nG0 X120. Z60.\nT0808\nG97 S600\nG0 X18. Z6.\nG92 X13. Z-13. F1.5\n\
             X{last}\nG0 X120. Z60.\nT0303\nG0 X20. Z-22.5\nG1 X-0.6 F0.05\nG0 X120. Z60.\nM30\n"
        );
        let library = Library::new(vec![nc::read::read(&Source::new("thread.nc", text))]);
        let proof = prove::prove(&library, &setup);
        proof.findings.iter().filter(|one| one.id == "thread-too-shallow").count()
    };
    // 14 − 1.6238 − 0.032 = 12.344 mm is the largest ground of 6g; the odd thread would take 12.526.
    assert_eq!(proof("12.34"), 0);
    assert_eq!(proof("12.40"), 1);
}

/// One feature of a random drawing; many of them contradict the others.
fn odd_feature() -> impl Strategy<Value = String> {
    let place = prop_oneof![(1_i64..=20).prop_map(|mm| mm * 1000), 100_i64..20_000];
    let size = prop_oneof![(1_i64..=15).prop_map(|mm| mm * 1000), 100_i64..15_500];
    let word = |words: &'static [&'static str]| prop::sample::select(words);
    let mm = |um: i64| format!("{}.{:03}", um / 1000, um % 1000);
    prop_oneof![
        (size.clone(), place.clone(), word(&["", "tolerance = \"h7\"; ", "upper = 0.1; "]))
            .prop_map(move |(d, to, more)| format!(
                "diameter {more}diameter = {}; to = {}",
                mm(d),
                mm(to)
            )),
        (size.clone(), place.clone(), word(&["bore", "hole", "taper"]))
            .prop_map(move |(d, to, kind)| format!("{kind} diameter = {}; to = {}", mm(d), mm(to))),
        (1_i64..3000, any::<bool>(), any::<bool>(), word(&["chamfer size", "corner radius"]))
            .prop_map(move |(leg, back, inside, key)| {
                format!("{key} = {}; back = {back}; inside = {inside}", mm(leg.max(10)))
            }),
        (size.clone(), place.clone(), 100_i64..4000, 0..3).prop_map(move |(d, to, wide, side)| {
            let (inside, face) = (side == 1, side == 2);
            format!(
                "groove diameter = {}; to = {}; width = {}; inside = {inside}; face = {face}",
                mm(d),
                mm(to),
                mm(wide)
            )
        }),
        (place.clone(), any::<bool>()).prop_map(move |(to, inside)| {
            let ring = if inside { "DIN 472" } else { "DIN 471" };
            format!("groove ring = \"{ring}\"; to = {}; inside = {inside}", mm(to))
        }),
        (word(&["E 0.2x0.1", "F 0.4x0.2", "F 0.6x0.3", "E 1x0.4", "DIN 76"]), any::<bool>())
            .prop_map(|(text, inside)| format!(
                "undercut undercut = \"{text}\"; inside = {inside}"
            )),
        (word(&["M6", "M8x1", "M10", "M12x1.5", "1/2-13 UNC"]), place.clone(), any::<bool>())
            .prop_map(move |(text, to, inside)| {
                format!("thread thread = \"{text}\"; to = {}; inside = {inside}", mm(to))
            }),
        (word(&["RAA 0.5", "RGE 0.8", "RKV 1.6"]), place)
            .prop_map(move |(text, to)| format!("knurl knurl = \"{text}\"; to = {}", mm(to))),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3000))]

    /// Whatever a drawing says, it is refused or gives two regions, of which the least metal lies in the
    /// most.
    #[test]
    fn what_is_read_has_limits(
        odd in prop::collection::vec(odd_feature(), 0..4),
        neck in prop::sample::select(vec![6_i64, 8, 10, 12]), step in 2_i64..19, last in 4_i64..16,
        places in prop::collection::vec(0_usize..3, 4),
    ) {
        // Two good cylinders, with the odd features before, between and behind them.
        let mut parts = [String::new(), String::new(), String::new()];
        for (feature, place) in odd.iter().zip(places) {
            let _ = writeln!(parts[place], "{feature}");
        }
        let [front, between, behind] = parts;
        let text = format!(
            "{front}diameter diameter = {neck}; to = {step}\n{between}diameter diameter = {last}; to = 20\n{behind}"
        );
        let Some(job) = read(20, &text).1 else { return Ok(()) };
        let limits = Limits::of(&job.file.part, &job.file.bar, Length::from_um(50));
        let limits = limits.map_err(|flaw| TestCaseError::fail(format!("{text}{flaw:?}")))?;
        let outside = limits.least.difference(&limits.most);
        prop_assert!(outside.volume_mm3() < 1e-3, "{text}{} mm³", outside.volume_mm3());
    }
}
