//! From a plan over the log of an invented series to what it teaches, and to a plan that counts with it.

use crate::expect::{files_under, root};
use crate::log::Shop;
use assert_cmd::Command;
use serde_json::{Value, json};
use std::fmt::Write as _;
use std::fs;

const JOB: &str = "detent-pin.job.toml";
const LATHE: &str = "Lathe 1";
/// How much longer real cycles take than planned ones.
const SLOWER: f64 = 1.08;
/// Parts that the edges of station 1 made, and why they were changed: the first began untold.
const EDGES: [(u32, &str); 6] =
    [(20, "planned"), (60, "worn"), (64, "worn"), (50, "planned"), (70, "worn"), (58, "broken")];

/// A copy of the demo job beside the shop's log.
fn a_job(shop: &Shop) -> String {
    for file in files_under(&root("demo/detent-pin"), ".toml") {
        fs::copy(&file, shop.path(file.file_name().unwrap().to_str().unwrap())).unwrap();
    }
    shop.path(JOB)
}

fn planned(shop: &Shop, job: &str) -> Value {
    let mut command = Command::cargo_bin("barwright").expect("the program is built");
    let out = shop.path("out");
    let assert = command.args(["plan", job, "--json", "--force", "--out", &out]).assert();
    let mut answer: Value = serde_json::from_slice(&assert.code(0).get_output().stdout).unwrap();
    answer.as_object_mut().unwrap().remove("sheet");
    answer
}

/// A series that nobody ran, as lines for the log, and what it should teach.
struct Series {
    lines: String,
    now: i64,
    count: usize,
    cycles: Vec<f64>,
    loads: Vec<f64>,
}

impl Series {
    fn tell(&mut self, event: &str, detail: &Value) {
        let (h, m, s, ms) =
            (self.now / 3_600_000, self.now / 60_000 % 60, self.now / 1000 % 60, self.now % 1000);
        let line = json!({
            "id": format!("s-{}", self.count),
            "at": format!("2025-12-{:02}T{:02}:{m:02}:{s:02}.{ms:03}Z", 1 + h / 24, h % 24),
            "lathe": LATHE, "job": "pin", "event": event, "detail": detail,
        });
        self.count += 1;
        let _ = writeln!(self.lines, "{line}");
    }

    /// Bars of 30 parts each, with a person's break in one cycle of each.
    fn run(cycle: f64, bars: u32) -> Series {
        let (lines, now) = (String::new(), 7 * 3_600_000);
        let mut it = Series { lines, now, count: 0, cycles: Vec::new(), loads: Vec::new() };
        let (mut edge, mut made_by_edge) = (0, 0);
        for bar in 0..bars {
            it.tell("bar-loaded", &json!({ "heat": "A 1" }));
            it.now += 5000;
            it.tell("started", &json!({}));
            let mut since: Option<i64> = None;
            for part in 0..30_u32 {
                let scatter = [0.0, 0.2, -0.1, 0.3, -0.4][((bar + part) % 5) as usize];
                it.now += ((SLOWER * cycle + scatter) * 1000.0) as i64;
                it.tell("parts-made", &json!({ "parts": 1 }));
                if let Some(since) = since {
                    it.cycles.push((it.now - since) as f64 / 1000.0);
                }
                since = Some(it.now);
                made_by_edge += 1;
                if EDGES.get(edge).is_some_and(|(parts, _)| *parts == made_by_edge) {
                    it.now += 30_000;
                    it.tell("edge-changed", &json!({ "station": 1, "why": EDGES[edge].1 }));
                    (edge, made_by_edge, since) = (edge + 1, 0, None);
                }
            }
            it.tell("stopped", &json!({ "why": "bar" }));
            it.now += 400_000;
            it.tell("bar-ended", &json!({}));
            let load = 180 + i64::from(bar * 7 % 5) * 12;
            it.now += load * 1000 - 5000;
            if bar + 1 < bars {
                it.loads.push(load as f64);
            }
        }
        it
    }
}

fn mean(of: &[f64]) -> f64 {
    of.iter().sum::<f64>() / of.len() as f64
}

fn near(value: &Value, wanted: f64, within: f64) {
    let value = value.as_f64().unwrap_or(f64::NAN);
    assert!((value - wanted).abs() <= within, "{value} is not {wanted}");
}

