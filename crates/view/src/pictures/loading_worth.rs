//! How the present worth of a way of loading moves when one figure is a quarter lower or higher: a row for
//! each figure, that which moves it most on top, around the worth as things are thought.

use crate::scene::{Anchor, Role, Scene, Shape};
use crate::sheet::WIDTH;
use cost::loading::Loading;
use cost::sensitivity::STEP;
use model::Money;

const LEFT: f64 = 118.0;
const RIGHT: f64 = 30.0;
const TOP: f64 = 44.0;
/// From one row to the next, and how high a bar is.
const ROW: f64 = 26.0;
const BAR: f64 = 14.0;
const BOTTOM: f64 = 44.0;

/// Where amounts lie on the paper.
struct Paper {
    low: f64,
    high: f64,
    floor: f64,
}

impl Paper {
    fn x(&self, amount: f64) -> f64 {
        LEFT + (WIDTH - LEFT - RIGHT) * (amount - self.low) / (self.high - self.low)
    }
}

/// The picture; none where there is no other way.
pub fn scene(loading: &Loading, currency: &str) -> Option<Scene> {
    let sensitivity = loading.sensitivity.as_ref()?;
    let name = &loading.ways[sensitivity.way].way.name;
    let ends = sensitivity.swings.iter().flat_map(|it| [it.lower, it.higher]);
    let ends: Vec<f64> = ends.chain([sensitivity.worth, Money::ZERO]).map(Money::amount).collect();
    let low = ends.iter().copied().fold(f64::INFINITY, f64::min);
    let high = ends.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let room = 0.08 * (high - low).max(1.0);
    let paper = Paper {
        low: low - room,
        high: high + room,
        floor: TOP + ROW * sensitivity.swings.len() as f64,
    };
    let mut shapes = Vec::new();
    amounts(&paper, &mut shapes);
    for (index, swing) in sensitivity.swings.iter().enumerate() {
        let y = TOP + ROW * index as f64 + (ROW - BAR) / 2.0;
        bar(&paper, swing.lower, sensitivity.worth, y, Role::Uncertain, "lower", &mut shapes);
        bar(&paper, swing.higher, sensitivity.worth, y, Role::Allowed, "higher", &mut shapes);
        let words = swing.figure.to_owned();
        let at = [LEFT - 10.0, y + BAR - 3.0];
        shapes.push(Shape::Text { at, anchor: Anchor::End, words });
    }
    let worth = paper.x(sensitivity.worth.amount());
    shapes.push(Shape::Line { at: [worth, TOP - 6.0, worth, paper.floor], role: Role::Now });
    let words = format!("as thought: {}", sensitivity.worth);
    shapes.push(Shape::Text { at: [worth, TOP - 12.0], anchor: Anchor::Middle, words });
    let floor = paper.floor;
    shapes.push(Shape::Line { at: [LEFT, floor, WIDTH - RIGHT, floor], role: Role::Measure });
    let zero = paper.x(0.0);
    shapes.push(Shape::Line { at: [zero, TOP - 2.0, zero, paper.floor], role: Role::Ceiling });
    legend(&mut shapes);
    let other = &loading.ways[sensitivity.other].way.name;
    let words =
        format!("present worth of {name} instead of {other}, {currency}; dashed: worth nothing");
    let at = [WIDTH - RIGHT, paper.floor + 36.0];
    shapes.push(Shape::Text { at, anchor: Anchor::End, words });
    Some(Scene {
        width: WIDTH,
        height: paper.floor + BOTTOM,
        title: format!("What moves the worth of {name}"),
        description: description(loading, currency),
        shapes,
    })
}

fn description(loading: &Loading, currency: &str) -> String {
    let Some(sensitivity) = &loading.sensitivity else { return String::new() };
    let rows = sensitivity.swings.iter().map(|it| {
        let percent = 100.0 * STEP;
        format!("{}: {} when {percent:.0} % lower, {} when higher", it.figure, it.lower, it.higher)
    });
    format!(
        "{} instead of {} is worth {} {currency}. {}.",
        loading.ways[sensitivity.way].way.name,
        loading.ways[sensitivity.other].way.name,
        sensitivity.worth,
        rows.collect::<Vec<_>>().join(". ")
    )
}

/// From the worth as thought to an end.
fn bar(
    paper: &Paper,
    end: Money,
    worth: Money,
    y: f64,
    role: Role,
    which: &str,
    shapes: &mut Vec<Shape>,
) {
    let (one, other) = (paper.x(end.amount()), paper.x(worth.amount()));
    let (left, width) = (one.min(other), (one - other).abs());
    if width > 0.2 {
        let title = format!("{which}: {end}");
        shapes.push(Shape::Box { at: [left, y, width, BAR], role, title });
    }
}

fn amounts(paper: &Paper, shapes: &mut Vec<Shape>) {
    let rough = (paper.high - paper.low) / 6.0;
    let mut unit = 1.0;
    while unit * 10.0 <= rough {
        unit *= 10.0;
    }
    let step = [1.0, 2.0, 5.0].map(|figure| figure * unit).into_iter().find(|step| *step >= rough);
    let step = step.unwrap_or(10.0 * unit);
    let mut amount = (paper.low / step).ceil() * step;
    while amount <= paper.high {
        let x = paper.x(amount);
        shapes
            .push(Shape::Line { at: [x, paper.floor, x, paper.floor + 5.0], role: Role::Measure });
        let words = format!("{amount:.0}");
        let words = if words == "-0" { "0".to_owned() } else { words };
        let at = [x, paper.floor + 18.0];
        shapes.push(Shape::Text { at, anchor: Anchor::Middle, words });
        amount += step;
    }
}

fn legend(shapes: &mut Vec<Shape>) {
    let percent = 100.0 * STEP;
    for (x, role, which) in
        [(LEFT, Role::Uncertain, "lower"), (LEFT + 120.0, Role::Allowed, "higher")]
    {
        let title = String::new();
        shapes.push(Shape::Box { at: [x, 6.0, 18.0, 10.0], role, title });
        let words = format!("{percent:.0} % {which}");
        shapes.push(Shape::Text { at: [x + 24.0, 15.0], anchor: Anchor::Start, words });
    }
}
