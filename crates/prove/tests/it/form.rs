//! Pieces that fall, held to closed forms and to plain arithmetic: their volumes, what a nose
//! leaves on a slope, and when the comparison with the drawing is clear.

use crate::folder::Folder;
use model::files::job::{Feature, FeatureKind, Job, Part};
use model::files::tools::ToolKind;
use model::{Files, Length, Level, Source};
use nc::program::Library;
use proptest::prelude::*;
use prove::Setup;
use prove::event::What;
use prove::form::Limits;
use prove::lathe::Shown;
use prove::run::{Order, Run};
use shape::Region;
use std::f64::consts::PI;
use std::fmt::Write as _;

const MM: i64 = 1_000_000;

fn shop() -> Setup {
    let folder = Folder::of_tests("shop");
    Setup::of(&Job::read(&folder.read("pin.job.toml").unwrap(), &folder).value.unwrap())
}

fn um(um: i64) -> Length {
    Length::from_um(um)
}

/// Faces, makes these moves with station 1, parts off behind 20 mm.
fn program(moves: &str) -> String {
    format!(
        "G21 G99\nG50 S2500\nT0101\nG97 S800 M3\nG0 X20. Z0.\nG1 X-2. F0.1\nG0 Z2.\n{moves}\n\
         G0 X120. Z60.\nT0303\nG0 X20. Z-22.5\nG1 X-0.6 F0.05\nG0 X120. Z60.\nM30\n"
    )
}

/// Every piece that falls, with whether it is as drawn.
fn pieces(setup: &Setup, text: &str) -> Vec<(Region, Option<bool>)> {
    let library = Library::new(vec![nc::read::read(&Source::new("form.nc", text))]);
    let run = Run::new(&library, setup, Shown::default(), Order::Latest);
    let metal = run.lathe.metal.clone().unwrap();
    let mut pieces = Vec::new();
    run.finish(&mut |moment| {
        if let What::Fell { piece, right } = moment.what {
            pieces.push((metal.region(piece), right));
        }
    });
    pieces
}

fn piece(setup: &Setup, moves: &str) -> Region {
    let mut pieces = pieces(setup, &program(moves));
    assert_eq!(pieces.len(), 1);
    pieces.remove(0).0
}

/// Chords follow arcs within 0.2 µm; the surface of these parts is below 1500 mm².
fn holds(piece: &Region, volume: f64) {
    let found = piece.volume_mm3();
    assert!((found - volume).abs() < 0.3, "{found} mm³, by the closed form {volume} mm³");
}

const CYLINDER: f64 = PI * 7.5 * 7.5;

/// Computed: V = π r² h.
#[test]
fn a_cylinder() {
    let found = piece(&shop(), "G0 X15.\nG1 Z-21. F0.2");
    // Straight cuts on the grid are exact: 7.5² · 20 · 3 thirds of π mm³.
    assert_eq!(found.volume_in_thirds_of_pi(), 3375 * i128::from(MM).pow(3));
}

/// Computed: a frustum has V = π h (R² + R r + r²) / 3.
#[test]
fn a_cone_frustum() {
    let found = piece(&shop(), "G0 X10.\nG1 Z0. F0.1\nX15. Z-5.\nZ-21.");
    let frustum = PI * 5.0 * (7.5 * 7.5 + 7.5 * 5.0 + 25.0) / 3.0;
    holds(&found, frustum + CYLINDER * 15.0);
}

/// Computed: half a ball has V = 2/3 π R³.
#[test]
fn a_ball_end() {
    let found = piece(&shop(), "G0 X0.\nG1 Z0. F0.1\nG3 X15. Z-7.5 R7.5\nG1 Z-21.");
    holds(&found, 2.0 / 3.0 * PI * 7.5_f64.powi(3) + CYLINDER * 12.5);
}

/// Area of a square less its quarter circle, and how far its centroid lies from the circle's center,
/// for a radius of 1 (computed from the centroid 4/3π of a quarter circle).
fn spandrel() -> (f64, f64) {
    let area = 1.0 - PI / 4.0;
    (area, (0.5 - 1.0 / 3.0) / area)
}

