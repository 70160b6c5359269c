//! The picture of the highest speed over a bar's life.

use calc::bar::Division;
use calc::whirl::{Between, Bow, Holds, Life, Section, Stock, Support, Way};
use model::quantity::{Density, Modulus, SpindleSpeed};
use model::{Length, Units};
use view::pictures::spindle_limit::{self, SpindleLimit};
use view::scene::Shape;

fn life(rings: &[i64], finished_um: i64) -> Life {
    let mm = Length::from_mm;
    let mut way = Way::of_jaws(mm(40), mm(1200));
    way.supports = rings.iter().map(|at| Support::new(mm(*at), Holds::Pin)).collect();
    let (gpa, kg) = (Modulus::from_gpa, Density::from_kg_per_m3);
    Life {
        stock: Stock {
            section: Section::Round { diameter: mm(20) },
            length: mm(1200),
            length_tolerance: mm(1),
            modulus: Between { low: gpa(190.0), likely: gpa(205.0), high: gpa(212.0) },
            density: Between { low: kg(7800.0), likely: kg(7850.0), high: kg(7900.0) },
            bow: Bow::AS_DRAWN,
        },
        way,
        division: Division {
            finished: Length::from_um(finished_um),
            part_off: mm(2),
            face_stock: mm(1),
            first_face: Length::ZERO,
            jaw_clearance: mm(12),
            least_grip: mm(20),
            parts_per_advance: 1,
        },
        separation: Life::SEPARATION,
        most_side_force: None,
    }
}

/// Name, life, job's speed, lathe's speed, units.
fn cases() -> Vec<(&'static str, Life, f64, f64, Units)> {
    let mut long = life(&[420, 800], 24_178);
    long.way.rear_end = Length::from_mm(1100);
    vec![
        ("rings", life(&[420, 800], 24_178), 3000.0, 4500.0, Units::Mm),
        ("jaws alone", life(&[], 24_178), 1800.0, 4000.0, Units::Inch),
        ("hangs out", long, 800.0, 4500.0, Units::Mm),
        ("very many", life(&[420], 1000), 2500.0, 6000.0, Units::Mm),
        ("few", life(&[600], 160_000), 2500.0, 3000.0, Units::Inch),
    ]
}

#[test]
fn the_picture_tells_the_curve_and_stays_inside_its_frame() {
    for (name, life, running, highest, units) in cases() {
        let parts = life.division.parts_per_bar(life.stock.length);
        let curve = life.curve(parts).unwrap();
        let shown = SpindleLimit {
            name,
            curve: &curve,
            parts,
            running: SpindleSpeed::from_rpm(running),
            highest: SpindleSpeed::from_rpm(highest),
            units,
        };
        let scene = spindle_limit::scene(&shown);
        let svg = view::svg::write(&scene);
        if let Ok(folder) = std::env::var("SHOW") {
            std::fs::write(format!("{folder}/{name}.svg"), &svg).unwrap();
        }
        roxmltree::Document::parse(&svg).unwrap();

        // One column a limit, as high as its low end where the scale reaches that far; red where
        // the job is faster.
        let columns: Vec<_> = scene
            .shapes
            .iter()
            .filter_map(|shape| match shape {
                Shape::Box { at, role, title } if title.starts_with("part ") => {
                    Some((at, role.class()))
                }
                _ => None,
            })
            .collect();
        assert_eq!(columns.len(), curve.limits.len());
        let too_fast = curve.limits.iter().filter(|limit| limit.allowed.low.rpm() < running);
        assert_eq!(
            columns.iter().filter(|(_, class)| *class == "too-fast").count(),
            too_fast.count()
        );
        let heights: Vec<f64> = columns.iter().map(|(at, _)| at[3]).collect();
        let lowest = heights.iter().copied().fold(f64::INFINITY, f64::min);
        assert!((heights[curve.worst] - lowest).abs() < 1e-9);
        let scale = heights[curve.worst] / curve.worst().unwrap().allowed.low.rpm();
        for (height, limit) in heights.iter().zip(&curve.limits) {
            let full = limit.allowed.low.rpm() * scale;
            assert!((height - full).abs() < 1e-6 || (*height < full && *height > 219.9));
        }

        let words: Vec<&str> = scene
            .shapes
            .iter()
            .filter_map(|shape| match shape {
                Shape::Text { words, .. } => Some(words.as_str()),
                _ => None,
            })
            .collect();
        let worst = format!("part {}", curve.worst().unwrap().part);
        assert!(
            words.iter().any(|words| words.contains(&worst)) && scene.description.contains(&worst)
        );
        assert_eq!(words.iter().any(|words| words.starts_with("STOP")), name == "hangs out");
        for shape in &scene.shapes {
            let (x, y) = match shape {
                Shape::Box { at, .. } => (vec![at[0], at[0] + at[2]], vec![at[1], at[1] + at[3]]),
                Shape::Line { at, .. } => (vec![at[0], at[2]], vec![at[1], at[3]]),
                Shape::Way { points, .. } => points.iter().map(|at| (at[0], at[1])).unzip(),
                Shape::Area { loops, .. } => {
                    loops.iter().flatten().map(|at| (at[0], at[1])).unzip()
                }
                // About six units a letter.
                Shape::Text { at, anchor, words } => {
                    let wide = 6.0 * words.chars().count() as f64;
                    let left = match anchor {
                        view::scene::Anchor::Start => at[0],
                        view::scene::Anchor::Middle => at[0] - wide / 2.0,
                        view::scene::Anchor::End => at[0] - wide,
                    };
                    (vec![left, left + wide], vec![at[1] - 9.0, at[1] + 3.0])
                }
            };
            assert!(
                x.iter().all(|x| (-0.01..=scene.width + 0.01).contains(x)),
                "{name}: {shape:?}"
            );
            assert!(
                y.iter().all(|y| (-0.01..=scene.height + 0.01).contains(y)),
                "{name}: {shape:?}"
            );
        }
    }
}

#[test]
fn runs_of_parts_are_told_in_words() {
    let life = life(&[420, 800], 24_178);
    let parts = life.division.parts_per_bar(life.stock.length);
    let curve = life.curve(parts).unwrap();
    let told = |running: f64| {
        spindle_limit::description(&SpindleLimit {
            name: "pin",
            curve: &curve,
            parts,
            running: SpindleSpeed::from_rpm(running),
            highest: SpindleSpeed::from_rpm(5000.0),
            units: Units::Mm,
        })
    };
    assert!(told(1000.0).contains("allowed at every part"));
    assert_eq!(curve.worst().unwrap().part, 1);
    assert!(told(3000.0).contains("too fast at part 1."), "{}", told(3000.0));
    // Behind the jaws 1160.822 − 27.178·(k − 1) mm, 1 mm more or less: the bar leaves the ring at
    // 800 mm before part 15 and that at 420 mm before part 29.
    assert!(told(3400.0).contains("too fast at parts 1 to 2 and 15."), "{}", told(3400.0));
    assert!(
        told(4600.0).contains("too fast at parts 1 to 4 and 2 more stretches."),
        "{}",
        told(4600.0)
    );
}
