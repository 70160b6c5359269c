//! 2,400 random sweeps against GEOS: `geos/sweeps.txt`, made by `geos/made_by.py`; the first line
//! names the versions. GEOS has the true arcs to 0.01 µm, so its areas lie between ours with chords
//! inside and ours with chords outside.

use shape::{Chord, Edge, Move, Outline, Point, Region, Side, Sweep, Turn};

const UM: i64 = 1_000;

/// One tool as chords inside and outside, and a bar cut by each.
struct Run {
    chord: Chord,
    tool: Option<Outline>,
    bar: Region,
    /// What rounding explains so far, in mm²: 1 nm along every edge and move; with chords inside
    /// also their tolerance along the hollow side of every arc move, see [`Sweep`].
    slack: f64,
}

fn numbers(words: &[&str]) -> Vec<i64> {
    words.iter().map(|w| w.parse::<i64>().unwrap() * UM).collect()
}

fn tool(words: &[&str], chord: Chord) -> Outline {
    let start = numbers(&words[..2]);
    let mut rest = &words[2..];
    let mut edges = Vec::new();
    while let [kind, more @ ..] = rest {
        let n = if *kind == "a" { 4 } else { 2 };
        let v = numbers(&more[..n]);
        let to = Point::new(v[0], v[1]);
        edges.push(if n == 2 {
            Edge::Line(to)
        } else {
            Edge::Arc { to, center: Point::new(v[2], v[3]), turn: Turn::Counterclockwise }
        });
        rest = &more[n..];
    }
    Outline::new(Point::new(start[0], start[1]), &edges, chord).unwrap()
}

fn way(words: &[&str]) -> Move {
    let v = numbers(&words[1..]);
    let (from, to) = (Point::new(v[0], v[1]), Point::new(v[2], v[3]));
    let arc = |turn| Move::Arc { from, to, center: Point::new(v[4], v[5]), turn };
    match words[0] {
        "l" => Move::Line { from, to },
        "c" => arc(Turn::Counterclockwise),
        _ => arc(Turn::Clockwise),
    }
}

fn perimeter_mm(region: &Region) -> f64 {
    region
        .loops()
        .flat_map(|p| (0..p.len()).map(move |i| (p[i], p[(i + 1) % p.len()])))
        .map(|(a, b)| f64::hypot((b.z - a.z) as f64, (b.r - a.r) as f64) * 1e-6)
        .sum()
}

impl Run {
    /// The areas of the sweep and of what is left of the bar, and whether the axis was passed.
    fn step(&mut self, way: &Move) -> (f64, f64, bool) {
        let sweep = Sweep::of(self.tool.as_ref().unwrap(), way, self.chord).unwrap();
        let region = Region::from(&sweep);
        self.bar = self.bar.cut(&sweep);
        let edges = perimeter_mm(&region) + perimeter_mm(&self.bar);
        let chords = match (way, self.chord.side) {
            (Move::Arc { .. }, Side::Inside) => 200e-6 * perimeter_mm(&region),
            _ => 0.,
        };
        self.slack += 1e-6 * edges + chords;
        (region.area_mm2(), self.bar.area_mm2(), sweep.bounds().min.r < 0)
    }
}

#[test]
fn sweeps_and_cuts_as_geos_finds_them() {
    let mut runs = [Side::Inside, Side::Outside].map(|side| Run {
        chord: Chord { tolerance: 200, side },
        tool: None,
        bar: Region::empty(),
        slack: 0.,
    });
    let (mut compared, mut worst) = (0, 0_f64);
    for line in include_str!("../geos/sweeps.txt").lines().filter(|l| !l.starts_with('#')) {
        let (given, found) = line.split_once(": ").unwrap_or((line, ""));
        let words: Vec<&str> = given.split(' ').collect();
        match words[0] {
            "bar" => {
                let v = numbers(&words[1..]);
                let bar = Region::rectangle(Point::new(-v[0], v[1]), Point::new(0, v[2])).unwrap();
                for run in &mut runs {
                    (run.bar, run.slack) = (bar.clone(), 0.);
                }
            }
            "tool" => {
                for run in &mut runs {
                    run.tool = Some(tool(&words[1..], run.chord));
                }
            }
            _ => {
                let way = way(&words);
                let [inside, outside] = [0, 1].map(|i| runs[i].step(&way));
                let (swept, left) = found.split_once(' ').unwrap();
                let (swept, left): (f64, f64) = (swept.parse().unwrap(), left.parse().unwrap());
                let (fine, coarse) = (runs[1].slack, runs[0].slack);
                let ours = || format!("{line}: {inside:?} ± {coarse} {outside:?} ± {fine}");
                if !inside.2 && !outside.2 {
                    assert!(inside.0 <= swept + coarse && swept <= outside.0 + fine, "{}", ours());
                }
                assert!(outside.1 <= left + fine && left <= inside.1 + coarse, "{}", ours());
                worst = worst.max(inside.1 - outside.1);
                compared += 1;
            }
        }
    }
    assert!(compared >= 2_000, "{compared}");
    // Chords inside and outside leave at most 0.4 µm along a few profiles of 100 mm between them.
    assert!(worst < 4e-4 * 200., "{worst} mm²");
}
