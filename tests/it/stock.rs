//! Journeys of the cut list.

use crate::expect::{differs, root};
use crate::ran::run;
use serde_json::Value;
use std::fs;
use std::path::Path;

const WEEK: &str = "demo/week-48/week-48.stock.toml";

#[test]
fn the_demo_week_is_cut_and_proven() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().display().to_string();
    let (code, text, err) = run(&["stock", WEEK, "--out", &out]);
    assert_eq!((code, err.as_str()), (0, ""));
    let shown = text.split("\nwrote ").next().unwrap().to_owned() + "\n";
    let mut wrong: Vec<_> =
        differs(&root("demo/week-48/expected/cut-list.txt"), &shown).into_iter().collect();
    for name in ["cut-list-1.svg", "cut-list-2.svg", "labels-1.svg", "cut-list.csv"] {
        let file = fs::read_to_string(folder.path().join(name)).unwrap();
        // How roles look is not this picture's own.
        let own = file.split_inclusive('\n').filter(|line| !line.starts_with("<style>"));
        let file: String = own.collect();
        wrong.extend(differs(&root(&format!("demo/week-48/expected/{name}")), &file));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(text.matches("proven: no cut list costs less").count(), 2, "{text}");
    // A second run finds the same files and is no trouble.
    let (code, json, _) = run(&["stock", WEEK, "--out", &out, "--json"]);
    assert_eq!(code, 0);
    let json: Value = serde_json::from_str(&json).unwrap();
    for list in json["cut_lists"].as_array().unwrap() {
        adds_up(list);
    }
}

/// The bars of an answer, added up anew: each bar holds its pieces, each lot has what it wants.
fn adds_up(list: &Value) {
    let number = |value: &Value| value.as_f64().unwrap();
    let mut cost = 0.0;
    let mut loads = 0.0;
    for bar in list["bars"].as_array().unwrap() {
        let blanks = bar["blanks"].as_array().unwrap();
        let sawn: f64 = blanks.iter().map(|blank| number(&blank["length_mm"]) + 2.0).sum();
        let whole = sawn + number(&bar["end_trim_mm"]) + number(&bar["rest_mm"]);
        assert!((whole - number(&bar["length_mm"])).abs() < 1e-6, "{bar}");
        assert!(number(&bar["rest_mm"]) >= 40.0, "the clamp holds 40 mm: {bar}");
        cost += number(&bar["times"]) * number(&bar["price"]);
        loads += number(&bar["times"])
            * blanks.iter().filter(|it| !it["parts"].is_null()).count() as f64;
    }
    assert!((cost - number(&list["material_cost"])).abs() < 1e-6);
    assert!((1.2 * loads - number(&list["loading_cost"])).abs() < 1e-6);
    for lot in list["lots"].as_array().unwrap() {
        let given = if lot["parts"].is_null() { &lot["blanks"] } else { &lot["parts"] };
        assert!(number(given) >= number(&lot["wanted"]), "{lot}");
    }
    assert_eq!(list["proven"], true);
}

/// Blanks of the cut list, put into the job, give the parts that the list says, and none is too long.
#[test]
fn a_blank_of_the_list_gives_its_parts_in_the_plan() {
    let (_, json, _) = run(&[
        "stock",
        WEEK,
        "--out",
        &tempfile::tempdir().unwrap().path().join("x").display().to_string(),
        "--json",
    ]);
    let json: Value = serde_json::from_str(&json).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("detent-pin.job.toml");
    for name in ["lathe.toml", "gripper.toml", "tools.toml", "control.toml"] {
        fs::copy(root("demo/detent-pin").join(name), folder.path().join(name)).unwrap();
    }
    let text = fs::read_to_string(root("demo/detent-pin/detent-pin.job.toml")).unwrap();
    let steel = &json["cut_lists"][1];
    let mut tried = 0;
    let mut lengths = Vec::new();
    for blank in
        steel["bars"].as_array().unwrap().iter().flat_map(|bar| bar["blanks"].as_array().unwrap())
    {
        let length = blank["length_mm"].as_f64().unwrap();
        if blank["parts"].is_null() || lengths.contains(&length) {
            continue;
        }
        lengths.push(length);
        let new = text
            .replace("length = 1000  ", &format!("length = {length}  "))
            .replace("length_tolerance = 1.5", "length_tolerance = 0.5");
        assert_ne!(new, text);
        fs::write(&job, new).unwrap();
        let out = folder.path().join(format!("out{tried}")).display().to_string();
        let (_, answer, _) = run(&["plan", &job.display().to_string(), "--out", &out, "--json"]);
        let answer: Value = serde_json::from_str(&answer).unwrap();
        assert_eq!(answer["bar"]["parts_per_bar"], blank["parts"], "{length}");
        let longest = answer["bar"]["longest_blank_mm"].as_f64().unwrap();
        assert!(length + 0.5 <= longest, "{length} hangs out: {longest}");
        tried += 1;
    }
    assert!(tried >= 3, "only {tried} lengths");
}