/// Computed: a rounded edge takes away a ring, by Pappus's theorem 2π times the centroid's radius
/// times the area.
#[test]
fn a_rounded_edge() {
    let (area, centroid) = spandrel();
    let found = piece(&shop(), "G0 X11.\nG1 Z0. F0.1\nG3 X15. Z-2. R2.\nG1 Z-21.");
    let ring = 2.0 * PI * (5.5 + 2.0 * centroid) * 4.0 * area;
    holds(&found, CYLINDER * 20.0 - ring);
}

/// Computed: a fillet adds a ring, by Pappus's theorem.
#[test]
fn a_fillet() {
    let (area, centroid) = spandrel();
    let found = piece(&shop(), "G0 X9.\nG1 Z-8. F0.1\nG2 X13. Z-10. R2.\nG1 X15.\nZ-21.");
    // The circle's center stands at radius 6.5, two farther out than the neck.
    let ring = 2.0 * PI * (6.5 - 2.0 * centroid) * 4.0 * area;
    holds(&found, PI * 4.5 * 4.5 * 10.0 + ring + CYLINDER * 10.0);
}

/// Computed: on a cone at φ to the axis, programmed for the imaginary tip, a nose R leaves
/// R·(1 − tan((90° − φ)/2)) on the radius; the square distance is what `calc::nose` tells.
#[test]
fn a_nose_leaves_on_a_cone_what_geometry_says() {
    for degrees in [5.0_f64, 15.0, 26.565_051, 45.0, 60.0] {
        let slope = degrees.to_radians().tan();
        let long = (5.0 / slope).min(10.0);
        let mut setup = shop();
        let nose = 0.8;
        setup.tools.as_mut().unwrap().stations[0].nose_radius = um(800);
        let start = 15.0 - 2.0 * long * slope;
        let found = piece(&setup, &format!("G0 X{start:.6}\nG1 Z0. F0.1\nX15. Z-{long:.6}\nZ-21."));
        let z = -(long / 2.0 * 1e6) as i64;
        let radius = found.section(z).last().unwrap().high as f64 / 1e6;
        let left = radius - (start / 2.0 + long / 2.0 * slope);
        let known = nose * (1.0 - ((90.0 - degrees) / 2.0).to_radians().tan());
        assert!((left - known).abs() < 0.0005, "{degrees}°: {left} left, {known} known");
        let square = calc::nose::left_on_slope(um(800), degrees).unwrap();
        assert!((left * degrees.to_radians().cos() - square).abs() < 0.0005);
    }
}

/// A part of cylinders.
fn drawing(steps: &[(i64, i64)], deviation: i64) -> Part {
    let cylinder = |&(diameter, to): &(i64, i64)| Feature {
        diameter: um(diameter),
        deviations: (um(deviation), um(-deviation)),
        to: um(to),
        ..Feature::of(FeatureKind::Diameter)
    };
    Part {
        length: um(20_000),
        length_deviations: (Length::ZERO, Length::ZERO),
        inside_corner: Some(Length::ZERO),
        features: steps.iter().map(cylinder).collect(),
    }
}

/// What ISO 2768-1 has for these lengths, class m, in micrometers.
fn general(to: i64) -> i64 {
    if to <= 6_000 { 100 } else { 200 }
}

/// By plain arithmetic: whether at every place the radius lies between what the drawing's cylinders
/// allow there, each of them as far to either side as its ends may lie.
fn within(steps: &[(i64, i64)], cut: &[(i64, i64)], deviation: i64) -> bool {
    let starts = |steps: &[(i64, i64)], i: usize| if i == 0 { 0 } else { steps[i - 1].1 };
    let mut places: Vec<i64> = Vec::new();
    for at in steps.iter().chain(cut).map(|step| step.1).chain([0]) {
        places.extend([-201, -199, -101, -99, -1, 1, 99, 101, 199, 201].map(|by| at + by));
    }
    places.retain(|z| (0..20_000).contains(z));
    places.into_iter().all(|z| {
        let is = cut.iter().find(|step| z < step.1).map_or(0, |step| step.0);
        let near = |i: usize| {
            let (from, to) = (starts(steps, i), steps[i].1);
            let ahead = if i == 0 { general(to) } else { general(from) };
            z > from - ahead && z < to + general(to)
        };
        let here: Vec<i64> = (0..steps.len()).filter(|i| near(*i)).map(|i| steps[i].0).collect();
        let most = here.iter().max().unwrap() + deviation;
        let least = here.iter().min().unwrap() - deviation;
        // The faces themselves may lie off as lengths may.
        let faces = z > general(steps[0].1) && z < 20_000 - general(20_000);
        is <= most && (!faces || is >= least)
    })
}

