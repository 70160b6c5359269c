//! The drawing of a part: every kind of feature stands on it, and no word lies on another word or
//! on a line.

use crate::demos::demos;
use model::Length;
use model::files::job::{Feature, FeatureKind, JobFile, Part};
use model::quantity::Roughness;
use model::standards::fit::Class;
use model::standards::knurl;
use model::standards::ring::RingStandard;
use model::standards::thread::ThreadForm;
use model::standards::undercut::UndercutForm;
use view::pictures::{gripper_stand, part_drawing};
use view::scene::{Anchor, Role, Scene, Shape};
use view::sizes::sizes;

const WIDTH: f64 = 680.0;

fn mm(mm: f64) -> Length {
    Length::nearest_mm(mm)
}

/// A feature of a kind that ends so far from the front face.
fn feature(kind: FeatureKind, diameter: f64, to: f64) -> Feature {
    Feature { diameter: mm(diameter), to: mm(to), ..Feature::of(kind) }
}

fn edge(kind: FeatureKind, size: f64, inside: bool) -> Feature {
    let (leg, radius) = if kind == FeatureKind::Chamfer {
        (mm(size), Length::ZERO)
    } else {
        (Length::ZERO, mm(size))
    };
    Feature { size: leg, radius, inside, ..Feature::of(kind) }
}

fn toleranced(mut feature: Feature, upper: f64, lower: f64, ra: f64) -> Feature {
    feature.deviations = (mm(upper), mm(lower));
    feature.ra = Some(Roughness::from_um(ra));
    feature
}

fn part(length: f64, features: Vec<Feature>) -> Part {
    let (upper, lower) = (mm(0.05), mm(-0.05));
    Part { length: mm(length), length_deviations: (upper, lower), inside_corner: None, features }
}

/// A shaft end with everything that an outside can have.
fn shaft() -> Part {
    use FeatureKind::{Arc, Chamfer, Corner, Diameter, Groove, Taper, Thread};
    part(
        60.0,
        vec![
            edge(Chamfer, 1.0, false),
            feature(Diameter, 10.0, 14.0),
            Feature { pitch: mm(1.5), ..feature(Thread, 10.0, 12.0) },
            Feature { width: mm(2.0), ..feature(Groove, 7.6, 14.0) },
            edge(Corner, 0.4, false),
            toleranced(feature(Diameter, 15.0, 26.0), -0.006, -0.017, 0.8),
            Feature { width: mm(1.1), later: true, ..feature(Groove, 14.3, 24.0) },
            Feature { start: Some(mm(15.0)), ..feature(Taper, 18.0, 34.0) },
            Feature {
                radius: mm(6.0),
                hollow: true,
                start: Some(mm(18.0)),
                ..feature(Arc, 22.0, 38.0)
            },
            toleranced(feature(Diameter, 22.0, 50.0), 0.1, -0.1, 3.2),
            edge(Chamfer, 0.5, false),
            toleranced(feature(Diameter, 24.0, 60.0), 0.0, -0.052, 1.6),
        ],
    )
}

/// A bush with everything that a hole can have.
fn bush() -> Part {
    use FeatureKind::{Bore, Chamfer, Corner, Diameter, Groove, Hole, Thread};
    part(
        22.0,
        vec![
            edge(Chamfer, 0.6, false),
            toleranced(feature(Diameter, 18.0, 8.0), 0.018, 0.007, 0.8),
            edge(Corner, 1.0, false),
            feature(Diameter, 26.0, 22.0),
            feature(Hole, 7.8, 25.0),
            edge(Chamfer, 0.5, true),
            toleranced(feature(Bore, 14.0, 6.0), 0.018, 0.0, 1.6),
            Feature { start: Some(mm(12.0)), ..feature(Bore, 10.0, 10.0) },
            feature(Bore, 8.5, 16.0),
            Feature {
                pitch: mm(1.25),
                from: mm(10.0),
                inside: true,
                ..feature(Thread, 10.0, 15.0)
            },
            Feature { width: mm(1.1), inside: true, ..feature(Groove, 15.2, 4.0) },
            Feature { width: mm(0.9), face: true, ..feature(Groove, 17.0, 0.8) },
        ],
    )
}