/// A shop with its job set up and the series in its log.
fn after_the_series(shop: &Shop, bars: u32) -> (String, Value, Series) {
    let job = a_job(shop);
    let plan = planned(shop, &job);
    shop.said(&["order", "pin", "--plan", &job, "--at", "2025-12-01T06:00:00Z"]);
    shop.said(&["setup", LATHE, "pin", "--plan", &job, "--at", "2025-12-01T06:30:00Z"]);
    let series = Series::run(plan["time"]["cycle_s"].as_f64().unwrap(), bars);
    fs::write(shop.path("series.jsonl"), &series.lines).unwrap();
    shop.said(&["import", &shop.path("series.jsonl")]);
    (job, plan, series)
}

#[test]
fn a_plan_changes_by_what_the_log_taught_and_back_again() {
    let shop = Shop::new();
    let (job, before, series) = after_the_series(&shop, 12);
    let cycle = before["time"]["cycle_s"].as_f64().unwrap();
    assert_eq!(before["learned"], json!([]));

    let lesson = &shop.json(&["learned", "pin"])[0];
    let factor = mean(&series.cycles) / cycle;
    near(&lesson["cycle"]["value"]["value"], factor, 1e-4);
    assert_eq!(lesson["cycle"]["count"], series.cycles.len());
    near(&lesson["load"]["value_s"]["value"], mean(&series.loads), 1e-6);
    assert_eq!(lesson["load"]["count"], 11);
    let edge = &lesson["edges"][0];
    assert_eq!(
        (&edge["station"], &edge["worn"], &edge["early"]),
        (&1.into(), &4.into(), &2.into())
    );
    let parts = edge["half_s"]["value"].as_f64().unwrap() / edge["cutting_s"].as_f64().unwrap();
    assert!(
        (60.0..70.0).contains(&parts),
        "of 60, 64, 70 and 58 worn, two changed before: {parts}"
    );
    assert_eq!(lesson["gripper"]["enough"], false);
    let words = shop.said(&["learned", "pin"]);
    for wanted in ["not in the job", "too few: 0 pulls gauged, 8 or more", "left out"] {
        assert!(words.contains(wanted), "no `{wanted}` in {words}");
    }

    // Written and switched on, all times grow by the factor that stands in the file, and only they.
    let text = fs::read_to_string(&job).unwrap();
    shop.said(&["learned", LATHE, "--write", &job, "--use", "cycle"]);
    let written = fs::read_to_string(&job).unwrap();
    assert!(written.starts_with(text.trim_end()), "what stood there stands there: {written}");
    let factor: f64 = written
        .lines()
        .find_map(|line| line.strip_prefix("factor = "))
        .and_then(|it| it.parse().ok())
        .unwrap();
    let mut after = planned(&shop, &job);
    for key in ["cycle_s", "advance_s", "bar_s", "order_s"] {
        near(&after["time"][key], factor * before["time"][key].as_f64().unwrap(), 2e-3 * factor);
    }
    let told = after["learned"][0].clone();
    assert_eq!((&told["figure"], &told["used"]), (&"cycle".into(), &true.into()));
    assert_eq!(told["count"], series.cycles.len());
    assert!(told["words"].as_str().unwrap().contains(&format!("{} cycles", series.cycles.len())));
    for key in ["time", "walk_away", "learned", "cost", "advances"] {
        after[key] = before[key].clone();
    }
    assert_eq!(after, before, "nothing but times changed, the proof least of all");

    // What a set-up with the new plan records is still held against the plan without the factor.
    shop.said(&["setup", LATHE, "pin", "--plan", &job, "--at", "2025-12-20T06:00:00Z"]);
    near(&shop.json(&["learned", "pin"])[0]["cycle"]["value"]["value"], factor, 1e-4);

    // Switched off it is as it was.
    fs::write(&job, written.replace("use = true", "use = false")).unwrap();
    assert_eq!(planned(&shop, &job), before);
    fs::write(&job, &text).unwrap();
    assert_eq!(planned(&shop, &job), before);
}

