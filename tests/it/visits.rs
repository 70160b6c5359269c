//! Journeys of the visits, and the outputs that docs/visits.md shows.

use crate::expect::{differs, root};
use crate::ran::run;
use serde_json::Value;
use std::fs;

const SHOP: &str = "demo/five-lathes/shop.toml";
const FROM: &str = "2026-12-01T06:00";

/// The answer of the demo shop, with more arguments.
fn demo(more: &[&str]) -> String {
    let (code, text, err) = run(&[&["visits", SHOP, "--from", FROM], more].concat());
    assert_eq!((code, err.as_str()), (0, ""), "{more:?}");
    text
}

#[test]
fn the_demo_shop_is_as_the_docs_show_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).display().to_string();
    let (ics, picture) = (path("visits.ics"), path("lanes.svg"));
    let text = demo(&["--ics", &ics, "--picture", &picture]);
    let (text, wrote) = text.split_once("wrote ").unwrap();
    assert!(wrote.contains("visits.ics") && wrote.contains("lanes.svg"));
    let of_joost = path("joost.ics");
    demo(&["--ics", &of_joost, "--person", "Joost"]);
    let wrong: Vec<String> = [
        ("timetable.txt", text.to_owned()),
        ("visits.ics", fs::read_to_string(&ics).unwrap()),
        ("lanes.svg", fs::read_to_string(&picture).unwrap()),
        ("one-more.txt", demo(&["--one-more", "day", "--runs", "200"])),
        ("shorter-bar.txt", demo(&["--bar", "Lathe 1=700mm"])),
        ("simulated.txt", simulated(&demo(&["--runs", "1000"]))),
    ]
    .iter()
    .filter_map(|(name, text)| differs(&root(&format!("docs/visits/{name}")), text))
    .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let joost = fs::read_to_string(&of_joost).unwrap();
    assert!(joost.contains("SUMMARY:Joost") && !joost.contains("SUMMARY:Mara"));
}

/// The table of the simulated runs only.
fn simulated(text: &str) -> String {
    let from = text.find("Simulated").unwrap();
    let table = &text[from..];
    table[..table.find("\n\n").unwrap_or(table.len())].trim_end().to_owned() + "\n"
}

/// A general-purpose library read the demo's calendar (`crates/visits/tests/calendars/read_by.py`); it saw the visits
/// of the answer.
#[test]
fn a_calendar_library_sees_the_visits_of_the_answer() {
    let answer: Value = serde_json::from_str(&demo(&["--json"])).unwrap();
    let mut expected = String::new();
    for visit in answer["visits"].as_array().unwrap() {
        let text = |key: &str| visit[key].as_str().unwrap().to_owned();
        expected += &format!("{} {}\n", text("start"), text("end"));
        expected += &format!("  {}: {}: {}\n", text("person"), text("lathe"), text("words"));
        expected += &format!("  {}\n  {}\n", text("lathe"), text("why"));
    }
    let read = fs::read_to_string(root("crates/visits/tests/calendars/read.txt")).unwrap();
    let block = read.split("== ").find(|block| block.starts_with("visits.ics")).unwrap();
    assert_eq!(block.split_once('\n').unwrap().1.trim_end(), expected.trim_end());
}

