//! The pictures of gauged sizes: what they draw is what the figures say, and nothing leaves its frame.

use calc::sizes::capability::capability;
use calc::sizes::chart::Chart;
use calc::sizes::gauging::until_limit;
use calc::sizes::outliers::set_apart;
use calc::sizes::review::{Gauged, review};
use calc::sizes::rules::{Rule, look};
use calc::sizes::series::without_moves;
use calc::sizes::summary::SizeSummary;
use calc::sizes::trend::Trend;
use calc::sizes::{Band, Moved, Reading};
use model::quantity::Probability;
use model::{Length, Units};
use view::pictures::size_chart::{self, Ahead, SizeChart};
use view::pictures::size_spread::{self, SizeSpread};
use view::scene::{Anchor, Role, Scene, Shape};

/// A series of sizes that is made up: `every` parts apart, scattered by the digits of the golden
/// section, drifting, with a move and a slip.
struct Made {
    name: &'static str,
    readings: Vec<Reading>,
    moves: Vec<Moved>,
    band: Option<Band>,
    group: u32,
    units: Units,
}

fn made(name: &'static str, many: u32, drift: i64, units: Units) -> Made {
    let nominal =
        if units == Units::Mm { Length::from_mm(12) } else { Length::from_nm(12_700_000) };
    let scatter =
        |at: u32| (f64::from(at) * 0.618_034).fract() + (f64::from(at) * 0.414_214).fract() - 1.0;
    let size = |at: u32| {
        let um = 5.0 * scatter(at) + drift as f64 * f64::from(at) / 10.0;
        (nominal + Length::nearest_mm(um / 1000.0)).round_to(units, units.decimals())
    };
    let readings = (1..=many).map(|at| Reading { part: at * 5, size: size(at) }).collect();
    let um = |um| Some(nominal + Length::from_um(um));
    let band = Band::new(um(-18), um(18)).ok();
    Made { name, readings, moves: Vec::new(), band, group: 1, units }
}

fn cases() -> Vec<Made> {
    let mut worn = made("diameter 12 ±0.018 of a pin, worn and moved once", 36, 8, Units::Mm);
    worn.moves = vec![Moved { before: 92, by: Length::from_um(-12) }];
    for reading in worn.readings.iter_mut().filter(|it| it.part >= 92) {
        reading.size += Length::from_um(-12);
    }
    let mut slip = made("diameter 12, one slip of the pen", 24, 0, Units::Mm);
    slip.readings[10].size += Length::from_um(100);
    let mut groups = made("diameter 12, groups of five", 60, 0, Units::Mm);
    groups.group = 5;
    let mut open = made("diameter 1/2 in, run out at most", 16, 3, Units::Inch);
    open.band = Band::new(None, open.band.and_then(Band::most)).ok();
    let mut bare = made("a size without limits", 3, 0, Units::Mm);
    bare.band = None;
    let mut same = made("always the same", 12, 0, Units::Mm);
    let size = same.readings[0].size;
    same.readings.iter_mut().for_each(|it| it.size = size);
    vec![worn, slip, groups, open, bare, same, made("two readings", 2, 0, Units::Inch)]
}

/// Draws a case, and gives how many points, flags and outliers the figures have.
fn drawn(made: &Made) -> (Scene, view::sheet::Table, [usize; 3]) {
    let apart = set_apart(&made.readings, Length::from_um(1)).unwrap();
    let chart = match made.group {
        1 => Chart::individuals(&apart.kept).unwrap(),
        group => Chart::means(&apart.kept, group).unwrap(),
    };
    let unmoved = without_moves(&apart.kept, &made.moves);
    let trend = Trend::of(&unmoved).ok();
    // Where the size surely drifts, the rules look about its line.
    let sure = |it: &&Trend| made.group == 1 && it.is_sure(Probability::from_ratio(0.001)).unwrap();
    let about = trend.as_ref().filter(sure).map_or_else(
        || chart.off_center(),
        |trend| Chart::individuals(&trend.off_line(&unmoved)).unwrap().off_center(),
    );
    let seen = about.map_or(Vec::new(), |off| look(&off, &Rule::USUAL));
    let risk = Probability::from_ratio(0.05);
    let last = apart.kept.last().map_or(0, |it| it.part);
    let moved: Length = made.moves.iter().map(|it| it.by).sum();
    let shifted = made.band.map(|band| {
        Band::new(band.least().map(|it| it - moved), band.most().map(|it| it - moved)).unwrap()
    });
    let ahead = trend.as_ref().zip(shifted).map(|(trend, band)| Ahead {
        trend,
        last,
        limit: until_limit(trend, band, last, risk, 200).unwrap(),
        confidence: Probability::from_ratio(0.95),
    });
    let shown = SizeChart {
        name: made.name,
        chart: &chart,
        kept: &apart.kept,
        band: made.band,
        seen: &seen,
        outliers: &apart.outliers,
        moves: &made.moves,
        drift: None,
        ahead,
        units: made.units,
    };
    let mut flagged: Vec<usize> = seen.iter().map(|it| it.at).collect();
    flagged.dedup();
    let counts = [chart.points.len(), flagged.len(), apart.outliers.len()];
    (size_chart::scene(&shown), size_chart::table(&shown), counts)
}

