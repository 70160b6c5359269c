//! Drawings as other libraries see them: DXF files that ezdxf wrote and read again, SVG curves as
//! svgpathtools computes them (`tests/drawings/made_by.py`, 2026-11-26).

use model::{Length, Source, Units};
use outline::drawing::{Drawing, Run, Spot, Stroke};
use outline::{Format, Front, Refused, Told};
use std::fs;

fn text(name: &str) -> String {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/drawings/");
    fs::read_to_string(format!("{folder}{name}")).unwrap()
}

fn source(name: &str) -> Source {
    Source::new(name, text(name))
}

fn numbers(words: &[&str]) -> Vec<f64> {
    words.iter().map(|word| word.parse().unwrap()).collect()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-8
}

fn at(spot: Spot, x: f64, y: f64) -> bool {
    near(spot.x, x) && near(spot.y, y)
}

/// Whether a stroke is this line or arc, walked either way.
fn is(stroke: &Stroke, figures: &[f64]) -> bool {
    let ends =
        |from: Spot, to: Spot| at(from, figures[0], figures[1]) && at(to, figures[2], figures[3]);
    let round = match (stroke.run, figures.get(4..7)) {
        (Run::Straight, None) => true,
        (Run::Arc { center, radius, .. }, Some(it)) => {
            at(center, it[0], it[1]) && near(radius, it[2])
        }
        _ => false,
    };
    round && (ends(stroke.from, stroke.to) || ends(stroke.to, stroke.from))
}

/// How many entities of a kind stand on a layer, as far as this reader counts by kind.
fn count(drawing: &Drawing, layer: &str, kind: &str) -> u32 {
    let Some(layer) = drawing.layers.iter().find(|it| it.name == layer) else { return 0 };
    let words = |what: &str| what.split(' ').next() == Some(kind);
    let passed = layer.passed_over.iter().filter(|(what, _)| words(what));
    passed.map(|(_, (count, _))| count).sum()
}

#[test]
fn drawings_are_read_as_ezdxf_reads_them() {
    let found = text("found.txt");
    let (mut files, mut strokes, mut left) = (0, 0, Vec::new());
    let mut drawing = Drawing { unit: None, layers: Vec::new(), y_down: false, notes: Vec::new() };
    let (mut read_on_layers, mut name) = (0, String::new());
    for line in found.lines().chain(["file end"]) {
        let words: Vec<&str> = line.split(' ').collect();
        match words.as_slice() {
            ["file", next] => {
                assert_eq!(left, Vec::<Stroke>::new(), "{name}: strokes that ezdxf does not see");
                let counted: u32 = drawing.layers.iter().map(|it| it.entities).sum();
                assert_eq!(counted, read_on_layers, "{name}: lines, arcs and polylines");
                if *next == "end" {
                    break;
                }
                name = (*next).to_owned();
                drawing = outline::drawing(&source(next), Format::Dxf).unwrap();
                left = drawing.layers.iter().flat_map(|it| it.strokes.clone()).collect();
                (files, read_on_layers) = (files + 1, 0);
            }
            ["count", layer, kind, number] => {
                let number: u32 = number.parse().unwrap();
                if ["LINE", "ARC", "LWPOLYLINE", "POLYLINE"].contains(kind) {
                    read_on_layers += number;
                } else {
                    assert_eq!(count(&drawing, layer, kind), number, "{name}: {layer} {kind}");
                }
            }
            ["line" | "arc", layer, figures @ ..] => {
                let figures = numbers(figures);
                let on_layer = &drawing.layers.iter().find(|it| it.name == *layer).unwrap().strokes;
                assert!(on_layer.iter().any(|it| is(it, &figures)), "{name}: {line}");
                let index = left.iter().position(|it| is(it, &figures)).unwrap();
                left.remove(index);
                strokes += 1;
            }
            _ => {}
        }
    }
    assert_eq!((files, strokes), (5, 77));
}

/// The pin of `made_by.py`, in the words of a job file.
const PIN: &str = "[part]
length = 28

[[part.feature]]
kind = \"chamfer\"
size = 0.5

[[part.feature]]
kind = \"diameter\"
diameter = 8
to = 16

[[part.feature]]
kind = \"corner\"
radius = 0.5

[[part.feature]]
kind = \"diameter\"
diameter = 11
to = 26

[[part.feature]]
kind = \"groove\"
diameter = 9
width = 1.3
to = 21.3

[[part.feature]]
kind = \"taper\"
diameter = 9.5
to = 28
";

