//! Journeys of the log.

use crate::expect::{differs, root};
use assert_cmd::Command;
use serde_json::Value;
use std::fs;
use std::path::Path;

const JOB: &str = "demo/detent-pin/detent-pin.job.toml";
const PROGRAM: &str = "demo/detent-pin/expected/O2080.nc";

pub(crate) struct Shop {
    folder: tempfile::TempDir,
}

impl Shop {
    pub(crate) fn new() -> Shop {
        let shop = Shop { folder: tempfile::tempdir().unwrap() };
        shop.said(&["new"]);
        shop
    }

    pub(crate) fn path(&self, name: &str) -> String {
        self.folder.path().join(name).display().to_string()
    }

    fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::cargo_bin("barwright").expect("the program is built");
        command
            .current_dir(root(""))
            .arg("log")
            .args(arguments)
            .env("BARWRIGHT_LOG", self.path("shop.barlog"))
            .env("TZ", "UTC")
            .env_remove("BARWRIGHT_PERSON");
        command
    }

    /// Standard output of a run that ends well.
    pub(crate) fn said(&self, arguments: &[&str]) -> String {
        let output = self.command(arguments).assert().code(0).get_output().stdout.clone();
        String::from_utf8(output).unwrap()
    }

    /// Standard error of a run that ends with exit code 2.
    pub(crate) fn refused(&self, arguments: &[&str]) -> String {
        let assert = self.command(arguments).assert().code(2);
        assert_eq!(assert.get_output().stdout, b"", "no answer beside the refusal");
        String::from_utf8(assert.get_output().stderr.clone()).unwrap()
    }

    pub(crate) fn json(&self, arguments: &[&str]) -> Value {
        let text = self.said(&[arguments, &["--json"]].concat());
        serde_json::from_str(&text).unwrap_or_else(|error| panic!("{error}: {text}"))
    }
}

/// Lines break where they are full: only words are compared.
fn has(text: &str, wanted: &[&str]) {
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let plain = words(text);
    for wanted in wanted {
        assert!(plain.contains(&words(wanted)), "{wanted:?} is not in\n{text}");
    }
}

