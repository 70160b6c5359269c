//! What `log sizes` says of the sizes that were recorded.

use crate::log::Shop;
use serde_json::Value;
use std::fmt::Write as _;
use std::fs;

/// Every fifth part of 150 is gauged: worn by 0.2 µm a part, scattered by whole micrometers; the edge
/// was changed after part 50, the offset moved by −8 µm after part 100, part 120 is a slip of 60 µm.
fn worn() -> String {
    let mut lines = String::new();
    let mut tell = |event: &str, detail: &str| {
        let number = lines.lines().count();
        let _ = writeln!(
            lines,
            "{{\"id\":\"w-{number}\",\"at\":\"2025-12-01T{:02}:{:02}:00Z\",\"lathe\":\"Lathe 1\",\
             \"job\":\"pin\",\"event\":\"{event}\",\"detail\":{detail}}}",
            6 + number / 60,
            number % 60
        );
    };
    tell("order-opened", r#"{"quantity":400}"#);
    tell("set-up", "{}");
    tell("bar-loaded", "{}");
    for at in 1..=30_i64 {
        // The second bar begins in the middle of all this.
        if at == 16 {
            tell("bar-ended", "{}");
            tell("bar-loaded", "{}");
        }
        tell("parts-made", r#"{"parts":5}"#);
        let edge = if at > 10 { at - 10 } else { at };
        let slip = if at == 24 { 60 } else { 0 };
        let moved = if at > 20 { -8 } else { 0 };
        let nm = 12_000_000 + 1000 * (edge + moved + slip + [0, 2, -1, 1, -2][at as usize % 5]);
        tell(
            "size-measured",
            &format!(
                r#"{{"feature":"3","reading":{nm},"low_nm":11982000,"high_nm":12018000,"part":{}}}"#,
                5 * if at > 15 { at - 15 } else { at }
            ),
        );
        if at == 10 {
            tell("edge-changed", r#"{"station":1,"why":"worn"}"#);
        }
        if at == 20 {
            tell("offset-moved", r#"{"station":1,"axis":"x","by_nm":-8000}"#);
        }
    }
    lines
}

fn between(value: &Value, low: f64, high: f64) {
    let value = value.as_f64().unwrap();
    assert!((low..=high).contains(&value), "{value} is not from {low} to {high}");
}

#[test]
fn worn_sizes_are_seen_through_edge_move_and_slip() {
    let shop = Shop::new();
    fs::write(shop.path("worn.jsonl"), worn()).unwrap();
    shop.said(&["import", &shop.path("worn.jsonl")]);
    let answer = shop.json(&["sizes", "pin", "3"]);
    assert_eq!(answer["sizes"].as_array().unwrap().len(), 25);
    let feature = &answer["features"][0];
    assert_eq!(
        (&feature["station"], &feature["edge_from"], &feature["readings"]),
        (&1.into(), &51.into(), &20.into())
    );
    assert_eq!(feature["moves"], serde_json::json!([{ "before": 101, "by_mm": -0.008 }]));
    let review = &feature["review"];
    assert_eq!(review["set_apart"].as_array().unwrap().len(), 1);
    assert_eq!(review["set_apart"][0]["part"], 120);
    // 0.2 µm a part were put in: the interval holds it, and sigma is that of the scatter alone.
    let drift = &review["drift_in_100_parts_mm"];
    assert_eq!(review["drifts"], true);
    between(&drift["low"], 0.010, 0.020);
    between(&drift["high"], 0.020, 0.030);
    between(&review["sigma_mm"], 0.001, 0.003);
    assert!(review["cpk"].is_null(), "sizes that drift have no Cpk");
    // At part 150 the size is 12 µm up: six of wear are left, less for chance.
    assert_eq!(review["offset"]["do"], "move");
    between(&review["offset"]["by_mm"], -0.017, -0.009);
    let parts = review["gauge"]["gauge_within"].as_u64().unwrap();
    assert!((1..30).contains(&parts), "{parts}");
    assert_eq!(review["gauge"]["by_part"], 150 + parts);

    let (chart, spread) = (shop.path("chart.svg"), shop.path("spread.svg"));
    let drawn = ["sizes", "pin", "3", "--picture", &chart, "--spread", &spread];
    let words = shop.said(&drawn).split_whitespace().collect::<Vec<_>>().join(" ");
    for wanted in [
        "20 readings since part 51, edge and offset of station 1",
        "it surely drifts",
        "set apart part 120 at",
        "offset move the size by -0.0",
        "fit none: sizes that drift have no Cpk",
        &format!("by part {} as the offset stands, with a risk of", 150 + parts),
        &format!("under [walk_away]: gauge_within = {parts}"),
    ] {
        assert!(words.contains(wanted), "no `{wanted}` in {words}");
    }
    for path in [&chart, &spread] {
        let svg = fs::read_to_string(path).unwrap();
        assert!(svg.contains("<svg") && svg.ends_with("</svg>\n"));
        assert!(svg.contains("feature 3 of pin, Lathe 1"));
    }
    assert!(shop.refused(&drawn).contains("--force"), "nothing is overwritten unasked");
    // A move that no part was gauged after is not told twice.
    shop.said(&["offset", "Lathe 1", "1", "x", &review["offset"]["by_mm"].to_string()]);
    let after = &shop.json(&["sizes", "pin", "3"])["features"][0]["review"];
    assert_eq!(after["offset"]["do"], "leave", "{after}");
}

/// Five piston rings in a row out of each twenty: the figures of a handbook's example come out of the whole command.
/// Sizes and figures: `handbook/sizes.toml`, where their source stands.
#[test]
fn means_and_ranges_of_piston_rings_are_those_of_the_handbook() {
    let handbook: toml::Table =
        fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/handbook/sizes.toml"))
            .unwrap()
            .parse()
            .unwrap();
    let cases = handbook["case"].as_array().unwrap();
    let case = |name: &str| {
        let name = format!("piston rings, {name}");
        cases.iter().find(|it| it["name"].as_str() == Some(&name)).unwrap()
    };
    let sizes = case("center")["given"]["sizes_mm"].as_str().unwrap();
    let mut told = vec![
        r#""event":"order-opened","detail":{"quantity":2000}"#.to_owned(),
        r#""event":"set-up","detail":{}"#.to_owned(),
        r#""event":"bar-loaded","detail":{}"#.to_owned(),
        r#""event":"parts-made","detail":{"parts":500}"#.to_owned(),
    ];
    for (at, size) in sizes.split_whitespace().enumerate() {
        let (nm, part) = (size.parse::<f64>().unwrap() * 1e6, 20 * (at / 5) + at % 5 + 1);
        told.push(format!(
            r#""event":"size-measured","detail":{{"feature":"ring","reading":{nm:.0},"part":{part}}}"#
        ));
    }
    let shop = Shop::new();
    let lines: String = told.iter().enumerate().fold(String::new(), |mut lines, (at, told)| {
        let (minute, second) = (at / 60, at % 60);
        let _ = writeln!(
            lines,
            r#"{{"id":"r-{at}","at":"2025-12-01T06:{minute:02}:{second:02}Z","lathe":"Lathe 1","job":"pin",{told}}}"#
        );
        lines
    });
    fs::write(shop.path("rings.jsonl"), lines).unwrap();
    shop.said(&["import", &shop.path("rings.jsonl")]);

    let review = &shop.json(&["sizes", "pin", "ring", "--group", "5"])["features"][0]["review"];
    let chart = &review["chart"];
    for (name, value) in [
        ("center", &review["center_mm"]),
        ("low", &review["low_mm"]),
        ("high", &review["high_mm"]),
        ("sigma", &chart["sigma_mm"]),
        ("mean range", &chart["range_center_mm"]),
        ("limit of ranges", &chart["range_high_mm"]),
    ] {
        let (case, value) = (case(name), value.as_f64().unwrap());
        let [expect, within] = ["expect", "within"].map(|key| case[key].as_float().unwrap());
        assert!((value - expect).abs() <= within, "{name}: {value}, the handbook has {expect}");
    }
    let points = chart["points"].as_array().unwrap();
    assert_eq!((chart["group"].as_u64(), points.len()), (Some(5), 25));
    assert_eq!((&points[3]["first_part"], &points[3]["part"]), (&61.into(), &65.into()));
    // Offset, gauge limit and fit are of single parts: the group changes none of them.
    let singly = &shop.json(&["sizes", "pin", "ring"])["features"][0]["review"];
    for key in ["sigma_mm", "drifts", "offset", "gauge", "set_apart", "cpk"] {
        assert_eq!(review[key], singly[key], "{key}");
    }
    assert_ne!(review["low_mm"], singly["low_mm"]);

    let picture = shop.path("rings.svg");
    let words = shop.said(&["sizes", "pin", "ring", "--group", "5", "--picture", &picture]);
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    for wanted in [
        "keeps the means of 25 groups of 5 from 73.9880 mm to 74.0143 mm, center 74.0012 mm",
        "of a group 0.0228 mm in the mean, by chance from 0.0000 mm to 0.0481 mm; none is beyond",
    ] {
        assert!(words.contains(wanted), "no `{wanted}` in {words}");
    }
    let svg = fs::read_to_string(&picture).unwrap();
    assert!(svg.contains("parts 61 to 65: mean") && svg.contains("part 62: "));

    // Too few for groups of 25 after the edge was changed; a group of none is refused.
    let few = shop.said(&["sizes", "pin", "ring", "--group", "6"]);
    assert!(few.contains("2 full groups of 6 or more are needed to chart them"), "{few}");
    assert!(shop.refused(&["sizes", "pin", "--group", "26"]).contains("26 is not in 1..=25"));
}

#[test]
fn too_few_readings_and_unclear_stations_tell_nothing() {
    let shop = Shop::new();
    let lines: Vec<String> = worn().lines().map(str::to_owned).collect();
    fs::write(shop.path("few.jsonl"), lines[..9].join("\n")).unwrap();
    shop.said(&["import", &shop.path("few.jsonl")]);
    let feature = &shop.json(&["sizes", "pin"])["features"][0];
    assert_eq!((&feature["readings"], &feature["review"]), (&3.into(), &Value::Null));
    assert!(shop.said(&["sizes", "pin"]).contains("4 readings of one edge or more are needed"));
    let refused = shop.refused(&["sizes", "pin", "3", "--picture", &shop.path("no.svg")]);
    assert!(refused.contains("nothing to draw"), "{refused}");

    fs::write(shop.path("all.jsonl"), lines.join("\n")).unwrap();
    shop.said(&["import", &shop.path("all.jsonl")]);
    shop.said(&["edge", "Lathe 1", "5"]);
    let said = shop.said(&["sizes", "pin"]);
    assert!(said.contains("stations 1, 5 were changed; say with --station"), "{said}");
    assert!(
        shop.json(&["sizes", "pin", "3", "--station", "1"])["features"][0]["review"].is_object()
    );
}

/// Parts gauged with a go and a no-go gauge, one after the other: bad are those of these numbers.
fn judged(shop: &Shop, parts: u32, bad: &[u32]) {
    let mut lines = String::new();
    let mut tell = |event: &str, detail: &str| {
        let number = lines.lines().count();
        let _ = writeln!(
            lines,
            "{{\"id\":\"j-{number}\",\"at\":\"2025-12-01T{:02}:{:02}:{:02}Z\",\"lathe\":\"Lathe 1\",\
             \"job\":\"pin\",\"event\":\"{event}\",\"detail\":{detail}}}",
            6 + number / 3600,
            number / 60 % 60,
            number % 60
        );
    };
    tell("order-opened", r#"{"quantity":4000}"#);
    tell("set-up", "{}");
    tell("bar-loaded", "{}");
    for part in 1..=parts {
        tell("parts-made", r#"{"parts":1}"#);
        let reading = if bad.contains(&part) { "bad" } else { "good" };
        tell(
            "size-measured",
            &format!(r#"{{"feature":"thread","reading":"{reading}","part":{part}}}"#),
        );
    }
    fs::write(shop.path("judged.jsonl"), lines).unwrap();
    shop.said(&["import", &shop.path("judged.jsonl")]);
}

#[test]
fn sixty_good_threads_say_how_few_may_be_bad_and_no_more() {
    let shop = Shop::new();
    judged(&shop, 60, &[]);
    let feature = &shop.json(&["sizes", "pin", "thread"])["features"][0];
    let said = &feature["good_and_bad"];
    assert_eq!(
        (&said["gauged"], &said["bad"], &said["good_in_a_row"]),
        (&60.into(), &0.into(), &60.into())
    );
    // 1 − 0.025^(1/60) of two sides, 1 − 0.05^(1/60) of one.
    between(&said["share"]["high"], 0.059_629, 0.059_630);
    between(&said["at_most"], 0.048_702, 0.048_703);
    assert_eq!(said["gauge"]["gauge_within"], 1);
    assert_eq!((&feature["review"], &said["claims"][1]["more_good"]), (&Value::Null, &239.into()));
    let words =
        shop.said(&["sizes", "pin", "thread"]).split_whitespace().collect::<Vec<_>>().join(" ");
    for wanted in [
        "0 of 60 bad, 0.00 % (from 0.00 % to 5.96 %, 95 % sure); at most 4.87 %",
        "at most 5.00 % are bad: it can be said",
        "at most 1.00 % are bad: 239 more must be good",
        "by part 61, with a risk of 5.00 %",
        "gauge_within = 1",
    ] {
        assert!(words.contains(wanted), "no `{wanted}` in {words}");
    }
    assert!(!words.contains("nothing told"), "{words}");
}

#[test]
fn bad_threads_that_come_together_are_told_and_drawn() {
    let shop = Shop::new();
    judged(&shop, 400, &[40, 130, 200, 301, 303, 305]);
    let said = &shop.json(&["sizes", "pin", "thread"])["features"][0]["good_and_bad"];
    assert_eq!((&said["bad"], &said["good_in_a_row"]), (&6.into(), &95.into()));
    assert_eq!(said["good_between_bad"], serde_json::json!([89, 69, 100, 1, 1]));
    let seen = said["seen"].as_array().unwrap();
    assert!(
        seen.iter()
            .any(|it| it["rule"] == "three-bad-close" && it["from"] == 301 && it["part"] == 305)
    );
    assert_eq!(said["gauge"]["gauge_within"], 1, "six in 400 leave up to 2.9 % possible: {said}");
    let picture = shop.path("threads.svg");
    let words = shop.said(&["sizes", "pin", "thread", "--picture", &picture]);
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("3 bad ones from part 301 to 305, by chance once in"), "{words}");
    let svg = fs::read_to_string(&picture).unwrap();
    assert!(svg.contains("feature thread of pin, Lathe 1") && svg.contains("part 303: bad"));
    // Nothing between the sizes of one gauge and the judgements of another: an edge of a station ends both.
    shop.said(&["edge", "Lathe 1", "3", "worn"]);
    let after = &shop.json(&["sizes", "pin", "thread"])["features"][0];
    assert_eq!(after["good_and_bad"], Value::Null, "{after}");
}