/// The lanes of the answer, added up anew: whole, in order, nobody at two lathes, everybody in their hours.
#[test]
fn the_answer_adds_up() {
    let answer: Value = serde_json::from_str(&demo(&["--json", "--days", "2"])).unwrap();
    let number = |value: &Value| value.as_i64().unwrap();
    let mut lost = 0;
    for lathe in answer["lathes"].as_array().unwrap() {
        let sum = ["runs_s", "stands_s", "attended_s", "done_s"].map(|key| number(&lathe[key]));
        assert_eq!(sum.iter().sum::<i64>(), 2 * 86_400, "{lathe}");
        lost += sum[1] + sum[2];
        let lane = lathe["lane"].as_array().unwrap();
        assert!(lane.windows(2).all(|pair| pair[0]["to"] == pair[1]["from"]));
        let does: Vec<&str> = lane.iter().map(|it| it["does"].as_str().unwrap()).collect();
        assert!(does.windows(2).all(|pair| pair[1] != "runs" || pair[0] == "attended"), "{does:?}");
    }
    assert_eq!(number(&answer["lost_s"]), lost);
    assert!(number(&answer["least_lost_s"]) <= lost);
    for (name, from, to) in [("Mara", "06:00", "14:30"), ("Joost", "08:00", "17:00")] {
        let visits: Vec<&Value> = answer["visits"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|visit| visit["person"] == name)
            .collect();
        assert!(visits.len() > 5, "{name}");
        for pair in visits.windows(2) {
            assert!(pair[0]["end"].as_str() <= pair[1]["leaves"].as_str(), "{pair:?}");
        }
        for visit in visits {
            let clock = |key: &str| visit[key].as_str().unwrap()[11..16].to_owned();
            assert!(clock("leaves").as_str() >= from && clock("end").as_str() <= to, "{visit}");
            assert!(name == "Mara" || visit["lathe"] != "Lathe 5", "Joost has not learned it");
        }
    }
}

/// Nobody comes on the holidays, and the lathes are found standing.
#[test]
fn nobody_comes_on_a_holiday() {
    let (_, text, _) =
        run(&["visits", SHOP, "--from", "2026-12-23T15:00", "--days", "2", "--json"]);
    let answer: Value = serde_json::from_str(&text).unwrap();
    let visits = answer["visits"].as_array().unwrap();
    assert!(!visits.is_empty());
    assert!(visits.iter().all(|visit| visit["end"].as_str().unwrap() < "2026-12-23T17:00:01"));
    assert_eq!(
        answer["next"][0]["lathe"],
        Value::Null,
        "Mara has gone home: {}",
        answer["next"][0]
    );
}

#[test]
fn what_if_says_what_would_be_otherwise() {
    let answer: Value =
        serde_json::from_str(&demo(&["--json", "--without", "Joost", "--runs", "20"])).unwrap();
    let (as_is, what_if) = (&answer["lost_s"], &answer["what_if"]);
    assert_eq!(what_if["what"], "without Joost");
    assert!(what_if["lost_s"].as_i64() > as_is.as_i64());
    assert_eq!(what_if["people"].as_array().unwrap().len(), 1);
    let running = |of: &Value| of["simulated"]["running"]["mean"].as_f64().unwrap();
    assert!(running(what_if) < running(&answer));
    let text = demo(&["--json", "--runs", "20", "--seed", "1"]);
    assert_eq!(text, demo(&["--json", "--runs", "20"]), "chance 1 is the usual one");
    assert_ne!(text, demo(&["--json", "--runs", "20", "--seed", "2"]));
}

/// The answer that `plan` wrote serves as well as the job.
#[test]
fn an_answer_of_a_plan_says_the_same_as_its_job() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("pin").display().to_string();
    let job = root("demo/detent-pin/detent-pin.job.toml").display().to_string();
    assert_eq!(run(&["plan", &job, "--out", &out, "--no-sheet"]).0, 0);
    let shop = |runs: &str| {
        let text = format!(
            "units = \"mm\"\n[[hours]]\nname = \"h\"\ndays = [\"tue\"]\nspans = [\"06:00-14:00\"]\n\
             [[person]]\nname = \"Ana\"\nhours = \"h\"\n[[lathe]]\nname = \"A\"\n{runs}\n"
        );
        let file = folder.path().join("shop.toml");
        fs::write(&file, text).unwrap();
        let (code, text, err) =
            run(&["visits", &file.display().to_string(), "--from", FROM, "--json"]);
        assert_eq!((code, err.as_str()), (0, ""));
        text
    };
    let from_job = shop(&format!("job = {job:?}"));
    assert_eq!(from_job, shop("answer = \"pin/answer.json\""));
    let answer: Value = serde_json::from_str(&from_job).unwrap();
    let parts: i64 =
        answer["visits"].as_array().unwrap().iter().map(|it| it["parts"].as_i64().unwrap()).sum();
    assert_eq!(parts, 400, "the order of the demo");
}