#[test]
fn what_is_drawn_is_what_the_figures_say() {
    for made in cases() {
        let (scene, table, [points, flags, outliers]) = drawn(&made);
        let svg = view::svg::write(&scene);
        if let Ok(folder) = std::env::var("SHOW") {
            std::fs::write(format!("{folder}/{}.svg", made.name.replace('/', "-")), &svg).unwrap();
        }
        roxmltree::Document::parse(&svg).unwrap();
        let of = |wanted: Role| {
            let role = |shape: &&Shape| match shape {
                Shape::Box { role, .. } | Shape::Area { role, .. } => *role == wanted,
                _ => false,
            };
            scene.shapes.iter().filter(role).count()
        };
        assert_eq!([of(Role::Reading), of(Role::Mark), of(Role::Odd)], [points, flags, outliers]);
        assert_eq!(table.rows.len(), points + outliers, "{}", made.name);
        assert!(table.rows.iter().all(|row| row.len() == table.columns.len()));
        inside(&scene, made.name);
    }
}

#[test]
fn the_picture_of_the_page_is_what_is_drawn() {
    let mut worn = made("diameter 12 ±0.018, gauged every fifth part", 30, 8, Units::Mm);
    worn.moves = vec![Moved { before: 92, by: Length::from_um(-18) }];
    for reading in worn.readings.iter_mut().filter(|it| it.part >= 92) {
        reading.size += Length::from_um(-18);
    }
    worn.readings[13].size += Length::from_um(60);
    let um = Length::from_um;
    let gauged = Gauged {
        readings: &worn.readings,
        moves: &worn.moves,
        group: 1,
        edge_from: 1,
        band: worn.band,
        gauge_step: um(1),
        offset_step: um(1),
        least_move: um(2),
        confidence: Probability::from_ratio(0.95),
        risk: Probability::from_ratio(0.05),
        most: 200,
    };
    let review = review(&gauged).unwrap();
    let shown = SizeChart::of(worn.name, &gauged, &review, worn.units);
    let scene = size_chart::scene(&shown);
    inside(&scene, worn.name);
    // Sizes that surely drift are not said to be chance, in no words of the picture.
    assert!(review.drifts);
    let says = |words: &str| {
        scene
            .shapes
            .iter()
            .any(|shape| matches!(shape, Shape::Text { words: text, .. } if text.contains(words)))
    };
    assert!(says("It surely drifts") && !says("chance"));
    assert!(scene.description.contains("It surely drifts"), "{}", scene.description);
    let svg = view::svg::write(&scene);
    let path = format!("{}/../../docs/sizes.svg", env!("CARGO_MANIFEST_DIR"));
    if std::env::var_os("UPDATE_EXPECT").is_some_and(|value| value == "1") {
        std::fs::write(&path, &svg).unwrap();
    }
    let same = std::fs::read_to_string(&path).unwrap_or_default() == svg;
    assert!(same, "docs/sizes.svg differs; UPDATE_EXPECT=1 writes it anew: look at it");
}

#[test]
fn heights_follow_sizes() {
    let made = &cases()[0];
    let (scene, ..) = drawn(made);
    let tops: Vec<f64> = scene
        .shapes
        .iter()
        .filter_map(|shape| match shape {
            Shape::Box { at, role: Role::Reading, .. } => Some(at[1]),
            _ => None,
        })
        .collect();
    // One scale for all: equal steps of size are equal steps on paper.
    let per_mm = |a: usize, b: usize| {
        (tops[a] - tops[b]) / (made.readings[b].size - made.readings[a].size).mm()
    };
    let scale = per_mm(0, 16);
    for index in 1..tops.len() {
        if made.readings[index].size != made.readings[0].size {
            assert!((per_mm(0, index) / scale - 1.0).abs() < 1e-6);
        }
    }
    assert!(scene.description.contains("Gauge the next part"), "{}", scene.description);
    let (scene, ..) = drawn(&cases()[1]);
    assert!(scene.description.contains("Gauge again after 200 parts, at part 320"));
}