#[test]
fn edges_and_loads_reach_the_answers_and_nothing_is_written_over_unasked() {
    let shop = Shop::new();
    let (job, before, _) = after_the_series(&shop, 12);
    shop.said(&["learned", LATHE, "--write", &job, "--use", "edges,load"]);
    let after = planned(&shop, &job);
    let lesson = &shop.json(&["learned", LATHE])[0];
    let edge = &lesson["edges"][0];
    let least = (edge["low_s"].as_f64().unwrap() / edge["cutting_s"].as_f64().unwrap()).floor();
    let limits = after["walk_away"]["limits"].as_array().unwrap();
    let limit = limits.iter().find(|it| it["kind"] == "edge" && it["station"] == 1).unwrap();
    near(&limit["parts"], least, 1.0);
    assert!(limit["limit"].as_str().unwrap().contains("learned from the log"), "{limit}");
    assert_eq!(after["time"], before["time"]);
    assert_eq!(after["proof"], before["proof"]);

    // The same again changes nothing; another figure is refused until it is forced.
    let text = fs::read_to_string(&job).unwrap();
    shop.said(&["learned", LATHE, "--write", &job, "--use", "edges,load"]);
    assert_eq!(fs::read_to_string(&job).unwrap(), text);
    let mine = text.replace("early = 2", "early = 3   # I know of one more");
    fs::write(&job, &mine).unwrap();
    let refused = shop.refused(&["learned", LATHE, "--write", &job, "--use", "edges"]);
    assert!(
        refused.contains("[[learned.edge]] of station 1") && refused.contains("--force"),
        "{refused}"
    );
    assert_eq!(fs::read_to_string(&job).unwrap(), mine);
    shop.said(&["learned", LATHE, "--write", &job, "--use", "edges", "--force"]);
    let forced = fs::read_to_string(&job).unwrap();
    assert_eq!(forced, mine.replace("early = 3 ", "early = 2 "), "the remark stays");
}

/// The answer of a command that asks a shop file.
fn asked(arguments: &[&str]) -> Value {
    let mut command = Command::cargo_bin("barwright").expect("the program is built");
    let output = command.args(arguments).arg("--json").output().unwrap();
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|why| panic!("{why}: {}", String::from_utf8_lossy(&output.stderr)))
}

/// Five lathes' rates take four minutes to load a bar; the log of this lathe has another mean.
const LOAD_OF_SHOP: f64 = 240.0;

#[test]
fn quote_loading_and_visits_count_with_the_load_that_was_learned() {
    let shop = Shop::new();
    let (job, _, series) = after_the_series(&shop, 12);
    let rates = root("demo/five-lathes/shop.toml").display().to_string();
    let floor = shop.path("floor.toml");
    fs::write(
        &floor,
        "name = \"One lathe\"\nunits = \"mm\"\n\n[[hours]]\nname = \"always\"\ndays = [\"mon\", \"tue\", \"wed\", \"thu\", \"fri\", \"sat\", \"sun\"]\nspans = [\"00:00-24:00\"]\n\n\
         [[person]]\nname = \"Ines\"\nhours = \"always\"\n\n[attend]\nload = 4\nquickest = 1\nslowest = 1\n\n\
         [[lathe]]\nname = \"Lathe 1\"\njob = \"detent-pin.job.toml\"\n",
    )
    .unwrap();
    let quote = || asked(&["quote", &job, "--shop", &rates, "--force"]);
    let ways = || asked(&["loading", &job, "--shop", &rates, "--force"]);
    let visits = || asked(&["visits", &floor, "--from", "2026-12-01T06:00", "--force"]);
    let before = (quote(), ways(), visits());
    shop.said(&["learned", LATHE, "--write", &job, "--use", "load"]);
    let after = (quote(), ways(), visits());
    let load = mean(&series.loads);
    assert!(
        (load - LOAD_OF_SHOP).abs() > 20.0,
        "the log says something else than the shop: {load}"
    );

    // Every bar takes lathe and person so much less or more, and nothing else changes.
    let (was, is) = (&before.0["quantities"], &after.0["quantities"]);
    for (was, is) in was.as_array().unwrap().iter().zip(is.as_array().unwrap()) {
        assert_eq!(was["bars"], is["bars"]);
        let more = was["bars"].as_f64().unwrap() * (load - LOAD_OF_SHOP);
        for key in ["lathe_s", "person_s"] {
            near(&is[key], was[key].as_f64().unwrap() + more, 0.01);
        }
        for line in ["programming", "set-up", "material", "edges", "gauging"] {
            assert_eq!(was["lines"][line], is["lines"][line], "{line}");
        }
        assert_ne!(was["lines"]["run"], is["lines"]["run"]);
    }
    assert_ne!(before.1, after.1);

    // A visit that loads a bar and nothing else takes as long, in whole steps of the timetable.
    let loads = |answer: &Value| -> Vec<f64> {
        let time = |it: &Value, key: &str| {
            it[key].as_str().unwrap().parse::<jiff::civil::DateTime>().unwrap()
        };
        let visits = answer["visits"].as_array().unwrap().iter();
        visits
            .filter(|it| it["do"] == json!(["load"]))
            .map(|it| time(it, "end").duration_since(time(it, "start")).as_secs_f64())
            .collect()
    };
    let (was, is) = (loads(&before.2), loads(&after.2));
    assert!(!was.is_empty() && was.iter().all(|it| *it == LOAD_OF_SHOP), "{was:?}");
    let tick = after.2["tick_s"].as_f64().unwrap();
    assert!(!is.is_empty() && is.iter().all(|it| (it - load).abs() <= tick), "{is:?} of {load}");
    assert_ne!(before.2["lost_s"], after.2["lost_s"]);

    // Each says what it counted with, as text too.
    for command in [
        ["quote", &job, "--shop", &rates, "--force"].as_slice(),
        &["loading", &job, "--shop", &rates, "--force"],
        &["visits", &floor, "--from", "2026-12-01T06:00", "--force"],
    ] {
        let mut asked = Command::cargo_bin("barwright").expect("the program is built");
        let said = String::from_utf8(asked.args(command).output().unwrap().stdout).unwrap();
        let plain = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(plain.contains("11 loads"), "{command:?}: {said}");
    }
}