/// Each mistake, and what is said of it.
#[test]
fn each_mistake_has_its_message() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("shop.toml");
    let good = "units = \"mm\"\n[[hours]]\nname = \"h\"\ndays = [\"mon\", \"tue\"]\nspans = [\"06:00-14:00\"]\n\
                [[person]]\nname = \"Ana\"\nhours = \"h\"\n[[lathe]]\nname = \"A\"\nruns = 60\n";
    let beside = format!("{}/", folder.path().display());
    let says = |text: &str, more: &[&str]| {
        fs::write(&file, text).unwrap();
        let path = file.display().to_string();
        let from = if more.contains(&"--from") { vec![] } else { vec!["--from", FROM] };
        let (code, _, err) = run(&[&["visits", &path], from.as_slice(), more].concat());
        (code, err.replace(&beside, ""))
    };
    assert_eq!(says(good, &[]).0, 0);
    let swap = |from: &str, to: &str| {
        assert!(good.contains(from), "{from}");
        says(&good.replace(from, to), &[])
    };
    let mut told = String::new();
    for (code, message) in [
        swap("\"tue\"", "\"tues\""),
        swap("\"tue\"", "\"mon\""),
        swap("06:00-14:00", "6-14"),
        swap("06:00-14:00\"", "06:00-14:00\", \"13:00-15:00\""),
        swap("06:00-14:00\"", "06:00-14:00\", \"22:00-07:00\""),
        swap("hours = \"h\"", "hours = \"late\""),
        swap("hours = \"h\"", "hours = \"h\"\nlathes = [\"B\"]"),
        swap("hours = \"h\"", "hours = \"h\"\naway = [\"2026-02-30\"]"),
        swap("runs = 60", ""),
        swap("runs = 60", "runs = 60\njob = \"a.job.toml\""),
        swap("runs = 60", "job = \"a.job.toml\""),
        swap("runs = 60", "answer = \"shop.toml\""),
        swap("runs = 60", "runs = 60\n[[lathe]]\nname = \"A\"\nruns = 5"),
        swap("name = \"A\"", "name = \"door\""),
        swap("runs = 60", "runs = 60\n[[walk]]\nfrom = \"A\"\nto = \"C\"\ntakes = 1"),
        swap("runs = 60", "runs = 60\n[[holiday]]\ndate = 2026-12-25\nuntil = 2026-12-24"),
        swap("units = \"mm\"", "units = \"mm\"\ntime_zone = \"Mars/Olympus\""),
        swap("runs = 60", "runs = 0.2"),
        says(good, &["--from", "tomorrow"]),
        says(good, &["--one-more", "late"]),
        says(good, &["--without", "Anna"]),
        says(good, &["--bar", "A"]),
        says(good, &["--ics", "x.ics", "--person", "Bea"]),
    ] {
        assert_eq!(code, 2, "{message}");
        told += &message;
        told += "\n";
    }
    let (_, no_time, _) = run(&["visits", SHOP, "--from"]);
    assert_eq!(no_time, "");
    let wrong = differs(&root("tests/bad_files/visits.expected"), &told);
    assert!(wrong.is_none(), "{}", wrong.unwrap_or_default());
}

#[test]
fn nothing_is_overwritten_without_force() {
    let folder = tempfile::tempdir().unwrap();
    let ics = folder.path().join("a.ics").display().to_string();
    fs::write(&ics, "mine").unwrap();
    let (code, _, err) = run(&["visits", SHOP, "--from", FROM, "--ics", &ics]);
    assert_eq!(code, 2);
    assert!(err.contains("is there already"), "{err}");
    assert_eq!(fs::read_to_string(&ics).unwrap(), "mine");
    demo(&["--ics", &ics, "--force"]);
    assert!(fs::read_to_string(&ics).unwrap().starts_with("BEGIN:VCALENDAR\r\n"));
}
