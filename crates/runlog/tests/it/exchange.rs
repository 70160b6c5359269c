//! Lines of events from scripts and other logs.

use crate::shop::{Shop, at, loaded, made, told};
use runlog::{Kind, Live};

#[test]
fn a_script_tells_the_least_that_is_needed() {
    let mut shop = Shop::in_memory();
    shop.set_clock(1000);
    let text = r#"
{"id":"s1","at":"2026-12-01T00:00:10Z","lathe":"L1","event":"bar-loaded","detail":{"heat":"A 1","length_nm":1000000000}}
{"id":"s2","at":"2026-12-01T01:01:00+01:00","lathe":"L1","event":"parts-made","detail":{"parts":2}}

{"id":"s3","at":"2030-01-01T00:00:00Z","lathe":"L1","event":"stopped","detail":{"why":"alarm","block":"34"}}
"#;
    let imported = shop.log.import(&mut text.as_bytes(), "machine.jsonl").unwrap();
    assert_eq!((imported.added, imported.known), (3, 0));
    let all = shop.all();
    assert_eq!(all[1].order.time, at(60));
    assert_eq!(all[2].order.time, at(1000), "nothing counts for later than now");
    let old = text
        .replace("s1", "s4")
        .replace("2026-12-01T00", "1931-12-01T00")
        .lines()
        .take(2)
        .collect::<String>();
    shop.log.import(&mut old.as_bytes(), "old.jsonl").unwrap();
    assert_eq!(Live::open(&shop.log).unwrap().state(), Live::rebuild(&shop.log).unwrap().state());
    assert_eq!(Live::open(&shop.log).unwrap().state().last, all[2].order);
    assert_eq!(Live::open(&shop.log).unwrap().state().lathes["L1"].bar.as_ref().unwrap().made, 2);
}

#[test]
fn a_bad_line_is_told_with_its_place_and_nothing_is_taken_in() {
    let mut shop = Shop::in_memory();
    shop.log.record(&[told("p1", 0, made(1))]).unwrap();
    let good = r#"{"id":"a","at":"2026-12-01T00:00:00Z","lathe":"L1","event":"parts-made","detail":{"parts":2}}"#;
    for (from, to, says, mend) in [
        ("\"parts\":2", "\"parts\":-2", "`detail.parts` is out of range", "whole number from 0"),
        ("\"parts\":2", "\"parts\":2.5", "`detail.parts` is no whole number", "whole number"),
        (
            "\"parts\":2",
            "\"pieces\":2",
            "`detail.pieces` is not known",
            "take it out, or write one of parts",
        ),
        ("{\"parts\":2}", "{}", "`detail.parts` is missing", "add it"),
        ("parts-made", "parts-maid", "`event` is no kind of event", "parts-made"),
        ("2026-12-01T00:00:00Z", "noon", "`at` is no time", "2026-12-01T14:30:00Z"),
        ("\"id\":\"a\",", "", "`id` is missing", "add it"),
        ("\"id\":\"a\"", "\"id\":\"\"", "`id` is empty", "shorten it"),
        ("\"lathe\":\"L1\",", "", "needs its `lathe`", "say which lathe"),
        ("\"id\":\"a\"", "\"id\":\"p1\"", "belongs to another event", "an id of its own"),
        ("}}", "}", "this line is no JSON", "one event a line"),
    ] {
        assert!(good.contains(from), "{from}");
        let text = format!("{}\n{}\n", good.replace("\"a\"", "\"b\""), good.replace(from, to));
        let error = shop.log.import(&mut text.as_bytes(), "m.jsonl").unwrap_err();
        assert_eq!(error.kind, Kind::Refused, "{to}");
        assert!(
            error.to_string().starts_with("m.jsonl:2: ") && error.to_string().contains(says),
            "{to}: {error}"
        );
        assert!(error.mend.contains(mend), "{to}: {}", error.mend);
        assert_eq!(shop.log.count().unwrap(), 1, "{to}");
    }
    let error = shop.log.import(&mut &b"\xff\xfe\n"[..], "m.jsonl").unwrap_err();
    assert!(error.to_string().starts_with("m.jsonl:1: it cannot be read"), "{error}");
}

#[test]
fn two_logs_come_together_and_each_event_counts_once() {
    let mut first = Shop::in_memory();
    let mut second = Shop::in_memory();
    first.log.record(&[told("b1", 0, loaded("A 1")), told("p1", 10, made(1))]).unwrap();
    second.set_clock(5);
    second.log.record(&[told("p2", 5, made(2))]).unwrap();
    let mut text = Vec::new();
    first.log.export(&mut text).unwrap();
    second.log.import(&mut text.as_slice(), "first").unwrap();
    second.log.import(&mut text.as_slice(), "first").unwrap();
    assert_eq!(second.log.count().unwrap(), 3);
    let bar = Live::open(&second.log).unwrap().state().lathes["L1"].bar.clone().unwrap();
    assert_eq!(
        (bar.loaded.heat.as_deref(), bar.made),
        (Some("A 1"), 3),
        "by time, not as they came"
    );
}
