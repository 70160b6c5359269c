//! `docs/hand-calculation.md`: every figure that was worked by hand is near the one in the answer, and the
//! page tells that one as it is.

use crate::expect::root;
use assert_cmd::Command;
use serde_json::Value;
use std::fs;

/// The hand rounds: three figures in a thousand.
const HAND: f64 = 0.003;
/// The bending is worked with a plainer part than the tool has.
const HAND_BENDING: f64 = 0.01;

/// One line of the page that names a place in the answer.
struct Line {
    what: String,
    by_hand: f64,
    told: f64,
    apart: f64,
    place: String,
}

fn number(text: &str) -> f64 {
    let figure = text.split_whitespace().next().unwrap_or_default();
    figure.parse().unwrap_or_else(|_| panic!("{text} begins with a figure"))
}

fn lines(page: &str) -> Vec<Line> {
    let rows = page.lines().filter(|line| line.starts_with("| ") && line.ends_with("` |"));
    rows.map(|row| {
        let cells: Vec<&str> = row.trim_matches('|').split('|').map(str::trim).collect();
        let [what, _, by_hand, told, apart, place] = cells[..] else { panic!("six cells: {row}") };
        Line {
            what: what.to_owned(),
            by_hand: number(by_hand),
            told: number(told),
            apart: number(apart),
            place: place.trim_matches('`').to_owned(),
        }
    })
    .collect()
}

/// The value at a place; checks stand by their names, not by their numbers.
fn at<'v>(answer: &'v Value, place: &str) -> Option<&'v Value> {
    let Some(check) = place.strip_prefix("/checks/") else { return answer.pointer(place) };
    let (id, key) = check.split_once('/')?;
    answer["checks"].as_array()?.iter().find(|one| one["id"] == id)?.get(key)
}

#[test]
fn every_figure_of_the_hand_calculation_is_near_that_of_the_tool() {
    let folder = tempfile::tempdir().unwrap();
    let output = Command::cargo_bin("barwright")
        .unwrap()
        .current_dir(root(""))
        .args(["plan", "demo/detent-pin/detent-pin.job.toml", "--json", "--no-sheet", "--out"])
        .arg(folder.path())
        .output()
        .unwrap();
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    let page = fs::read_to_string(root("docs/hand-calculation.md")).unwrap();
    let lines = lines(&page);
    assert!(lines.len() >= 45, "{} lines are found", lines.len());
    for line in lines {
        let what = &line.what;
        let value = at(&answer, &line.place).and_then(Value::as_f64);
        let value = value.unwrap_or_else(|| panic!("{what}: {} is no figure", line.place));
        let off = |one: f64| ((one - value) / value).abs();
        assert!(off(line.told) < 1e-5, "{what}: the page tells {}, the tool {value}", line.told);
        let within = if what.contains("bends") { HAND_BENDING } else { HAND };
        assert!(
            off(line.by_hand) < within,
            "{what}: {} by hand, {value} by the tool",
            line.by_hand
        );
        assert!(
            (line.apart - 100.0 * off(line.by_hand)).abs() < 1e-3,
            "{what}: {value} is so far apart"
        );
    }
}
