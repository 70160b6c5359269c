//! Following a lathe through the binary, against the stand-in agent of the package `follow`.

use crate::agent::{Agent, serve};
use crate::log::Shop;
use serde_json::Value;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpListener;
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::{Duration, Instant};

const LATHE: &str = "Lathe 1";

/// A lathe that is set up and has a bar, and the agent of its machine.
fn a_lathe(buffer: usize) -> (Shop, Arc<Mutex<Agent>>, String) {
    let shop = Shop::new();
    shop.said(&["order", "pin", "1000"]);
    shop.said(&["setup", LATHE, "pin", "--per-bar", "500"]);
    shop.said(&["bar", LATHE, "--heat", "A 1"]);
    let (agent, address) = serve(Agent::new(1_700_000_000, buffer));
    (shop, agent, address)
}

fn act(agent: &Mutex<Agent>, what: impl FnOnce(&mut Agent)) {
    what(&mut agent.lock().unwrap());
}

/// Looks once; gives the events that were recorded, as lines.
fn once(shop: &Shop, address: &str) -> Vec<Value> {
    let text = shop.said(&["follow", LATHE, "--agent", address, "--once", "--json"]);
    text.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
}

fn made(shop: &Shop) -> u64 {
    shop.json(&["now", LATHE])[0]["bar"]["made"].as_u64().unwrap_or(0)
}

fn kinds(lines: &[Value]) -> Vec<&str> {
    lines.iter().map(|it| it["event"].as_str().unwrap()).collect()
}

#[test]
fn parts_and_states_come_into_the_log_once_each() {
    let (shop, agent, address) = a_lathe(1000);
    act(&agent, |it| it.make(7));
    let begun = once(&shop, &address);
    assert_eq!(kinds(&begun), ["followed"]);
    assert_eq!(
        (&begun[0]["detail"]["why"], &begun[0]["detail"]["to"]),
        (&"began".into(), &7.into())
    );
    assert_eq!(made(&shop), 0, "what was counted before is not counted now");
    act(&agent, |it| {
        it.state("ACTIVE");
        it.make(3);
        it.state("FEED_HOLD");
    });
    assert_eq!(
        kinds(&once(&shop, &address)),
        ["started", "parts-made", "parts-made", "parts-made", "stopped"]
    );
    assert_eq!((made(&shop), once(&shop, &address).len()), (3, 0), "told again, nothing new");
    let now = &shop.json(&["now", LATHE])[0];
    assert_eq!((&now["runs"], &now["stopped_for"]), (&false.into(), &"not-known".into()));
    let listed = shop.json(&["list", "--kind", "parts-made"]);
    let all = listed.as_array().unwrap();
    assert!(all.iter().all(|it| it["job"] == "pin"), "{listed}");
    let first = all[0]["id"].as_str().unwrap();
    assert!(
        first.starts_with("follow-") && first.ends_with("-8"),
        "the counter's 8th part: {first}"
    );
    // The agent's clock stands in a January: an event counts for when it was by this computer's.
    for it in all {
        let day = |key: &str| it[key].as_str().unwrap()[..10].to_owned();
        assert_eq!((day("at").as_str(), day("time")), ("2026-01-05", day("received")), "{it}");
    }
}