/// A day in the words that a person types.
#[test]
fn a_bar_is_followed_from_the_order_to_the_rack() {
    let shop = Shop::new();
    let lathe = "Lathe 1";
    has(&shop.said(&["now"]), &["The log knows no lathe yet"]);
    let at = |time: &'static str| ["--at", time];
    let tell = |arguments: &[&str], time: &'static str| shop.said(&[arguments, &at(time)].concat());
    has(
        &tell(&["order", "pin", "--plan", JOB, "--person", "Ines"], "2025-12-01 07:00"),
        &["order of 400 opened (pin)"],
    );
    tell(
        &["setup", lathe, "pin", "--plan", JOB, "--program", PROGRAM, "--gauge-every", "10"],
        "2025-12-01 07:40",
    );
    tell(&["spent", lathe, "set-up", "40"], "2025-12-01 07:40");
    tell(
        &[
            "put",
            "D12",
            "1000",
            "--count",
            "5",
            "--material",
            "steel-12l14",
            "--size",
            "12",
            "--heat",
            "A 7712",
        ],
        "2025-12-01 07:42",
    );
    has(
        &tell(&["bar", lathe, "--from", "D12"], "2025-12-01 07:45"),
        &["heat A 7712", "30 left in it"],
    );
    tell(&["start", lathe], "2025-12-01 07:50");
    has(
        &tell(&["made", lathe, "12"], "2025-12-01 08:00"),
        &["12 parts of this bar, 18 left in it; 12 good of 400"],
    );
    tell(&["size", lathe, "3", "8.002", "--low", "7.959", "--high", "8"], "2025-12-01 08:01");
    tell(&["scrap", lathe, "--why", "diameter too large"], "2025-12-01 08:02");
    tell(&["offset", lathe, "1", "x", "-0.012"], "2025-12-01 08:03");
    tell(&["edge", lathe, "3", "worn"], "2025-12-01 08:04");
    tell(&["emptied", lathe, "catcher"], "2025-12-01 08:05");
    has(
        &tell(&["count", lathe, "17"], "2025-12-01 08:10"),
        &["17 parts of this bar, 13 left in it; 16 good of 400, 384 to make"],
    );
    tell(&["stop", lathe], "2025-12-01 08:20");
    tell(&["stop", lathe, "alarm", "--block", "34"], "2025-12-01 08:22");

    let now = &shop.json(&["now", lathe])[0];
    assert_eq!(now["job"], "pin");
    assert_eq!(
        (&now["runs"], &now["stopped_for"], &now["block"]),
        (&false.into(), &"alarm".into(), &"34".into())
    );
    assert_eq!(now["since"], "2025-12-01T08:20:00Z", "told twice, it is one stop");
    assert_eq!(now["bar"]["heat"], "A 7712");
    assert_eq!((&now["bar"]["made"], &now["left_in_bar"]), (&17.into(), &13.into()));
    assert_eq!(now["order"]["good"], 16);
    has(
        &shop.said(&["now"]),
        &[
            "the control raised an alarm, at block 34",
            "heat A 7712, steel-12l14, 12.000 mm x 1000.000 mm",
            "17 made, 13 left",
        ],
    );
    let next = &shop.json(&["next"])[0]["next"];
    assert_eq!(next[0]["why"], "stands");
    let parts: Vec<_> = next
        .as_array()
        .unwrap()
        .iter()
        .map(|due| (due["why"].as_str().unwrap(), due["parts"].as_u64()))
        .collect();
    for due in [("bar", Some(13)), ("gauge", Some(5)), ("order", Some(384))] {
        assert!(parts.contains(&due), "{due:?} in {parts:?}");
    }

    tell(&["start", lathe], "2025-12-01 08:40");
    tell(&["made", lathe, "13"], "2025-12-01 09:00");
    tell(&["stop", lathe, "bar"], "2025-12-01 09:01");
    has(
        &tell(
            &["end", lathe, "--remnant", "68", "--rack", "R1", "--place", "shelf 3"],
            "2025-12-01 09:05",
        ),
        &["bar ended, 68.000 mm left of it", "1 remnant of 68.000 mm to the rack as R1, shelf 3"],
    );
    has(
        &shop.said(&["rack"]),
        &["D12: 4 of 1000.000 mm", "R1: 1 of 68.000 mm", "heat A 7712, shelf 3, remnant"],
    );
    tell(&["take", "R1"], "2025-12-01 09:06");
    assert_eq!(shop.json(&["rack"]).as_array().unwrap().len(), 1);

    let order = &shop.json(&["orders", "pin"])[0];
    for (key, value) in [
        ("made", Value::from(30)),
        ("scrapped", 1.into()),
        ("bars", 1.into()),
        ("edges", 1.into()),
        ("racked_mm", 68.0.into()),
        ("bar_length_mm", 1000.0.into()),
    ] {
        assert_eq!(order[key], value, "{key}");
    }
    // From 7:50 to 8:20 and from 8:40 to 9:01; it stood for 20 minutes.
    assert_eq!(order["running_s"], 51.0 * 60.0);
    assert_eq!(order["stops"][0], serde_json::json!({ "why": "alarm", "count": 1, "s": 1200.0 }));
    assert_eq!(order["planned"]["bars"], 14);
    has(
        &shop.said(&["orders", "pin"]),
        &[
            "bars              1                         planned 14",
            "running           51 min",
            "set-up time       40 min",
        ],
    );
    // In money: 51 min of running and 20 of standing at 31.00 an hour, 40 min of setting up at 31.00 + 38.00, one edge.
    let with = ["orders", "pin", "--shop", "demo/week-48/shop.toml", "--plan", JOB];
    let cost = &shop.json(&with)[0]["cost"];
    let of = |what: &str| {
        let lines = cost["lines"].as_array().unwrap();
        lines.iter().find(|line| line["for"] == what).unwrap_or_else(|| panic!("{what}: {cost}"))
    };
    assert_eq!(of("set-up")["was"], 46.0);
    assert_eq!(of("run")["was"], 36.68);
    let sum: f64 =
        cost["lines"].as_array().unwrap().iter().map(|it| it["was"].as_f64().unwrap()).sum();
    assert!((sum - cost["was"].as_f64().unwrap()).abs() < 1e-9, "{cost}");
    assert!((cost["per_good_part"].as_f64().unwrap() - sum / 29.0).abs() < 1e-9);
    has(
        &shop.said(&with),
        &["beside the plan for 400 good parts", "a good part", "nobody recorded time for it"],
    );

    tell(&["close", "pin"], "2025-12-01 09:10");
    has(&shop.said(&["orders"]), &["No order is open."]);
    has(&shop.said(&["orders", "--all"]), &["29 good of 400"]);

    let traced = &shop.json(&["trace", lathe, "2025-12-01 08:10"])[0];
    assert_eq!(
        (&traced["bar"]["heat"], &traced["bar"]["made"], &traced["job"]),
        (&"A 7712".into(), &17.into(), &"pin".into())
    );
    has(&shop.said(&["trace", lathe, "2025-12-01 07:41"]), &["no bar that anybody recorded"]);
    let bars = shop.json(&["trace", "--heat", "A 7712"]);
    assert_eq!((&bars[0]["made"], &bars[0]["until"]), (&30.into(), &"2025-12-01T09:05:00Z".into()));
    has(&shop.said(&["trace", "--heat", "Z"]), &["No bar of heat Z was loaded."]);
    has(&shop.said(&["sizes", "pin"]), &["feature 3: 8.002 mm, part 12  OUT"]);
    has(&shop.said(&["sizes", "pin", "--inch"]), &["0.3150 in"]);
    has(
        &shop.said(&["list", "--kind", "stopped"]),
        &["stopped at block 34: the control raised an alarm (pin)"],
    );
    let list = shop.json(&["list", "--lathe", lathe, "--last", "3"]);
    assert_eq!(list.as_array().unwrap().len(), 3);
}

