//! What a part costs with each way of loading, over the parts of a year: the fewer they are, the more each
//! bears of the capital. Where two lines cross, one way becomes the cheaper one.

use crate::scene::{Anchor, Role, Scene, Shape};
use crate::sheet::WIDTH;
use cost::loading::{Loading, WayCost};

/// Height of the field of lines.
const FIELD: f64 = 230.0;
const LEFT: f64 = 62.0;
/// Room for the names at the ends of the lines.
const RIGHT: f64 = 178.0;
const TOP: f64 = 34.0;
const BOTTOM: f64 = 46.0;
/// Least distance of two names.
const NAME: f64 = 13.0;
/// Longest name that stands whole.
const LONGEST: usize = 22;
/// How many times more and fewer parts than the shop's are shown.
const AROUND: f64 = 12.0;
/// Stretches of a line.
const STEPS: u32 = 120;
/// How the lines are told apart, without color too: heavy, dashed, thin, dotted, and around again.
const LINES: [Role; 4] = [Role::Now, Role::Ceiling, Role::Feed, Role::Rapid];

/// Where quantities and costs lie on the paper: quantities by their logarithm.
struct Paper {
    least: f64,
    most: f64,
    dearest: f64,
}

impl Paper {
    fn x(&self, parts: f64) -> f64 {
        let share = libm::log(parts / self.least) / libm::log(self.most / self.least);
        LEFT + (WIDTH - LEFT - RIGHT) * share
    }

    fn y(&self, cost: f64) -> f64 {
        TOP + FIELD * (1.0 - cost / self.dearest)
    }
}

/// What a part costs at so many parts a year, capital with it, in the coin.
pub(crate) fn cost(way: &WayCost, parts: f64) -> f64 {
    way.each + way.fixed.amount() / parts
}

/// From which to which quantity.
fn shown(now: f64) -> (f64, f64) {
    ((now / AROUND).max(1.0), (now * AROUND).max(10.0))
}

/// The quantities a year at which costs are told: round ones, and the shop's.
pub(crate) fn quantities(loading: &Loading) -> Vec<f64> {
    let now = f64::from(loading.investment.parts_a_year);
    let (least, most) = shown(now);
    let mut quantities = vec![now];
    let mut decade = 1.0;
    while decade <= most {
        quantities.extend([1.0, 2.0, 5.0].map(|figure| figure * decade));
        decade *= 10.0;
    }
    quantities.retain(|parts| (least..=most).contains(parts));
    quantities.sort_by(f64::total_cmp);
    quantities.dedup();
    quantities
}

/// The picture.
pub fn scene(loading: &Loading, currency: &str) -> Scene {
    let now = f64::from(loading.investment.parts_a_year);
    let (least, most) = shown(now);
    let dearest = loading.ways.iter().map(|way| cost(way, now)).fold(0.01, f64::max);
    let paper = Paper { least, most, dearest: 1.35 * dearest };
    let mut shapes = Vec::new();
    scale(&paper, currency, &mut shapes);
    along(&paper, now, &mut shapes);
    for (index, way) in loading.ways.iter().enumerate() {
        line(&paper, way, LINES[index % LINES.len()], &mut shapes);
    }
    names(&paper, loading, &mut shapes);
    slices(&paper, loading, currency, &mut shapes);
    crossings(&paper, loading, &mut shapes);
    Scene {
        width: WIDTH,
        height: TOP + FIELD + BOTTOM,
        title: "What a part costs with each way of loading".to_owned(),
        description: description(loading, currency),
        shapes,
    }
}

fn description(loading: &Loading, currency: &str) -> String {
    let now = loading.investment.parts_a_year;
    let each = loading.ways.iter().map(|way| {
        let cheaper = way.beside.and_then(|it| Some((it.other, it.break_even?)));
        let cheaper = cheaper.map_or(String::new(), |(other, parts)| {
            format!(
                ", cheaper than {} from {:.0} parts a year",
                loading.ways[other].way.name,
                parts.ceil()
            )
        });
        format!(
            "{}: {:.4} {currency} a part at {now} parts a year{cheaper}",
            way.way.name, way.each_with_capital
        )
    });
    each.collect::<Vec<_>>().join(". ") + "."
}

fn scale(paper: &Paper, currency: &str, shapes: &mut Vec<Shape>) {
    let step = round_step(paper.dearest / 6.0);
    let decimals = if step < 0.095 { 2 } else { usize::from(step < 0.95) };
    let mut cost = 0.0;
    while cost <= paper.dearest * 1.0001 {
        let y = paper.y(cost);
        shapes.push(Shape::Line { at: [LEFT - 6.0, y, LEFT, y], role: Role::Measure });
        let words = format!("{cost:.decimals$}");
        shapes.push(Shape::Text { at: [LEFT - 9.0, y + 4.0], anchor: Anchor::End, words });
        cost += step;
    }
    let floor = paper.y(0.0);
    shapes.push(Shape::Line { at: [LEFT, floor, WIDTH - RIGHT, floor], role: Role::Measure });
    shapes.push(Shape::Line { at: [LEFT, TOP, LEFT, floor], role: Role::Measure });
    let words = format!("{currency} a part, capital with it");
    shapes.push(Shape::Text { at: [LEFT - 40.0, TOP - 14.0], anchor: Anchor::Start, words });
}

