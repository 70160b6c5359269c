//! The set-up sheet through the built program: what stands on the paper is what the plan says.

use crate::expect::root;
use assert_cmd::Command;
use lopdf::Document;
use serde_json::Value;
use std::fs;
use std::path::Path;

const DETENT_PIN: &str = "demo/detent-pin/detent-pin.job.toml";
const LAMP_SPACER: &str = "demo/lamp-spacer/lamp-spacer.job.toml";

fn plan(job: &str, out: &Path, more: &[&str]) -> Value {
    let output = Command::cargo_bin("barwright")
        .unwrap()
        .current_dir(root(""))
        .args(["plan", job, "--json", "--out", out.to_str().unwrap()])
        .args(more)
        .output()
        .unwrap();
    assert!(output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// The text of every page, with one blank between words.
fn pages(pdf: &Document) -> Vec<String> {
    let page = |number: &u32| {
        let text = pdf.extract_text(&[*number]).unwrap();
        text.replace('\u{200b}', "").split_whitespace().collect::<Vec<_>>().join(" ")
    };
    pdf.get_pages().keys().map(page).collect()
}

/// A text without its gaps.
fn closed(text: &str) -> String {
    text.split_whitespace().collect()
}

/// Width and height of the first page in points.
fn size(pdf: &Document) -> (f32, f32) {
    let page = *pdf.get_pages().values().next().unwrap();
    let page = pdf.get_dictionary(page).unwrap();
    let of_page = |dictionary: &lopdf::Dictionary| dictionary.get(b"MediaBox").ok().cloned();
    let parent = || {
        let parent = page.get(b"Parent").unwrap().as_reference().unwrap();
        of_page(pdf.get_dictionary(parent).unwrap())
    };
    let media = of_page(page).or_else(parent).unwrap();
    let media: Vec<f32> =
        media.as_array().unwrap().iter().map(|it| it.as_float().unwrap()).collect();
    (media[2] - media[0], media[3] - media[1])
}

fn shown(value: &Value, unit: f64, decimals: usize) -> String {
    format!("{:.decimals$}", value.as_f64().unwrap() / unit)
}

#[test]
fn the_sheet_says_what_the_plan_says() {
    for (job, unit, decimals) in [(DETENT_PIN, 1.0, 3), (LAMP_SPACER, 25.4, 4)] {
        let folder = tempfile::tempdir().unwrap();
        let answer = plan(job, folder.path(), &[]);
        let path = answer["sheet"]["path"].as_str().unwrap();
        let pdf = Document::load(path).unwrap();
        let pages = pages(&pdf);
        let text = pages.join("\n");
        let bar = &answer["bar"];
        for key in [
            "length_mm",
            "finished_mm",
            "part_off_mm",
            "face_stock_mm",
            "first_face_mm",
            "jaw_clearance_mm",
            "least_grip_mm",
            "pitch_mm",
            "advance_mm",
            "stick_out_mm",
            "remnant_mm",
            "longest_blank_mm",
            "shortest_last_mm",
            "stock_length_mm",
        ] {
            let figure = shown(&bar[key], unit, decimals);
            assert!(text.contains(&figure), "{job}: {key} {figure} is not on it:\n{text}");
        }
        for (what, number) in [
            ("parts", bar["parts_per_bar"].as_u64().unwrap()),
            ("blanks", bar["blanks"].as_u64().unwrap()),
            ("stock bars", bar["bars"].as_u64().unwrap()),
        ] {
            assert!(text.contains(&format!("{number} {what}")), "{job}: {number} {what}");
        }
        let cycle = format!("One cycle takes {:.1} s", answer["time"]["cycle_s"].as_f64().unwrap());
        assert!(text.contains(&cycle), "{cycle}");
        for limit in answer["walk_away"]["limits"].as_array().unwrap() {
            let name = limit["limit"].as_str().unwrap();
            assert!(text.contains(name), "{job}: {name}");
        }
        for unproven in answer["unproven"].as_array().unwrap() {
            // A key stands on paper in letters of its own, without its backticks; a reader of the paper sees gaps there.
            let why = closed(&unproven["why"].as_str().unwrap().replace('`', ""));
            assert!(closed(&text).contains(&why), "{job}: {why}");
        }
        // Who prints a page alone still knows what it is, and that something may be missing.
        for (index, page) in pages.iter().enumerate() {
            let of = format!("page {} of {}", index + 1, pages.len());
            assert!(page.contains(&of) && page.contains(answer["job"].as_str().unwrap()), "{page}");
            assert!(page.contains("Guards and interlocks stay."), "{page}");
        }
        // Every block of the advance stands there as the program has it.
        let program = fs::read_to_string(answer["program"]["path"].as_str().unwrap()).unwrap();
        let advance = program.lines().skip_while(|line| !line.starts_with("(ADVANCE THE BAR"));
        let blocks = advance.skip(1).take_while(|line| !line.contains("GOTO"));
        for block in blocks.filter_map(|line| line.split('(').next()) {
            assert!(text.contains(block.trim()), "{job}: {block}");
        }
    }
}

#[test]
fn paper_follows_the_units_or_the_wish() {
    let (a4, letter) = ((595.276, 841.89), (612.0, 792.0));
    for (job, wish, expected) in [
        (DETENT_PIN, None, a4),
        (LAMP_SPACER, None, letter),
        (DETENT_PIN, Some("letter"), letter),
        (LAMP_SPACER, Some("a4"), a4),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let more: Vec<&str> = wish.map_or(Vec::new(), |wish| vec!["--paper", wish]);
        plan(job, folder.path(), &more);
        let (wide, high) = size(&Document::load(folder.path().join("sheet.pdf")).unwrap());
        assert!(
            (wide - expected.0).abs() < 0.01 && (high - expected.1).abs() < 0.01,
            "{wide} {high}"
        );
    }
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    let sheets: Vec<Vec<u8>> = (0..2)
        .map(|_| {
            let folder = tempfile::tempdir().unwrap();
            plan(DETENT_PIN, folder.path(), &[]);
            fs::read(folder.path().join("sheet.pdf")).unwrap()
        })
        .collect();
    assert!(sheets[0] == sheets[1] && sheets[0].starts_with(b"%PDF-"));
}

#[test]
fn without_a_sheet_there_is_none_of_it() {
    let folder = tempfile::tempdir().unwrap();
    let answer = plan(DETENT_PIN, folder.path(), &["--no-sheet"]);
    assert_eq!(answer["sheet"]["path"], Value::Null);
    for name in ["sheet.pdf", "part.svg", "gripper.svg", "tables"] {
        assert!(!folder.path().join(name).exists(), "{name}");
    }
    assert!(folder.path().join("bar.svg").exists());
}

/// Tables open in a spreadsheet: each has a head, and every row has as many fields.
#[test]
fn tables_stand_beside_it() {
    let folder = tempfile::tempdir().unwrap();
    plan(DETENT_PIN, folder.path(), &[]);
    let tables = fs::read_dir(folder.path().join("tables")).unwrap().flatten();
    let mut names: Vec<String> =
        tables.map(|entry| entry.file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    for wanted in [
        "advance",
        "bar",
        "checks",
        "counts",
        "edges",
        "first-piece",
        "gauging",
        "gripper",
        "job",
        "limits",
        "load",
        "material",
        "re-entry",
        "stations",
        "turret",
    ] {
        assert!(names.contains(&format!("{wanted}.csv")), "{wanted}: {names:?}");
    }
    for name in names {
        let text = fs::read_to_string(folder.path().join("tables").join(&name)).unwrap();
        let fields: Vec<usize> = text.lines().map(fields).collect();
        assert!(fields.len() > 1 && fields.iter().all(|it| *it == fields[0]), "{name}: {text}");
    }
}

/// Fields of one line of CSV: commas outside of quotes, and one.
fn fields(line: &str) -> usize {
    let mut quoted = false;
    let commas = line.chars().filter(|letter| {
        quoted ^= *letter == '"';
        *letter == ',' && !quoted
    });
    commas.count() + 1
}