prop_compose! {
    /// Cylinders that grow toward the chuck, and how far each one's cut is off, in micrometers.
    fn parts()(
        growth in prop::collection::vec((400..1500_i64, 800..4000_i64), 1..4),
        off in prop::collection::vec((-16..16_i64, -16..16_i64), 4),
        deviation in 1..10_i64,
    ) -> (Vec<(i64, i64)>, Vec<(i64, i64)>, i64) {
        let mut steps = Vec::new();
        let (mut diameter, mut to) = (6_000, 0);
        for (index, (more, long)) in growth.iter().enumerate() {
            (diameter, to) = (diameter + 2 * more, to + long);
            steps.push((diameter, if index + 1 == growth.len() { 20_000 } else { to }));
        }
        let last = steps.len() - 1;
        // Odd against even tens of micrometers: nothing lies just at a limit.
        let cut = steps.iter().enumerate().map(|(i, (diameter, to))| {
            let along = if i == last { 0 } else { off[i].1 * 20 + 10 };
            (diameter + off[i].0 * 10, to + along)
        });
        (steps.clone(), cut.collect(), deviation * 20 + 10 + 5)
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn the_comparison_is_clear_just_when_every_radius_is_within((steps, cut, deviation) in parts()) {
        prop_assume!(cut.windows(2).all(|pair| pair[0].1 < pair[1].1 && pair[0].0 < pair[1].0));
        let mut setup = shop();
        setup.drawing = Some(drawing(&steps, deviation));
        let mut moves = String::new();
        for (index, (diameter, to)) in cut.iter().enumerate().rev() {
            let (x, z) = (*diameter as f64 / 1000.0, *to as f64 / 1000.0);
            let z = if index + 1 == cut.len() { 21.0 } else { z };
            write!(moves, "G0 X{x:.3} Z2.\nG1 Z-{z:.3} F0.2\nG0 X20.\nZ2.\n").unwrap();
        }
        let pieces = pieces(&setup, &program(&moves));
        prop_assert_eq!(
            pieces[0].1, Some(within(&steps, &cut, deviation)),
            "steps {:?}, cut {:?}, ±{}", steps, cut, deviation
        );
    }
}

/// The limits of a drawing hold its nominal form, and the least metal lies within the most.
#[test]
fn limits_lie_in_each_other() {
    let folder = Folder::of_tests("shops/toolroom-mm");
    let names =
        ["ball-pin", "bush-bored", "corner-words", "nose-bore", "pin-grooved", "tapped-bush"];
    for name in names {
        let source = folder.read(&format!("{name}.toml")).unwrap();
        let job = Job::read(&source, &folder).value.unwrap();
        let limits = Limits::of(&job.file.part, &job.file.bar, um(1000)).unwrap();
        assert!(limits.least.difference(&limits.most).is_empty(), "{name}");
        assert!(limits.least.volume_mm3() > 0.5 * limits.most.volume_mm3(), "{name}");
    }
}

/// A piece like one before is one look-up: a bar of 23 parts has two shapes of pieces at most.
#[test]
fn pieces_alike_are_compared_once() {
    let folder = Folder::of_tests("shops/radial-mm");
    let job = Job::read(&folder.read("job.toml").unwrap(), &folder).value.unwrap();
    let setup = Setup::of(&job);
    let text = std::fs::read_to_string(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/programs/hand-typed/over-the-top.nc"
    ))
    .unwrap();
    let library = Library::new(vec![nc::read::read(&Source::new("form.nc", text))]);
    let run = Run::new(&library, &setup, Shown::default(), Order::Latest);
    let metal = run.lathe.metal.clone().unwrap();
    let mut fell = 0;
    run.finish(&mut |moment| fell += usize::from(matches!(moment.what, What::Fell { .. })));
    assert_eq!(fell, 23);
    assert_eq!(metal.comparisons(), 1);
}