/// The next of 1, 2, 5, 10 … that is not below.
fn round_step(rough: f64) -> f64 {
    let mut unit = 1e-6;
    while unit * 10.0 <= rough {
        unit *= 10.0;
    }
    [1.0, 2.0, 5.0]
        .map(|figure| figure * unit)
        .into_iter()
        .find(|step| *step >= rough)
        .unwrap_or(10.0 * unit)
}

fn along(paper: &Paper, now: f64, shapes: &mut Vec<Shape>) {
    let floor = TOP + FIELD;
    let mut decade = 1.0;
    let mut clear = LEFT - 30.0;
    while decade <= paper.most {
        for figure in [1.0, 2.0, 5.0] {
            let parts = figure * decade;
            if parts < paper.least || parts > paper.most {
                continue;
            }
            let x = paper.x(parts);
            shapes.push(Shape::Line { at: [x, floor, x, floor + 5.0], role: Role::Measure });
            if x > clear + 46.0 {
                clear = x;
                let words = format!("{parts:.0}");
                shapes.push(Shape::Text { at: [x, floor + 18.0], anchor: Anchor::Middle, words });
            }
        }
        decade *= 10.0;
    }
    let x = paper.x(now);
    shapes.push(Shape::Line { at: [x, TOP - 4.0, x, floor], role: Role::Axis });
    let words = format!("the shop's {now:.0}");
    shapes.push(Shape::Text { at: [x, TOP - 8.0], anchor: Anchor::Middle, words });
    let words = "parts a year".to_owned();
    let at = [WIDTH - RIGHT, floor + 36.0];
    shapes.push(Shape::Text { at, anchor: Anchor::End, words });
}

/// A line, as far as it lies in the field.
fn line(paper: &Paper, way: &WayCost, role: Role, shapes: &mut Vec<Shape>) {
    // Dearer than the field is high: the line comes down into it at this quantity.
    let over = paper.dearest - way.each;
    let enters = if over > 0.0 { way.fixed.amount() / over } else { f64::INFINITY };
    let from = paper.least.max(enters);
    if from >= paper.most {
        return;
    }
    let grows = libm::log(paper.most / from) / f64::from(STEPS);
    let point = |step: u32| {
        let parts = from * libm::exp(grows * f64::from(step));
        [paper.x(parts), paper.y(cost(way, parts))]
    };
    shapes.push(Shape::Way { points: (0..=STEPS).map(point).collect(), role });
}

/// A slice about each quantity at which costs are told, which says them.
fn slices(paper: &Paper, loading: &Loading, currency: &str, shapes: &mut Vec<Shape>) {
    let quantities = quantities(loading);
    let middle = |one: f64, other: f64| paper.x(libm::sqrt(one * other));
    for (index, parts) in quantities.iter().enumerate() {
        let left = index
            .checked_sub(1)
            .map_or(paper.x(paper.least), |before| middle(quantities[before], *parts));
        let right =
            quantities.get(index + 1).map_or(paper.x(paper.most), |after| middle(*parts, *after));
        let costs =
            loading.ways.iter().map(|way| format!("{} {:.4}", way.way.name, cost(way, *parts)));
        let title = format!(
            "{parts:.0} parts a year, {currency} a part: {}",
            costs.collect::<Vec<_>>().join("; ")
        );
        let at = [left, TOP, right - left, FIELD];
        shapes.push(Shape::Box { at, role: Role::Slice, title });
    }
}

/// The names at the ends of the lines, pushed apart where they would lie on each other.
fn names(paper: &Paper, loading: &Loading, shapes: &mut Vec<Shape>) {
    let mut ends: Vec<(f64, usize)> = loading
        .ways
        .iter()
        .enumerate()
        .map(|(index, way)| (paper.y(cost(way, paper.most)).max(TOP), index))
        .collect();
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut below = f64::NEG_INFINITY;
    let right = WIDTH - RIGHT;
    for (end, index) in ends {
        let y = end.max(below + NAME);
        below = y;
        let role = LINES[index % LINES.len()];
        shapes.push(Shape::Line { at: [right, end, right + 10.0, y], role: Role::Measure });
        shapes.push(Shape::Line { at: [right + 10.0, y, right + 34.0, y], role });
        let words = short(&loading.ways[index].way.name);
        shapes.push(Shape::Text { at: [right + 40.0, y + 4.0], anchor: Anchor::Start, words });
    }
}

/// A name that has room behind its line.
fn short(name: &str) -> String {
    if name.chars().count() <= LONGEST {
        return name.to_owned();
    }
    name.chars().take(LONGEST - 1).collect::<String>().trim_end().to_owned() + "…"
}

/// A dot where a way becomes cheaper than the one that it is compared to.
fn crossings(paper: &Paper, loading: &Loading, shapes: &mut Vec<Shape>) {
    for way in &loading.ways {
        let compared = way.beside.and_then(|it| Some((it.other, it.break_even?)));
        let Some((other, parts)) = compared else { continue };
        let at = cost(&loading.ways[other], parts.max(1e-9));
        if parts < paper.least || parts > paper.most || at > paper.dearest {
            continue;
        }
        let (x, y) = (paper.x(parts), paper.y(at));
        let title = format!("{} is cheaper from {:.0} parts a year", way.way.name, parts.ceil());
        shapes.push(Shape::Box { at: [x - 3.5, y - 3.5, 7.0, 7.0], role: Role::Mark, title });
        let words = format!("{:.0}", parts.ceil());
        shapes.push(Shape::Text { at: [x + 6.0, y - 6.0], anchor: Anchor::Start, words });
    }
}
