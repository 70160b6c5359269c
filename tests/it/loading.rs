//! Journeys of ways of loading: the demo's comparison, its pictures on their paper.

use crate::expect::{differs_but_for_roles as differs, root};
use crate::quote::{JOB, SHOP, before_files, demo};
use crate::ran::run;
use serde_json::Value;
use std::fs;
use view::scene::{Scene, Shape};

#[test]
fn the_demo_is_compared_as_the_docs_show() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().display().to_string();
    let (code, text, err) = run(&["loading", JOB, "--shop", SHOP, "--out", &out]);
    assert_eq!((code, err.as_str()), (0, ""));
    let mut wrong = Vec::new();
    wrong.extend(differs(&root("docs/loading/loading.txt"), &before_files(&text)));
    for name in [
        "loading-cost.svg",
        "loading-worth.svg",
        "ways.csv",
        "way-accounts.csv",
        "worth.csv",
        "moves.csv",
    ] {
        let file = fs::read_to_string(folder.path().join(name)).unwrap();
        wrong.extend(differs(&root(&format!("docs/loading/{name}")), &file));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_answer_says_the_same_as_the_tables() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().display().to_string();
    let (code, text, _) =
        run(&["loading", JOB, "--shop", SHOP, "--out", &out, "--json", "--yearly", "12000"]);
    assert_eq!(code, 0);
    let answer: Value = serde_json::from_str(&text).unwrap();
    let number = |value: &Value| value.as_f64().unwrap();
    assert_eq!(answer["parts_a_year"], 12_000);
    let ways = answer["ways"].as_array().unwrap();
    assert_eq!(ways.len(), 4);
    let cheapest =
        ways.iter().min_by(|a, b| number(&a["cost_a_year"]).total_cmp(&number(&b["cost_a_year"])));
    assert_eq!(cheapest.unwrap()["name"], answer["cheapest"]);
    for way in ways {
        let order: f64 = way["order"].as_object().unwrap().values().map(number).sum();
        let each = order / number(&answer["parts_of_an_order"]);
        assert!((each - number(&way["cost_each"])).abs() < 0.000_051, "{way}");
        let year = each * 12_000.0 + number(&way["fixed_a_year"]);
        assert!((year - number(&way["cost_a_year"])).abs() < 0.011, "{way}");
        let Some(beside) = way["beside"].as_object() else { continue };
        let saved = number(&beside["saved_a_year"]);
        let years = number(&beside["capital"]) / saved;
        assert!(saved <= 0.0 || (years - number(&beside["payback_years"])).abs() < 1e-4, "{way}");
    }
    // At so few parts the magazine does not pay, and the sign says so.
    let magazine = ways.iter().find(|way| way["kind"] == "magazine").unwrap();
    assert!(number(&magazine["beside"]["present_worth"]) < 0.0);
    assert!(number(&magazine["beside"]["break_even_parts_a_year"]) > 12_000.0);
    assert_eq!(answer["cheapest"], "Gripper");
}

/// Every shape and the start of every text lies on the paper; texts on one side are not on each other.
fn lies_well(scene: &Scene) {
    let inside = |x: f64, y: f64| {
        let on =
            (-0.01..=scene.width + 0.01).contains(&x) && (-0.01..=scene.height + 0.01).contains(&y);
        assert!(on, "{x} {y} in {}", scene.title);
    };
    let mut ends: Vec<f64> = Vec::new();
    for shape in &scene.shapes {
        match shape {
            Shape::Box { at: [x, y, width, height], .. } => {
                inside(*x, *y);
                inside(x + width, y + height);
            }
            Shape::Line { at: [a, b, c, d], .. } => {
                inside(*a, *b);
                inside(*c, *d);
            }
            Shape::Way { points, .. } => points.iter().for_each(|[x, y]| inside(*x, *y)),
            Shape::Area { loops, .. } => loops.iter().flatten().for_each(|[x, y]| inside(*x, *y)),
            Shape::Text { at: [x, y], .. } => {
                inside(*x, *y);
                if *x > 520.0 && scene.title.starts_with("What a part costs") {
                    ends.push(*y);
                }
            }
        }
    }
    ends.sort_by(f64::total_cmp);
    // Names of ways, and below them the words of the axis.
    assert!(
        ends.windows(2).all(|pair| pair[1] - pair[0] >= 12.9 || pair[1] - pair[0] < 0.01),
        "{ends:?}"
    );
}

#[test]
fn pictures_stay_on_their_paper_at_any_quantity() {
    let (job, answer, mut shop) = demo();
    shop.ways[2].name = "A gripper with a name that nobody could ever read at a glance".to_owned();
    for yearly in [1, 7, 300, 4_000, 26_440, 500_000, 100_000_000] {
        let loading = cost::loading(&job, &answer, &shop, Some(yearly)).unwrap();
        let cost = view::pictures::loading_cost::scene(&loading, "EUR");
        let worth = view::pictures::loading_worth::scene(&loading, "EUR").unwrap();
        lies_well(&cost);
        lies_well(&worth);
        for way in &loading.ways {
            assert!(cost.description.contains(&way.way.name), "{}", cost.description);
        }
        for swing in &loading.sensitivity.as_ref().unwrap().swings {
            assert!(worth.description.contains(&swing.lower.to_string()), "{}", worth.description);
        }
    }
}