/// What a drawing says in short words: fits, threads, undercuts, ring grooves, knurls.
fn worded() -> Part {
    use FeatureKind::{Chamfer, Diameter, Groove, Knurl, Thread, Undercut};
    let fit = |text: &str, size: f64, to: f64| {
        let class = Class::read(text).unwrap();
        let deviations = class.deviations(mm(size)).unwrap();
        Feature { tolerance: Some(class), deviations, ..feature(Diameter, size, to) }
    };
    let thread = ThreadForm::read("M12x1.5-6g", false).unwrap();
    let undercut = text_undercut("F 0.6x0.3");
    let ring = RingStandard::read("DIN 471").unwrap();
    let groove = ring.groove(mm(20.0)).unwrap();
    let knurl = knurl::Knurl::read("RAA 0.8").unwrap();
    part(
        70.0,
        vec![
            edge(Chamfer, 1.0, false),
            feature(Diameter, 12.0, 18.0),
            Feature { pitch: thread.pitch, form: Some(thread), ..feature(Thread, 12.0, 14.0) },
            fit("h7", 20.0, 40.0),
            Feature {
                width: groove.width,
                width_deviations: groove.width_deviations,
                deviations: groove.deviations,
                ring: Some(ring),
                diameter: groove.diameter,
                ..feature(Groove, 19.0, 36.0)
            },
            Feature { undercut: Some(undercut), ..feature(Undercut, 20.0, 40.0) },
            feature(Diameter, 27.0, 70.0),
            Feature { knurl: Some(knurl), from: mm(48.0), ..feature(Knurl, 27.4, 66.0) },
            Feature { back: true, ..edge(Chamfer, 0.8, false) },
        ],
    )
}

fn text_undercut(text: &str) -> model::standards::undercut::Undercut {
    let (form, size) = UndercutForm::read(text, false).unwrap();
    model::standards::undercut::Undercut::din_509(form, &size).unwrap()
}

/// Twelve short steps, each with a chamfer.
fn stairs() -> Part {
    let steps = (1..=12).flat_map(|step| {
        let step = f64::from(step);
        [
            edge(FeatureKind::Chamfer, 0.2, false),
            toleranced(feature(FeatureKind::Diameter, 5.0 + step, 1.3 * step), 0.0, -0.012, 0.4),
        ]
    });
    part(15.6, steps.collect())
}

/// A thin long pin.
fn needle() -> Part {
    part(
        300.0,
        vec![
            feature(FeatureKind::Diameter, 4.0, 120.0),
            feature(FeatureKind::Diameter, 5.0, 300.0),
        ],
    )
}

fn files() -> Vec<(&'static str, JobFile)> {
    let mut all: Vec<(&str, JobFile)> = Vec::new();
    for (name, job) in demos() {
        all.push((name, job.file));
    }
    let base = all[0].1.clone();
    let made = [
        ("shaft", shaft()),
        ("bush", bush()),
        ("worded", worded()),
        ("stairs", stairs()),
        ("needle", needle()),
    ];
    all.extend(made.map(|(name, part)| {
        let mut file = JobFile { part, name: name.to_owned(), ..base.clone() };
        file.bar.size = mm(30.0);
        (name, file)
    }));
    all
}

fn drawn(file: &JobFile) -> Scene {
    part_drawing::scene(file, &sizes(file), WIDTH).unwrap()
}

/// Left, top, right, bottom of some words, as wide as a narrow font sets them.
fn room(shape: &Shape) -> Option<[f64; 4]> {
    let Shape::Text { at: [x, y], anchor, words } = shape else { return None };
    let wide = words.chars().count() as f64 * 5.9;
    let left = match anchor {
        Anchor::Start => *x,
        Anchor::Middle => x - wide / 2.0,
        Anchor::End => x - wide,
    };
    Some([left, y - 8.0, left + wide, y + 2.0])
}

fn lines(shape: &Shape) -> Vec<[f64; 4]> {
    match shape {
        Shape::Line { at, role } if *role != Role::Hatch => vec![*at],
        Shape::Way { points, .. } => {
            points.windows(2).map(|pair| [pair[0][0], pair[0][1], pair[1][0], pair[1][1]]).collect()
        }
        _ => Vec::new(),
    }
}