#[test]
fn too_little_is_refused_with_the_reason() {
    let shop = Shop::new();
    let (job, _, _) = after_the_series(&shop, 1);
    let text = fs::read_to_string(&job).unwrap();
    for (figure, why) in [
        ("load", "0 loads told from end to start, 5 or more are needed"),
        ("gripper", "0 pulls gauged, 8 or more are needed"),
        ("edges", "0 edges that wore out, 3 or more are needed"),
        ("cycle,load", "does not teach a time to load"),
    ] {
        let refused = shop.refused(&["learned", LATHE, "--write", &job, "--use", figure]);
        let plain = refused.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(plain.contains(why), "{figure}: {refused}");
        assert_eq!(fs::read_to_string(&job).unwrap(), text, "{figure}");
    }
    // Without a plan there is nothing to hold times against.
    shop.said(&["setup", "Lathe 2", "other"]);
    let lesson = &shop.json(&["learned", "Lathe 2"])[0];
    assert!(lesson["cycle"]["why_not"].as_str().unwrap().contains("--plan JOB"), "{lesson}");
    assert!(shop.refused(&["learned", "Lathe 7"]).contains("no lathe or job"));
    assert!(
        shop.refused(&["learned", "--write", &job, "--use", "cycle"]).contains("name the lathe")
    );
}

#[test]
fn pulls_are_held_against_the_planned_advance() {
    let shop = Shop::new();
    let (job, before, _) = after_the_series(&shop, 1);
    let advance = before["bar"]["advance_mm"].as_f64().unwrap();
    for um in [40, 55, 62, 48, 51, 70, 44, 58] {
        let drawn = format!("{:.3}", advance - f64::from(um) / 1000.0);
        shop.said(&["size", LATHE, "pull", &drawn]);
    }
    // Mean 53.5 µm and deviation √(676/7) = 9.827 µm by hand.
    let gripper = &shop.json(&["learned", LATHE])[0]["gripper"];
    near(&gripper["bias_mm"]["value"], 0.0535, 1e-6);
    near(&gripper["deviation_mm"]["value"], 0.009_827, 1e-6);
    shop.said(&["learned", LATHE, "--write", &job, "--use", "gripper"]);
    let after = planned(&shop, &job);
    let least = |plan: &Value| plan["bar"]["least_face_stock_mm"].as_f64().unwrap();
    assert!(least(&after) >= least(&before), "it only widens");
    assert_eq!(after["proof"], before["proof"]);
}