fn refused(folder: &Path, stock: &str, shop: &str) -> String {
    fs::write(folder.join("a.stock.toml"), stock).unwrap();
    fs::write(folder.join("shop.toml"), shop).unwrap();
    let file = folder.join("a.stock.toml").display().to_string();
    let (code, out, err) = run(&["stock", &file]);
    assert_eq!((code, out.as_str()), (2, ""), "{err}");
    assert!(!folder.join("a.out").exists(), "nothing is written");
    err.replace(&format!("{}/", folder.display()), "")
}

const BLANK: &str = "units = \"mm\"\nshop = \"shop.toml\"\n[[blank]]\nname = \"Stud\"\nmaterial = \"steel-12l14\"\nsize = 12\nlength = 165\ncount = 10\n";

#[test]
fn what_cannot_be_cut_is_told_at_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let stock = |rest: &str| {
        format!(
            "units = \"mm\"\n[[rack.stock]]\nmaterial = \"steel-12l14\"\nsize = 12\nlength = 500\n{rest}\n"
        )
    };
    let says = |stock: &str, shop: &str, words: &[&str]| {
        let said = refused(folder.path(), stock, shop);
        for words in words {
            assert!(said.contains(words), "{words}\n{said}");
        }
    };
    says(
        BLANK,
        "units = \"mm\"\n",
        &["the shop file has no bar of steel-12l14, round 12.000 mm", "a.stock.toml:5:12"],
    );
    says(
        &BLANK.replace("length = 165", "length = 600"),
        &stock("price = 2"),
        &[
            "Stud: no bar of steel-12l14, round 12.000 mm is long enough, the shortest blank is 600.000 mm",
        ],
    );
    says(
        BLANK,
        &stock("price = 2\navailable = 3"),
        &["the bars of steel-12l14, round 12.000 mm that are there cannot give all that is wanted"],
    );
    says(
        BLANK,
        &stock(""),
        &["this stock has no price", "write either `price`, for one bar, or `price_kg`"],
    );
    says(BLANK, &stock("price = 0"), &["stock that costs nothing would be used without end"]);
    says(BLANK, &stock("price = 1.005"), &["this is finer than a hundredth of the coin"]);
    says(
        "units = \"mm\"\nshop = \"shop.toml\"\n",
        &stock("price = 1"),
        &["nothing is to be cut", "add an `[[order]]` with its `job`, or a `[[blank]]`"],
    );
    says(
        &BLANK.replace("shop.toml", "shoop.toml"),
        &stock("price = 1"),
        &["there is no file", "but there is"],
    );
    says(
        &BLANK.replace("steel-12l14", "unobtainium"),
        &stock("price_kg = 1").replace("steel-12l14", "unobtainium"),
        &["nothing says what `unobtainium` weighs, which has a price by the kilogram"],
    );
}

#[test]
fn a_search_without_time_tells_its_gap() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out").display().to_string();
    let (code, text, _) = run(&["stock", WEEK, "--out", &out, "--seconds", "0"]);
    assert_eq!(code, 0);
    assert_eq!(text.matches("unproven whether one costs less").count(), 2, "{text}");
    assert!(text.contains("within its 0 s"), "{text}");
    let (code, _, err) = run(&["stock", WEEK, "--seconds", "-1"]);
    assert_eq!(code, 2);
    assert!(err.contains("--seconds") || err.contains("-1"), "{err}");
}
