//! The spindle limit: how fast the bar may turn at each of its parts, and how fast the job turns
//! it. The first part is on the left. The low end of the range is what is to be kept to.

use crate::scene::{Anchor, Role, Scene, Shape};
use calc::whirl::{Curve, Limit, Reason, Stretch};
use model::quantity::SpindleSpeed;
use model::{Length, Units};

/// What the picture shows.
#[derive(Debug, Clone, Copy)]
pub struct SpindleLimit<'a> {
    /// What the part is called.
    pub name: &'a str,
    /// How fast the bar may turn.
    pub curve: &'a Curve,
    /// Parts of the bar.
    pub parts: u32,
    /// Highest speed of the job.
    pub running: SpindleSpeed,
    /// Highest speed of lathe and chuck.
    pub highest: SpindleSpeed,
    /// Units of the words.
    pub units: Units,
}

const WIDTH: f64 = 1000.0;
/// Height of the scale of speeds.
const SCALE: f64 = 220.0;
const LEFT: f64 = 62.0;
const RIGHT: f64 = 20.0;
/// Where the first row of words stands.
const FIRST_ROW: f64 = 16.0;
const BOTTOM: f64 = 48.0;
/// Height of one row of words.
const ROW: f64 = 16.0;

/// Where parts and speeds lie on the paper.
struct Paper {
    parts: f64,
    /// Speed at the top of the scale.
    fastest: f64,
    /// Where the scale begins below the rows of words.
    top: f64,
}

impl Paper {
    /// Left edge of a part's column.
    fn x(&self, part: u32) -> f64 {
        LEFT + (WIDTH - LEFT - RIGHT) * (f64::from(part) - 1.0) / self.parts
    }

    /// Height of a speed; what is beyond the scale is at its top.
    fn y(&self, speed: SpindleSpeed) -> f64 {
        self.floor() - SCALE * (speed.rpm() / self.fastest).clamp(0.0, 1.0)
    }

    /// Where the columns stand.
    fn floor(&self) -> f64 {
        self.top + SCALE
    }
}

/// The stretch that swings most, in words.
pub fn stretch(stretch: Stretch, units: Units) -> String {
    let shown = |length: Length| rounded(length, units);
    match stretch {
        Stretch::Front { length } => format!("the {} in front of the jaws swing", shown(length)),
        Stretch::Span { from, to } => {
            format!(
                "the {} between {} and {} behind the jaw face swing",
                shown(to - from),
                shown(from),
                shown(to)
            )
        }
        Stretch::Tail { from, to } => {
            format!(
                "the tail of {} swings, which begins {} behind the jaw face",
                shown(to - from),
                shown(from)
            )
        }
    }
}

/// A length as one reads it off a rule.
fn rounded(length: Length, units: Units) -> String {
    let decimals = match units {
        Units::Mm => 1,
        Units::Inch => 2,
    };
    format!("{} {}", length.round_to(units, decimals).shortest(units), units.symbol())
}

/// The worst part in words.
fn worst(limit: &Limit, units: Units) -> String {
    let why = match limit.reason {
        Reason::Critical => stretch(limit.weakest, units),
        Reason::SideForce => "a bent bar's force on the spindle".to_owned(),
    };
    format!("part {}: at most {}; {why}", limit.part, rpm(limit.allowed.low))
}

fn rpm(speed: SpindleSpeed) -> String {
    // Rounded down: a limit is not rounded up.
    format!("{:.0} rev/min", speed.rpm().floor())
}

/// The picture as a drawing.
pub fn scene(shown: &SpindleLimit<'_>) -> Scene {
    let headlines = headlines(shown);
    let paper = Paper {
        parts: f64::from(shown.parts.max(1)),
        fastest: fastest(shown),
        top: FIRST_ROW + ROW * headlines.len() as f64 + 24.0,
    };
    let mut shapes = Vec::new();
    scale(&paper, &mut shapes);
    columns(&paper, shown, &mut shapes);
    numbers(&paper, shown, &mut shapes);
    level(&paper, shown.highest, "lathe and chuck", Role::Ceiling, Anchor::End, &mut shapes);
    level(&paper, shown.running, "job", Role::Mark, Anchor::Start, &mut shapes);
    for (row, words) in headlines.into_iter().enumerate() {
        let at = [LEFT, FIRST_ROW + ROW * row as f64];
        shapes.push(Shape::Text { at, anchor: Anchor::Start, words });
    }
    worst_part(&paper, shown, &mut shapes);
    Scene {
        width: WIDTH,
        height: paper.floor() + BOTTOM,
        title: format!("How fast the bar of {} may turn", shown.name),
        description: description(shown),
        shapes,
    }
}

