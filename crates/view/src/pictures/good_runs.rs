//! Good parts in a row: the line climbs by one with each part that was good and falls to the ground with each bad
//! one. How high it must climb for a claim stands beside it. The same data stand in [`table`].

use super::axis::{step, ticks};
use crate::scene::{Anchor, Role, Scene, Shape};
use crate::sheet::{Column, Table};
use calc::sizes::faults::{FaultReview, Judged};

/// What the picture shows.
#[derive(Debug, Clone, Copy)]
pub struct GoodRuns<'a> {
    /// What was gauged.
    pub name: &'a str,
    /// The parts, in the order in which they were made.
    pub parts: &'a [Judged],
    /// What they say.
    pub review: &'a FaultReview,
}

const WIDTH: f64 = 1000.0;
const LEFT: f64 = 62.0;
const RIGHT: f64 = 24.0;
const TOP: f64 = 84.0;
const HEIGHT: f64 = 240.0;
const BOTTOM: f64 = 50.0;

/// Good ones in a row behind each part.
fn runs(parts: &[Judged]) -> Vec<u32> {
    let mut run = 0;
    let next = |it: &Judged| {
        run = if it.good { run + 1 } else { 0 };
        run
    };
    parts.iter().map(next).collect()
}

/// The picture as a drawing.
pub fn scene(shown: &GoodRuns<'_>) -> Scene {
    let runs = runs(shown.parts);
    let highest = runs.iter().copied().max().unwrap_or(0).max(10);
    let last = shown.parts.last().map_or(1, |it| it.part).max(1);
    let floor = TOP + HEIGHT;
    let x = |part: u32| LEFT + (WIDTH - LEFT - RIGHT) * f64::from(part) / f64::from(last);
    let y = |run: u32| floor - HEIGHT * f64::from(run) / (1.05 * f64::from(highest));
    let mut shapes = Vec::new();
    for seen in &shown.review.seen {
        let (left, right) = (x(seen.from) - 4.0, x(seen.at) + 4.0);
        let title = format!("parts {} to {}: not as chance has it", seen.from, seen.at);
        let at = [left, TOP, right - left, HEIGHT];
        shapes.push(Shape::Box { at, role: Role::Uncertain, title });
    }
    shapes.push(Shape::Line { at: [LEFT, TOP, LEFT, floor], role: Role::Measure });
    shapes.push(Shape::Line { at: [LEFT, floor, WIDTH - RIGHT, floor], role: Role::Measure });
    for run in ticks(0, i64::from(highest), step(i64::from(highest), 5)) {
        let at = y(run as u32);
        shapes.push(Shape::Line { at: [LEFT - 6.0, at, LEFT, at], role: Role::Measure });
        let words = run.to_string();
        shapes.push(Shape::Text { at: [LEFT - 9.0, at + 4.0], anchor: Anchor::End, words });
    }
    for part in ticks(1, i64::from(last), step(i64::from(last), 10)) {
        let at = x(part as u32);
        shapes.push(Shape::Line { at: [at, floor, at, floor + 5.0], role: Role::Measure });
        let words = part.to_string();
        shapes.push(Shape::Text { at: [at, floor + 18.0], anchor: Anchor::Middle, words });
    }
    let mut points = vec![[LEFT, floor]];
    for (it, run) in shown.parts.iter().zip(&runs) {
        if !it.good {
            points.push([x(it.part), points.last().map_or(floor, |last| last[1])]);
        }
        points.push([x(it.part), y(*run)]);
    }
    shapes.push(Shape::Way { points, role: Role::Trend });
    for it in shown.parts.iter().filter(|it| !it.good) {
        let (at, half) = (x(it.part), 6.0);
        let loops = vec![vec![
            [at, floor - half],
            [at + half, floor],
            [at, floor + half],
            [at - half, floor],
        ]];
        let title = format!("part {}: bad", it.part);
        shapes.push(Shape::Area { loops, role: Role::Odd, title });
    }
    let words = "part, counted from the set-up; up: good ones in a row; a diamond: bad".to_owned();
    shapes.push(Shape::Text { at: [WIDTH - RIGHT, floor + 38.0], anchor: Anchor::End, words });
    for (row, words) in headlines(shown).into_iter().enumerate() {
        let at = [LEFT, 16.0 + 16.0 * row as f64];
        shapes.push(Shape::Text { at, anchor: Anchor::Start, words });
    }
    Scene {
        width: WIDTH,
        height: floor + BOTTOM,
        title: format!("Good parts in a row: {}", shown.name),
        description: headlines(shown)[1..].join(". ") + ".",
        shapes,
    }
}

fn headlines(shown: &GoodRuns<'_>) -> Vec<String> {
    let review = shown.review;
    let percent = |it: model::quantity::Probability| format!("{:.2} %", 100.0 * it.ratio());
    let mut lines = vec![
        shown.name.to_owned(),
        format!(
            "{} gauged, {} bad: {}, from {} to {} (95 % sure)",
            review.gauged,
            review.bad,
            percent(review.share.nominal),
            percent(review.share.low),
            percent(review.share.high)
        ),
        format!(
            "{} good in a row; more than {} bad is ruled out",
            review.good_in_a_row,
            percent(review.at_most)
        ),
    ];
    if !review.seen.is_empty() {
        lines.push("Shaded: parts that chance seldom makes so".to_owned());
    }
    lines
}

/// The data of the picture: each bad part with the good ones before it, and those after the last.
pub fn table(shown: &GoodRuns<'_>) -> Table {
    let mut good = 0;
    let mut rows = Vec::new();
    for it in shown.parts {
        if it.good {
            good += 1;
        } else {
            rows.push(vec![good.to_string(), it.part.to_string()]);
            good = 0;
        }
    }
    rows.push(vec![good.to_string(), "none yet".to_owned()]);
    Table {
        name: "good-runs",
        title: "Good parts between bad ones",
        columns: vec![Column::figures("Good in a row", 50), Column::figures("Then bad: part", 50)],
        rows,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use calc::sizes::faults::fault_review;
    use model::quantity::Probability;

    #[test]
    fn each_bad_part_brings_the_line_to_the_ground() {
        let parts: Vec<Judged> =
            (1..=30).map(|part| Judged { part: 3 * part, good: part % 10 != 0 }).collect();
        let [sure, risk] = [0.95, 0.05].map(Probability::from_ratio);
        let review = fault_review(&parts, sure, risk).unwrap();
        let shown = GoodRuns { name: "thread", parts: &parts, review: &review };
        let scene = scene(&shown);
        let bad = scene.shapes.iter().filter(|it| it.role() == Role::Odd).count();
        assert_eq!(bad, 3);
        let ways = scene.shapes.iter().filter_map(|it| match it {
            Shape::Way { points, .. } => Some(points),
            _ => None,
        });
        let points: Vec<&[f64; 2]> = ways.flatten().collect();
        let floor = TOP + HEIGHT;
        assert_eq!(points.iter().filter(|it| (it[1] - floor).abs() < 1e-9).count(), 4);
        assert_eq!(table(&shown).rows.len(), 4);
    }
}