#[test]
fn a_retry_counts_once_and_a_mistake_is_corrected() {
    let shop = Shop::new();
    shop.said(&["setup", "L1", "pin", "--per-bar", "30"]);
    has(&shop.said(&["made", "L1", "12", "--id", "tap-1"]), &["12 parts made (pin)\n"]);
    has(
        &shop.said(&["made", "L1", "12", "--id", "tap-1"]),
        &["told before: it counts once", "12 parts of this bar"],
    );
    has(
        &shop.refused(&["made", "L1", "13", "--id", "tap-1"]),
        &["this id belongs to another event"],
    );
    has(
        &shop.said(&["correct", "tap-1", "parts=11"]),
        &["tap-1 corrected: 11 parts made", "11 parts of this bar, 19 left"],
    );
    has(&shop.said(&["list"]), &["12 parts made (pin)  CORRECTED: 11 parts made"]);
    has(&shop.refused(&["correct", "tap-1", "parts=many"]), &["`parts` is no whole number"]);
    has(&shop.refused(&["correct", "tap-1", "pieces=3"]), &["`pieces` is not known", "parts"]);
    has(
        &shop.said(&["withdraw", "tap", "--note", "tapped twice"]),
        &["tap-1 taken back", "“tapped twice”"],
    );
    has(&shop.said(&["list"]), &["TAKEN BACK"]);
    assert_eq!(shop.json(&["now"])[0]["bar"], Value::Null);
    has(&shop.refused(&["withdraw", "nothing"]), &["the log has no event nothing"]);
    shop.said(&["bar", "L1", "--heat", "7", "--id", "bar-1"]);
    shop.said(&["correct", "bar-1", "heat=8", "length_nm=39.5in"]);
    assert_eq!(shop.json(&["now"])[0]["bar"]["length_mm"], 1003.3);
    assert_eq!(shop.json(&["now"])[0]["bar"]["heat"], "8");
}

#[test]
fn mistyped_names_begin_nothing_new() {
    let shop = Shop::new();
    has(
        &shop.refused(&["made", "L1"]),
        &["the log has no lathe L1", "a lathe begins with `barwright log setup`"],
    );
    shop.said(&["setup", "Lathe 1", "pin"]);
    has(&shop.refused(&["made", "Lathe1"]), &["no lathe Lathe1, but there is Lathe 1"]);
    has(&shop.refused(&["orders", "pim"]), &["the log has no job pim"]);
    has(&shop.refused(&["stop", "Lathe 1", "tired"]), &["bar", "alarm"]);
    has(&shop.refused(&["offset", "Lathe 1", "1", "x", "1.2.3"]), &["1.2.3: this is not a length"]);
    has(&shop.refused(&["made", "Lathe 1", "--at", "noon"]), &["noon is no time", "14:30"]);
    has(
        &shop.refused(&["made", "Lathe 1", "--at", "2999-01-01"]),
        &["2999-01-01 is still to come"],
    );
    has(&shop.refused(&["bar", "Lathe 1", "--from", "R9"]), &["the rack has no R9"]);
    has(&shop.refused(&["spent", "Lathe 1", "set-up", "-5"]), &["-5"]);
    has(&shop.refused(&["trace", "Lathe 1"]), &["TIME"]);
    assert_eq!(shop.json(&["list"]).as_array().unwrap().len(), 1);
}