/// The picture in words.
pub fn description(shown: &SpindleLimit<'_>) -> String {
    let Some(limit) = shown.curve.worst() else { return "The bar gives no part.".to_owned() };
    let over = over(shown);
    let turned = match over.as_slice() {
        [] => format!(
            "The job turns it at up to {}, which is allowed at every part.",
            rpm(shown.running)
        ),
        parts => format!(
            "The job turns it at up to {}, which is too fast at {}.",
            rpm(shown.running),
            runs(parts)
        ),
    };
    let out = if shown.curve.hangs_out.is_positive() {
        format!(
            " The new bar hangs out {} behind the spindle.",
            rounded(shown.curve.hangs_out, shown.units)
        )
    } else {
        String::new()
    };
    format!("The bar may turn slowest at {}. {turned}{out}", worst(limit, shown.units))
}

/// The parts at which the job is too fast, each with the last part before the next that is
/// reckoned.
fn over(shown: &SpindleLimit<'_>) -> Vec<(u32, u32)> {
    spans(shown)
        .filter(|(limit, _)| limit.allowed.low < shown.running)
        .map(|(limit, last)| (limit.part, last))
        .collect()
}

/// Each limit with the last part it stands for.
fn spans<'a>(shown: &SpindleLimit<'a>) -> impl Iterator<Item = (&'a Limit, u32)> {
    let limits = &shown.curve.limits;
    let next = limits.iter().skip(1).map(|limit| limit.part - 1).chain([shown.parts]);
    limits.iter().zip(next)
}

/// "part 1", "parts 1 to 5", "parts 1 to 5 and 11 to 20", "part 1 and 3 more stretches of parts".
fn runs(parts: &[(u32, u32)]) -> String {
    let mut runs: Vec<(u32, u32)> = Vec::new();
    for (first, last) in parts {
        match runs.last_mut() {
            Some(run) if run.1 + 1 == *first => run.1 = *last,
            _ => runs.push((*first, *last)),
        }
    }
    let one = |(first, last): &(u32, u32)| {
        if first == last { first.to_string() } else { format!("{first} to {last}") }
    };
    match runs.as_slice() {
        [run] if run.0 == run.1 => format!("part {}", run.0),
        [run] => format!("parts {}", one(run)),
        [run, last] => format!("parts {} and {}", one(run), one(last)),
        [run, rest @ ..] => format!("parts {} and {} more stretches", one(run), rest.len()),
        [] => "no part".to_owned(),
    }
}

/// The speed at the top of the scale: a round figure above what the lathe, the job and the worst
/// part reach.
fn fastest(shown: &SpindleLimit<'_>) -> f64 {
    let worst = shown.curve.worst().map_or(0.0, |limit| limit.allowed.low.rpm());
    let needed = shown.highest.rpm().max(shown.running.rpm()).max(worst.min(1e6)).clamp(10.0, 1e6);
    let step = step(needed);
    (needed * 1.15 / step).ceil() * step
}

/// A round step that gives about six ticks.
fn step(top: f64) -> f64 {
    let rough = top / 6.0;
    let mut unit = 1.0;
    while unit * 10.0 <= rough {
        unit *= 10.0;
    }
    [1.0, 2.0, 5.0]
        .map(|figure| figure * unit)
        .into_iter()
        .find(|step| *step >= rough)
        .unwrap_or(unit * 10.0)
}

fn scale(paper: &Paper, shapes: &mut Vec<Shape>) {
    let step = step(paper.fastest / 1.15);
    let mut speed = 0.0;
    while speed <= paper.fastest * 1.0001 {
        let y = paper.y(SpindleSpeed::from_rpm(speed));
        shapes.push(Shape::Line { at: [LEFT - 6.0, y, LEFT, y], role: Role::Measure });
        let words = format!("{speed:.0}");
        shapes.push(Shape::Text { at: [LEFT - 9.0, y + 4.0], anchor: Anchor::End, words });
        speed += step;
    }
    let words = "rev/min".to_owned();
    shapes.push(Shape::Text { at: [LEFT - 9.0, paper.top - 12.0], anchor: Anchor::End, words });
}