#[test]
fn the_slip_is_told_in_picture_words_and_table() {
    let (scene, table, _) = drawn(&cases()[1]);
    assert!(scene.description.contains("Set apart: part 55"), "{}", scene.description);
    assert!(table.rows.iter().any(|row| row[0] == "55" && row[4].starts_with("set apart")));
    let (_, table, _) = drawn(&cases()[0]);
    assert!(
        table
            .rows
            .iter()
            .any(|row| row[0] == "95" && row[4].contains("offset moved by -0.0120 mm"))
    );
}

/// Nothing leaves the frame, and no two words lie on each other.
fn inside(scene: &Scene, name: &str) {
    let mut words: Vec<([f64; 4], &str)> = Vec::new();
    for shape in &scene.shapes {
        let (x, y): (Vec<f64>, Vec<f64>) = match shape {
            Shape::Box { at, .. } => (vec![at[0], at[0] + at[2]], vec![at[1], at[1] + at[3]]),
            Shape::Line { at, .. } => (vec![at[0], at[2]], vec![at[1], at[3]]),
            Shape::Way { points, .. } => points.iter().map(|at| (at[0], at[1])).unzip(),
            Shape::Area { loops, .. } => loops.iter().flatten().map(|at| (at[0], at[1])).unzip(),
            Shape::Text { at, anchor, words: text } => {
                let wide = 5.6 * text.chars().count() as f64;
                let left = match anchor {
                    Anchor::Start => at[0],
                    Anchor::Middle => at[0] - wide / 2.0,
                    Anchor::End => at[0] - wide,
                };
                words.push(([left, at[1] - 8.0, left + wide, at[1] + 2.0], text));
                (vec![left, left + wide], vec![at[1] - 9.0, at[1] + 3.0])
            }
        };
        assert!(x.iter().all(|x| (-0.01..=scene.width + 0.01).contains(x)), "{name}: {shape:?}");
        assert!(y.iter().all(|y| (-0.01..=scene.height + 0.01).contains(y)), "{name}: {shape:?}");
    }
    for (index, (one, text)) in words.iter().enumerate() {
        for (other, more) in &words[index + 1..] {
            let apart = one[2] <= other[0]
                || other[2] <= one[0]
                || one[3] <= other[1]
                || other[3] <= one[1];
            assert!(apart, "{name}: `{text}` lies on `{more}`");
        }
    }
}

#[test]
fn columns_hold_every_size_once() {
    for made in cases() {
        let sizes: Vec<Length> = made.readings.iter().map(|it| it.size).collect();
        let summary = SizeSummary::of(&sizes).unwrap();
        let sure = Probability::from_ratio(0.95);
        let fit = made.band.and_then(|band| {
            let seen = (summary.mean, summary.deviation);
            capability(seen, summary.count, band, sure).ok().map(|fit| (band, fit))
        });
        let shown = SizeSpread { name: made.name, sizes: &sizes, summary, fit, units: made.units };
        let scene = size_spread::scene(&shown);
        let svg = view::svg::write(&scene);
        if let Ok(folder) = std::env::var("SHOW") {
            std::fs::write(format!("{folder}/spread {}.svg", made.name.replace('/', "-")), &svg)
                .unwrap();
        }
        roxmltree::Document::parse(&svg).unwrap();
        let table = size_spread::table(&shown);
        let counts: Vec<usize> = table.rows.iter().map(|row| row[1].parse().unwrap()).collect();
        assert_eq!(counts.iter().sum::<usize>(), sizes.len());
        let drawn = |shape: &&Shape| matches!(shape.role(), Role::NextPart | Role::TooFast);
        let heights: Vec<f64> = scene
            .shapes
            .iter()
            .filter(drawn)
            .filter_map(|shape| match shape {
                Shape::Box { at, .. } => Some(at[3]),
                _ => None,
            })
            .collect();
        assert_eq!(heights.len(), counts.len());
        let scale = heights[0] / counts[0] as f64;
        for (height, count) in heights.iter().zip(&counts) {
            assert!((height / *count as f64 / scale - 1.0).abs() < 1e-9);
        }
        inside(&scene, made.name);
    }
}