/// Whether a line touches a box, by looking at many of its points.
fn touches([x1, y1, x2, y2]: [f64; 4], [left, top, right, bottom]: [f64; 4]) -> bool {
    (0..=400).any(|step| {
        let share = f64::from(step) / 400.0;
        let (x, y) = (x1 + (x2 - x1) * share, y1 + (y2 - y1) * share);
        (left..right).contains(&x) && (top..bottom).contains(&y)
    })
}

fn assert_clean(name: &str, scene: &Scene) {
    let words: Vec<(&Shape, [f64; 4])> =
        scene.shapes.iter().filter_map(|shape| Some((shape, room(shape)?))).collect();
    for (index, (shape, one)) in words.iter().enumerate() {
        assert!(one[0] >= 0.0 && one[2] <= scene.width, "{name}: {shape:?} leaves the paper");
        assert!(one[1] >= 0.0 && one[3] <= scene.height, "{name}: {shape:?} leaves the paper");
        for (other, box_of) in &words[..index] {
            let apart = one[2] <= box_of[0]
                || box_of[2] <= one[0]
                || one[3] <= box_of[1]
                || box_of[3] <= one[1];
            assert!(apart, "{name}: {shape:?} lies on {other:?}");
        }
        for line in scene.shapes.iter().flat_map(lines) {
            assert!(!touches(line, *one), "{name}: the line {line:?} runs through {shape:?}");
        }
    }
}

#[test]
fn no_word_lies_on_another_or_on_a_line() {
    for (name, file) in files() {
        let scene = drawn(&file);
        if let Ok(folder) = std::env::var("SHOW") {
            let path = std::path::Path::new(&folder).join(format!("part-{name}.svg"));
            std::fs::write(path, view::svg::write(&scene)).unwrap();
        }
        assert_clean(name, &scene);
    }
    for (name, job) in demos() {
        let scene = gripper_stand::scene(&job, &plan::bar::divide(&job), WIDTH);
        if let Ok(folder) = std::env::var("SHOW") {
            let path = std::path::Path::new(&folder).join(format!("gripper-{name}.svg"));
            std::fs::write(path, view::svg::write(&scene)).unwrap();
        }
        assert_clean(name, &scene);
    }
}

/// The drawings as they were looked at before they were accepted.
#[test]
fn drawings_are_as_they_were_seen() {
    let mut wrong = Vec::new();
    for (name, file) in files() {
        let svg = view::svg::write(&drawn(&file));
        let path = format!("{}/tests/drawings/{name}.svg", env!("CARGO_MANIFEST_DIR"));
        if std::env::var_os("UPDATE_EXPECT").is_some_and(|value| value == "1") {
            std::fs::write(&path, &svg).unwrap();
        }
        if std::fs::read_to_string(&path).unwrap_or_default() != svg {
            wrong.push(name);
        }
    }
    assert!(wrong.is_empty(), "{wrong:?} differ; UPDATE_EXPECT=1 writes them anew: look at them");
}

#[test]
fn every_feature_and_every_length_stands_on_it() {
    for (name, file) in files() {
        let scene = drawn(&file);
        let words: Vec<&str> = scene
            .shapes
            .iter()
            .filter_map(|shape| match shape {
                Shape::Text { words, .. } => Some(words.as_str()),
                _ => None,
            })
            .collect();
        for size in sizes(&file) {
            let mark = format!("[{}] ", size.number);
            let found: Vec<_> = words.iter().filter(|words| words.starts_with(&mark)).collect();
            let nominal = size.nominal.shortest(file.units);
            assert!(found.len() == 1 && found[0].contains(&nominal), "{name}: {size:?}: {found:?}");
        }
        // A line of words for each feature beside those for lengths and notes.
        let arrows = scene
            .shapes
            .iter()
            .filter(|shape| matches!(shape, Shape::Way { role: Role::Measure, .. }));
        assert_eq!(arrows.count(), file.part.features.len(), "{name}");
        let document = view::svg::write(&scene);
        let document = roxmltree::Document::parse(&document).unwrap();
        assert!(document.descendants().any(|node| node.has_tag_name("desc")));
    }
}