/// The advice is that of the proof for the same block.
#[test]
fn after_a_stop_the_table_of_the_program_that_runs_is_asked() {
    let shop = Shop::new();
    let program = shop.path("O2080.nc");
    fs::copy(root(PROGRAM), &program).unwrap();
    has(&shop.refused(&["after", "L1"]), &["the log has no lathe L1"]);
    shop.said(&["setup", "L1", "pin"]);
    has(&shop.refused(&["after", "L1"]), &["the set-up of L1 names no program", "--program FILE"]);
    shop.said(&["setup", "L1", "pin", "--plan", JOB, "--program", &program]);
    shop.said(&["bar", "L1"]);
    shop.said(&["made", "L1", "7"]);
    let output = Command::cargo_bin("barwright")
        .unwrap()
        .current_dir(root(""))
        .args(["prove", PROGRAM, "--job", JOB, "--json"])
        .output()
        .unwrap();
    let proof: Value = serde_json::from_slice(&output.stdout).unwrap();
    let stops = proof["stops"].as_array().unwrap();
    let mut tried = 0;
    for stop in stops.iter().filter(|stop| stop["cycle"] == 2).step_by(17) {
        let line = stop["line"].to_string();
        shop.said(&["stop", "L1", "alarm", "--block", &line]);
        let after = shop.json(&["after", "L1"]);
        for key in ["line", "chuck_open", "gripped", "part_is_off", "count_error", "troubles"] {
            assert_eq!(after["stop"][key], stop[key], "{key} at {line}");
        }
        assert_eq!(after["program_changed"], false);
        shop.said(&["start", "L1"]);
        tried += 1;
    }
    assert!(tried >= 3, "{tried}");
    let open = stops.iter().find(|stop| stop["chuck_open"] == true && stop["cycle"] == 2).unwrap();
    let text = shop.said(&["after", "L1", "--block", &open["line"].to_string()]);
    has(
        &text,
        &[
            "ONLY THE GRIPPER holds the bar.",
            "close the chuck by hand function",
            "The person on site decides",
        ],
    );
    has(&shop.refused(&["after", "L1", "--block", "9999"]), &["no cycle stops at block 9999"]);
    fs::write(&program, fs::read_to_string(&program).unwrap() + "(CHANGED)\n").unwrap();
    has(
        &shop.said(&["after", "L1", "--block", "34"]),
        &["CAUTION: the program has changed since the set-up"],
    );
    has(&shop.said(&["after", "L1"]), &["If the lathe stops and is reset"]);
}