#[test]
fn what_was_missed_is_told_as_a_gap_and_its_parts_as_a_count_that_was_read() {
    let (shop, agent, address) = a_lathe(20);
    once(&shop, &address);
    act(&agent, |it| it.make(2));
    once(&shop, &address);
    // Thirty parts in a buffer of twenty observations.
    act(&agent, |it| it.make(30));
    let lines = once(&shop, &address);
    assert_eq!(kinds(&lines), ["followed", "count-read"]);
    assert_eq!(lines[0]["detail"]["why"], "gap");
    assert_eq!(lines[1]["detail"]["parts"], 32);
    assert!(lines[1]["note"].as_str().unwrap().contains("30 counted by the machine"));
    // The agent starts anew, with four parts made meanwhile; its numbers begin again.
    act(&agent, |it| it.restart(1_700_009_999, 4));
    let lines = once(&shop, &address);
    assert_eq!(kinds(&lines), ["followed", "count-read", "started"]);
    assert_eq!(lines[0]["detail"]["why"], "restart");
    assert_eq!(lines[0]["detail"]["from"], 1_700_000_000_u64);
    assert_eq!(made(&shop), 36);
    act(&agent, |it| it.make(1));
    assert_eq!((kinds(&once(&shop, &address)), made(&shop)), (vec!["parts-made"], 37));
    // Someone sets the counter back: what was made before, unseen, nobody guesses.
    act(&agent, |it| {
        it.set_back(0);
        it.make(2);
    });
    let lines = once(&shop, &address);
    assert_eq!(kinds(&lines), ["followed", "parts-made", "parts-made"]);
    assert_eq!(lines[0]["detail"]["why"], "set-back");
    assert_eq!((&lines[0]["detail"]["from"], &lines[0]["detail"]["to"]), (&37.into(), &0.into()));
    assert_eq!(made(&shop), 39);
    // A counter that leaps counts something else.
    act(&agent, |it| it.set_back(5_000_000));
    let lines = once(&shop, &address);
    assert_eq!((kinds(&lines), &lines[0]["detail"]["why"]), (vec!["followed"], &"leap".into()));
    assert_eq!(made(&shop), 39);
    let words = shop.said(&["list", "--kind", "followed", "--last", "50"]);
    for wanted in ["following began", "missed", "started anew", "set back", "leapt"] {
        assert!(words.contains(wanted), "no `{wanted}` in {words}");
    }
}

/// The program, following until it is killed or ended.
struct Following {
    child: Child,
    lines: Arc<Mutex<Vec<String>>>,
}

impl Following {
    fn of(shop: &Shop, address: &str) -> Following {
        let mut child = Command::new(assert_cmd::cargo::cargo_bin("barwright"))
            .args(["log", "follow", LATHE, "--agent", address, "--json"])
            .env("BARWRIGHT_LOG", shop.path("shop.barlog"))
            .env("TZ", "UTC")
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let out = child.stdout.take().unwrap();
        let lines = Arc::new(Mutex::new(Vec::new()));
        let read = Arc::clone(&lines);
        thread::spawn(move || {
            for line in BufReader::new(out).lines().map_while(Result::ok) {
                read.lock().unwrap().push(line);
            }
        });
        Following { child, lines }
    }

    /// Waits until so many lines hold this.
    fn until(&self, wanted: &str, times: usize) {
        let begun = Instant::now();
        let count = || self.lines.lock().unwrap().iter().filter(|it| it.contains(wanted)).count();
        while count() < times {
            assert!(
                begun.elapsed() < Duration::from_mins(1),
                "{wanted}: {:?}",
                self.lines.lock().unwrap()
            );
            thread::sleep(Duration::from_millis(20));
        }
    }
}

#[test]
fn killed_at_any_moment_and_started_again_it_counts_every_part_once() {
    let (shop, agent, address) = a_lathe(100_000);
    once(&shop, &address);
    let mut total = 0;
    for round in 0..6_u64 {
        let mut following = Following::of(&shop, &address);
        let maker = {
            let agent = Arc::clone(&agent);
            thread::spawn(move || {
                for _ in 0..20 {
                    act(&agent, |it| it.make(1));
                    thread::sleep(Duration::from_millis(10));
                }
            })
        };
        total += 20;
        if round % 2 == 0 {
            following.until("parts-made", 1);
        } else {
            thread::sleep(Duration::from_millis(40 * round));
        }
        following.child.kill().unwrap();
        following.child.wait().unwrap();
        maker.join().unwrap();
    }
    once(&shop, &address);
    assert_eq!(made(&shop), total);
    let all = shop.json(&["list", "--kind", "parts-made", "--last", "1000"]);
    assert_eq!(all.as_array().unwrap().len() as u64, total, "one event a part");
    shop.said(&["check"]);
}