fn columns(paper: &Paper, shown: &SpindleLimit<'_>, shapes: &mut Vec<Shape>) {
    let floor = paper.floor();
    for (limit, last) in spans(shown) {
        let (left, right) = (paper.x(limit.part), paper.x(last + 1));
        // A hair between columns, where they are wide enough for one.
        let width = if right - left > 6.0 { right - left - 1.0 } else { right - left };
        let (low, high) = (paper.y(limit.allowed.low), paper.y(limit.allowed.high));
        let fast = limit.allowed.low < shown.running;
        let title = format!(
            "part {}: {} to {}; {}{}",
            limit.part,
            rpm(limit.allowed.low),
            rpm(limit.allowed.high),
            stretch(limit.weakest, shown.units),
            if fast { "; the job is too fast" } else { "" },
        );
        if low - high > 0.2 {
            let at = [left, high, width, low - high];
            shapes.push(Shape::Box { at, role: Role::Uncertain, title: String::new() });
        }
        let role = if fast { Role::TooFast } else { Role::Allowed };
        shapes.push(Shape::Box { at: [left, low, width, floor - low], role, title });
    }
}

fn numbers(paper: &Paper, shown: &SpindleLimit<'_>, shapes: &mut Vec<Shape>) {
    let parts = shown.parts;
    let floor = paper.floor();
    shapes.push(Shape::Line { at: [LEFT, floor, WIDTH - RIGHT, floor], role: Role::Measure });
    let every = (step(f64::from(parts.max(1)) / 2.0) as u32).max(1);
    let marked = (1..=parts).filter(|part| *part == 1 || part % every == 0);
    let mut clear = f64::NEG_INFINITY;
    for part in marked {
        let middle = f64::midpoint(paper.x(part), paper.x(part + 1));
        if middle < clear {
            continue;
        }
        clear = middle + 26.0;
        shapes.push(Shape::Line { at: [middle, floor, middle, floor + 5.0], role: Role::Measure });
        let at = [middle, floor + 18.0];
        shapes.push(Shape::Text { at, anchor: Anchor::Middle, words: part.to_string() });
    }
    let beyond = shown.curve.limits.iter().any(|limit| limit.allowed.low.rpm() > paper.fastest);
    let more = if beyond { "; a column at the top goes on beyond it" } else { "" };
    let words = format!("part of the bar, the first when the bar is new{more}");
    let at = [WIDTH - RIGHT, floor + 36.0];
    shapes.push(Shape::Text { at, anchor: Anchor::End, words });
}

/// A speed as a line across, with its words in the rows above the scale.
fn level(
    paper: &Paper,
    speed: SpindleSpeed,
    whose: &str,
    role: Role,
    anchor: Anchor,
    shapes: &mut Vec<Shape>,
) {
    let y = paper.y(speed);
    shapes.push(Shape::Line { at: [LEFT, y, WIDTH - RIGHT, y], role });
    let (x, start) = match anchor {
        Anchor::End => (WIDTH - RIGHT, WIDTH - RIGHT),
        _ => (LEFT + 4.0, LEFT),
    };
    let words = format!("{whose} {}", rpm(speed));
    shapes.push(Shape::Line { at: [start, paper.top - 24.0, start, y], role });
    let at = [if anchor == Anchor::End { x - 4.0 } else { x }, paper.top - 14.0];
    shapes.push(Shape::Text { at, anchor, words });
}

/// What the picture says, a row each.
fn headlines(shown: &SpindleLimit<'_>) -> Vec<String> {
    let mut rows = Vec::new();
    let out = shown.curve.hangs_out;
    if out.is_positive() {
        let out = rounded(out, shown.units);
        rows.push(format!("STOP: {out} of the new bar hang out behind the spindle"));
    }
    if let Some(limit) = shown.curve.worst() {
        rows.push(format!("Slowest at {}", worst(limit, shown.units)));
    }
    let over = over(shown);
    if !over.is_empty() {
        rows.push(format!("The job is too fast at {}", runs(&over)));
    }
    rows
}

/// A dot at the speed of the worst part.
fn worst_part(paper: &Paper, shown: &SpindleLimit<'_>, shapes: &mut Vec<Shape>) {
    let Some(limit) = shown.curve.worst() else { return };
    let middle = f64::midpoint(paper.x(limit.part), paper.x(limit.part + 1));
    let at = [middle - 3.0, paper.y(limit.allowed.low) - 3.0, 6.0, 6.0];
    let title = format!("slowest: {}", rpm(limit.allowed.low));
    shapes.push(Shape::Box { at, role: Role::Jaws, title });
}