#[test]
fn the_file_is_copied_restored_exported_and_brought_in() {
    let shop = Shop::new();
    has(&shop.refused(&["new"]), &["something of this name is there already"]);
    shop.said(&["setup", "L1", "pin"]);
    for number in 0..5 {
        shop.said(&["made", "L1", "--id", &format!("p{number}")]);
    }
    let copy = shop.path("copy.barlog");
    has(&shop.said(&["backup", &copy]), &["copy.barlog: 6 events"]);
    has(&shop.refused(&["backup", &copy]), &["is there already"]);
    let beside = shop.json(&["backup"])["wrote"].as_str().unwrap().to_owned();
    assert!(Path::new(&beside).is_file() && beside.contains("shop.backup-"), "{beside}");
    has(&shop.said(&["check"]), &["sound: 6 events; newest backup", "shop.backup-"]);
    let lines = shop.path("shop.jsonl");
    shop.said(&["export", "--out", &lines]);
    has(&shop.refused(&["export", "--out", &lines]), &["is there already", "--force"]);
    assert_eq!(shop.said(&["export"]), fs::read_to_string(&lines).unwrap());
    let other = shop.path("other.barlog");
    shop.said(&["new", &other]);
    assert_eq!(shop.json(&["import", &lines, "--log", &other])["added"], 6);
    assert_eq!(shop.json(&["import", &lines, "--log", &other])["known"], 6);
    assert_eq!(shop.said(&["export", "--log", &other]), fs::read_to_string(&lines).unwrap());
    fs::write(&lines, "{\"id\":\"x\"}\n").unwrap();
    has(
        &shop.refused(&["import", &lines]),
        &["shop.jsonl:1: `event` is no kind of event", "parts-made"],
    );

    // A damaged log: told, left as it is, and a backup offered.
    let log = shop.path("shop.barlog");
    let mut bytes = fs::read(&log).unwrap();
    bytes[100..3000].iter_mut().for_each(|byte| *byte ^= 0x55);
    fs::write(&log, &bytes).unwrap();
    let message = shop.refused(&["now"]);
    let plain = message.split_whitespace().collect::<Vec<_>>().join(" ");
    has(
        &plain,
        &["the log is damaged", "nothing was changed", "has 6 events", "barwright log restore"],
    );
    assert_eq!(fs::read(&log).unwrap(), bytes, "nothing is overwritten");
    has(&shop.refused(&["restore", &beside]), &["a log stands there already", "--force"]);
    has(&shop.said(&["restore", &beside, "--force"]), &["6 events", "what stood there is"]);
    has(&shop.said(&["check"]), &["sound: 6 events"]);
}

/// Run as somebody who may not write; as root, that takes a program of util-linux.
#[test]
fn a_log_that_may_not_be_written_can_be_asked() {
    let shop = Shop::new();
    shop.said(&["setup", "L1", "pin"]);
    shop.said(&["made", "L1", "3"]);
    let (log, folder) = (shop.path("shop.barlog"), shop.folder.path().to_owned());
    let allow = |path: &Path, mode: u32| {
        use std::os::unix::fs::PermissionsExt as _;
        fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    };
    allow(Path::new(&log), 0o444);
    allow(&folder, 0o555);
    let probe = folder.join("probe");
    let is_root = fs::write(&probe, "").is_ok();
    let run = |arguments: &[&str]| {
        let program = assert_cmd::cargo::cargo_bin("barwright");
        let mut command = if is_root {
            let mut command = std::process::Command::new("setpriv");
            command.args(["--reuid=65534", "--regid=65534", "--clear-groups"]).arg(program);
            command
        } else {
            std::process::Command::new(program)
        };
        command
            .current_dir("/")
            .arg("log")
            .args(arguments)
            .args(["--log", &log])
            .env("TZ", "UTC")
            .output()
    };
    if is_root {
        let _ = fs::remove_file(&probe);
    }
    let Ok(asked) = run(&["now"]) else {
        assert!(is_root, "only root needs setpriv");
        return;
    };
    let refused = run(&["made", "L1"]).unwrap();
    allow(&folder, 0o755);
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    if text(&asked.stderr).contains("setpriv") {
        return;
    }
    assert!(asked.status.success(), "{}", text(&asked.stderr));
    has(&text(&asked.stdout), &["3 made"]);
    assert_eq!(refused.status.code(), Some(2));
    has(&text(&refused.stderr), &["the log cannot be written", "reading goes on"]);
    assert!(fs::metadata(&log).unwrap().permissions().readonly());
}

#[test]
fn the_invented_year_can_be_asked() {
    let shop = Shop::new();
    let lines = shop.said(&["invent", "--days", "3"]);
    assert_eq!(lines, shop.said(&["invent", "--days", "3"]));
    let first: String = lines.split_inclusive('\n').take(60).collect();
    assert_eq!(differs(&root("docs/log/first-hour.jsonl"), &first), None);
    let path = shop.path("year.jsonl");
    fs::write(&path, &lines).unwrap();
    let count = lines.lines().count();
    assert_eq!(shop.json(&["import", &path])["added"], count);
    has(&shop.said(&["now"]), &["Lathe 1:", "Lathe 2:", "Lathe 3:", "heat "]);
    has(&shop.said(&["check"]), &[&format!("sound: {count} events")]);
}