#[cfg(unix)]
#[test]
fn it_ends_with_a_signal_and_waits_for_an_agent_that_is_gone() {
    let (shop, agent, address) = a_lathe(1000);
    let mut following = Following::of(&shop, &address);
    following.until("began", 1);
    act(&agent, |it| it.hang_up = true);
    following.until("\"trouble\":\"", 1);
    act(&agent, |it| {
        it.hang_up = false;
        it.make(2);
    });
    following.until("\"trouble\":null", 1);
    following.until("parts-made", 2);
    let pid = following.child.id().to_string();
    assert!(Command::new("kill").args(["-INT", &pid]).status().unwrap().success());
    assert!(following.child.wait().unwrap().success(), "Ctrl-C is an end like any other");
    assert_eq!(made(&shop), 2);
}

#[test]
fn no_lathe_that_is_not_set_up_and_no_machine_that_is_not_named() {
    let shop = Shop::new();
    let (_agent, address) = serve(Agent::new(1, 100));
    let refused = shop.refused(&["follow", LATHE, "--agent", &address, "--once"]);
    assert!(refused.contains("the log has no lathe"), "{refused}");
    shop.said(&["setup", LATHE, "pin"]);
    let refused =
        shop.refused(&["follow", LATHE, "--agent", &address, "--device", "mill", "--once"]);
    assert!(refused.contains("lathe-1") && refused.contains("--device"), "{refused}");
    let refused = shop.refused(&["follow", LATHE, "--agent", "http://", "--once"]);
    assert!(refused.contains("no address"), "{refused}");
    // A lathe of which only a time was told is not set up.
    shop.said(&["order", "pin", "10"]);
    std::fs::write(
        shop.path("one.jsonl"),
        "{\"id\":\"a\",\"at\":\"2025-12-01T06:00:00Z\",\"lathe\":\"Lathe 9\",\"event\":\"started\"}\n",
    )
    .unwrap();
    shop.said(&["import", &shop.path("one.jsonl")]);
    let refused = shop.refused(&["follow", "Lathe 9", "--agent", &address, "--once"]);
    assert!(refused.contains("not set up"), "{refused}");
}

/// Answers everything with these bytes, slowly or at once.
fn answers(bytes: Vec<u8>, slowly: bool) -> String {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let address = format!("http://{}", listener.local_addr().unwrap());
    thread::spawn(move || {
        for mut stream in listener.incoming().flatten() {
            let mut request = [0; 1024];
            let _ = stream.read(&mut request);
            if slowly {
                for byte in &bytes {
                    thread::sleep(Duration::from_millis(400));
                    if stream.write_all(&[*byte]).is_err() {
                        break;
                    }
                }
            } else {
                let _ = stream.write_all(&bytes);
            }
        }
    });
    address
}

#[test]
fn nonsense_huge_and_slow_answers_are_refused_and_record_nothing() {
    let (shop, _, _) = a_lathe(10);
    let before = shop.json(&["list"]).as_array().unwrap().len();
    let http =
        |body: &str| format!("HTTP/1.1 200 OK\r\nContent-Length: {}\r\n\r\n{body}", body.len());
    let huge = "HTTP/1.1 200 OK\r\nContent-Length: 99999999999\r\n\r\n<".to_owned();
    let endless = format!("HTTP/1.1 200 OK\r\n\r\n{}", "<a>".repeat(7_000_000));
    for (bytes, why) in [
        (b"\xff\xfe\x00nonsense".to_vec(), "no agent"),
        (http("<html/>").into_bytes(), "no document of MTConnect"),
        (http("<MTConnectDevices><Header/></MTConnectDevices>").into_bytes(), "instanceId"),
        (huge.into_bytes(), "too large"),
        (endless.into_bytes(), "too large"),
    ] {
        let refused = shop.refused(&["follow", LATHE, "--agent", &answers(bytes, false), "--once"]);
        assert!(refused.contains(why), "{why}: {refused}");
    }
    let slow = answers(http(&"<".repeat(1000)).into_bytes(), true);
    let begun = Instant::now();
    let refused = shop.refused(&["follow", LATHE, "--agent", &slow, "--once"]);
    assert!(refused.contains("too long"), "{refused}");
    assert!(begun.elapsed() < Duration::from_secs(40));
    assert_eq!(shop.json(&["list"]).as_array().unwrap().len(), before);
}