#[test]
fn the_pin_is_one_pin_in_every_drawing() {
    let mm = Some(Units::Mm);
    for (name, layer, units, inch) in [
        ("r12-lines.dxf", Some("outline"), mm, false),
        ("r12-polyline.dxf", None, Some(Units::Inch), true),
        ("r2000-full-inch.dxf", None, None, true),
        ("r2010-blocks.dxf", None, None, false),
        ("r2010-behind.dxf", None, None, false),
    ] {
        let told = Told {
            units,
            layer: layer.map(str::to_owned),
            front: Some(Front::Left),
            drawn: (name == "r2000-full-inch.dxf").then_some(outline::Drawn::Full),
            ..Told::default()
        };
        let read = outline::read(&source(name), Format::Dxf, &told);
        let read = read.unwrap_or_else(|why| panic!("{name}: {why:?}"));
        if inch {
            // A sixteenth of the pin, in inches.
            assert_eq!(read.length, Length::parse("1.75", Units::Inch).unwrap(), "{name}");
            assert_eq!(read.features.len(), 6, "{name}");
            assert_eq!(read.features[1].diameter, Length::parse("0.5", Units::Inch).unwrap());
        } else {
            assert_eq!(outline::text::part(&read), PIN, "{name}");
        }
        if name == "r2010-blocks.dxf" {
            assert_eq!(
                read.notes,
                ["passed over on this layer: 1 INSERT (a block, which is not followed), 1 TEXT, \
                  1 things on a sheet of the drawing"]
            );
        }
    }
}

#[test]
fn what_a_drawing_leaves_open_is_asked() {
    let asked = |name: &str, told: &Told| match outline::read(&source(name), Format::Dxf, told) {
        Err(Refused::Asked(questions)) => {
            questions.into_iter().map(|it| (it.about, it.answers.len())).collect::<Vec<_>>()
        }
        other => panic!("{name}: {other:?}"),
    };
    let nothing = Told::default();
    let units = "the drawing does not say its units".to_owned();
    let layers = "the outline may stand on any of several layers".to_owned();
    let which = "the outline can be read in more than one way: say which".to_owned();
    assert_eq!(asked("r12-lines.dxf", &nothing), [(units.clone(), 2), (layers, 2)]);
    assert_eq!(asked("r12-polyline.dxf", &nothing), [(units, 2), (which.clone(), 2)]);
    assert_eq!(asked("r2000-full-inch.dxf", &nothing), [(which.clone(), 4)]);
    assert_eq!(asked("r2010-blocks.dxf", &nothing), [(which, 2)]);
}

/// How far a place stands off the nearest stroke, in the drawing's unit.
fn off(spot: Spot, strokes: &[Stroke]) -> f64 {
    let from_one = |stroke: &Stroke| match stroke.run {
        Run::Arc { center, radius, ccw } => {
            let angle = |it: Spot| (it.y - center.y).atan2(it.x - center.x);
            let sign = if ccw { 1.0 } else { -1.0 };
            let turn = |it: Spot| {
                (sign * (angle(it) - angle(stroke.from))).rem_euclid(std::f64::consts::TAU)
            };
            let ends = [stroke.from, stroke.to].map(|it| (spot.x - it.x).hypot(spot.y - it.y));
            let ends = ends[0].min(ends[1]);
            if turn(spot) <= turn(stroke.to) {
                ends.min(((spot.x - center.x).hypot(spot.y - center.y) - radius).abs())
            } else {
                ends
            }
        }
        Run::Straight => {
            let (x, y) = (stroke.to.x - stroke.from.x, stroke.to.y - stroke.from.y);
            let along =
                ((spot.x - stroke.from.x) * x + (spot.y - stroke.from.y) * y) / (x * x + y * y);
            let along = along.clamp(0.0, 1.0);
            (spot.x - stroke.from.x - along * x).hypot(spot.y - stroke.from.y - along * y)
        }
    };
    strokes.iter().map(from_one).fold(f64::MAX, f64::min)
}

#[test]
fn curves_stay_where_svgpathtools_has_them() {
    let curves = text("curves.txt");
    let (mut strokes, mut paths, mut circles, mut worst) = (Vec::new(), 0, 0, 0.0_f64);
    for line in curves.lines() {
        let (what, rest) = line.split_once(' ').unwrap();
        match what {
            "path" => {
                let svg = format!(
                    "<svg xmlns='http://www.w3.org/2000/svg' width='9mm' height='9mm' \
                     viewBox='0 0 9 9'><path d='{rest}'/></svg>"
                );
                let drawing = outline::drawing(&Source::new("path", svg), Format::Svg).unwrap();
                strokes.clone_from(&drawing.layers[0].strokes);
                paths += 1;
            }
            "circle" => {
                let it = numbers(&rest.split(' ').collect::<Vec<_>>());
                let [Stroke { run: Run::Arc { center, radius, .. }, .. }] = strokes.as_slice()
                else {
                    panic!("{line}: one arc of a circle, not {strokes:?}");
                };
                let off = (center.x - it[0]).hypot(-center.y - it[1]).max((radius - it[2]).abs());
                assert!(off < 2e-6, "{line}: {off}");
                circles += 1;
            }
            "at" => {
                let it = numbers(&rest.split(' ').collect::<Vec<_>>());
                worst = worst.max(off(Spot { x: it[0], y: -it[1] }, &strokes));
            }
            _ => {}
        }
    }
    assert_eq!((paths, circles), (72, 16));
    // The tolerance is 0.002 mm at seven places of each stroke; between them a little more may be.
    assert!(worst < 0.002_05, "{worst}");
    assert!(worst > 0.001, "curves are followed finer than they need be: {worst}");
}