/// The same part on either side of the axis is the same piece.
#[test]
fn the_far_side_gives_the_same_piece() {
    let near = piece(&shop(), "G0 X15.\nG1 Z-21. F0.2");
    let text = "G21 G99\nG50 S2500\nT0101\nG97 S800 M4\nG0 X-20. Z0.\nG1 X2. F0.1\nG0 Z2.\n\
                X-15.\nG1 Z-21. F0.2\nG0 X-120. Z60.\nT0303\nG0 X-20. Z-22.5\nG1 X0.6 F0.05\n\
                G0 X-120. Z60.\nM30\n";
    assert_eq!(pieces(&shop(), text)[0].0, near);
}

/// Two parts an advance fall one by one, each compared by its own face.
#[test]
fn every_part_of_an_advance_falls_on_its_own() {
    let folder = Folder::of_tests("shops/axial-mm");
    let job = Job::read(&folder.read("job.toml").unwrap(), &folder).value.unwrap();
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/programs/hand-typed/two-a-pull.nc");
    let pieces = pieces(&Setup::of(&job), &std::fs::read_to_string(path).unwrap());
    assert_eq!(pieces.len(), 48);
    assert!(pieces.iter().all(|(_, right)| *right == Some(true)));
    let first = pieces[0].0.shifted(-pieces[0].0.bounds().unwrap().max.z);
    let second = pieces[1].0.shifted(-pieces[1].0.bounds().unwrap().max.z);
    assert_eq!(first, second);
}

/// A hexagon keeps its corners where the part is as large as the bar: no metal is left over there.
#[test]
fn a_hexagon_keeps_its_corners() {
    let mut setup = shop();
    let bar = setup.bar.as_mut().unwrap();
    bar.shape = model::files::job::BarShape::Hexagon;
    setup.drawing = Some(drawing(&[(10_000, 8_000), (16_000, 20_000)], 100));
    let text = program("G0 X10.\nG1 Z-8. F0.1\nX24.");
    let text =
        text.replace("G0 X20. Z-22.5", "G0 X24. Z-22.5").replace("G0 X20. Z0.", "G0 X24. Z0.");
    let pieces = pieces(&setup, &text);
    assert_eq!(pieces[0].1, Some(true));
}

/// Nothing is said of a piece after a word that may have drawn the bar.
#[test]
fn a_word_that_nobody_explains_leaves_the_form_open() {
    let text = program("G0 X14.\nM205\nG1 Z-21. F0.2");
    assert_eq!(pieces(&shop(), &text)[0].1, None);
    assert_eq!(pieces(&shop(), &text.replace("M205\n", ""))[0].1, Some(false));
}

/// A drilled bar is faced down to its hole only: the part is as long as it is drawn, and falls where
/// the blade comes to the hole.
#[test]
fn a_drilled_part_is_faced_to_its_hole() {
    let mut setup = shop();
    let stations = &mut setup.tools.as_mut().unwrap().stations;
    let mut drill = stations[0].clone();
    (drill.number, drill.offset) = (4, 4);
    (drill.kind, drill.diameter) = (ToolKind::Drill, Some(um(6_000)));
    stations.push(drill);
    let mut part = drawing(&[(15_000, 20_000)], 100);
    part.features.push(Feature {
        diameter: um(6_000),
        to: um(20_000),
        ..Feature::of(FeatureKind::Hole)
    });
    setup.drawing = Some(part);
    let text = "G21 G99\nG97 S800 M3\nT0404\nG0 X0. Z5.\nG1 Z-25. F0.1\nG0 Z5.\nX120. Z60.\nT0101\n\
                G0 X20. Z0.\nG1 X4. F0.1\nG0 Z2.\nX15.\nG1 Z-21. F0.2\nG0 X120. Z60.\nT0303\n\
                G0 X20. Z-22.5\nG1 X4. F0.05\nX-0.6\nG0 X120. Z60.\nM30\n";
    assert_eq!(pieces(&setup, text)[0].1, Some(true));
    let library = Library::new(vec![nc::read::read(&Source::new("form.nc", text))]);
    let proof = prove::prove(&library, &setup);
    let stops: Vec<_> = proof.findings.iter().filter(|one| one.level == Level::Stop).collect();
    assert!(stops.is_empty(), "{stops:#?}");
    assert_eq!(proof.parts, 1);
    // The hole too small, though the outside is right.
    setup.drawing.as_mut().unwrap().features[1].diameter = um(6_500);
    assert_eq!(pieces(&setup, text)[0].1, Some(false));
}
