//! What happened, told to the server: recorded once, in its order, or refused with words for a person.

use super::server::{JOB, Server};
use serde_json::{Value, json};
use std::process::Command;

const LATHE: &str = "Lathe 1";
const FORM: &str = "Content-Type: application/x-www-form-urlencoded\r\n";
const SCRIPT: &str = "Content-Type: application/json\r\n";

impl Server {
    /// The log is begun, and a lathe is set up for the demo's job.
    pub(super) fn set_up(&self) {
        let begun = self.post("/log", FORM, &format!("token={}", self.token()));
        assert_eq!(begun.code, 303, "{}", begun.head);
        let program = "detent-pin/expected/O2080.nc";
        let order = json!({ "id": "o-1", "event": "order-opened", "job": "pin", "plan": JOB });
        let set_up = json!({ "id": "s-1", "event": "set-up", "lathe": LATHE, "job": "pin", "plan": JOB, "program": program });
        for became in self.tell(&json!([order, set_up])) {
            assert_eq!(became["became"], "recorded", "{became}");
        }
    }

    /// A morning at that lathe, up to a stop in mid-program.
    pub(super) fn busy(&self) {
        let at = |id: &str, event: &str| json!({ "id": id, "event": event, "lathe": LATHE, "job": "pin", "person": "Ada" });
        let with = |mut entry: Value, more: &[(&str, &str)]| {
            for (key, value) in more {
                entry[*key] = (*value).into();
            }
            entry
        };
        let entries = json!([
            with(
                at("d-1", "put-on-rack"),
                &[
                    ("item", "D12"),
                    ("length", "1000"),
                    ("count", "9"),
                    ("heat", "A 7712"),
                    ("place", "shelf 3"),
                    ("material", "steel-12l14"),
                    ("size", "12")
                ]
            ),
            with(at("d-2", "bar-loaded"), &[("from", "D12")]),
            at("d-3", "started"),
            with(at("d-4", "parts-made"), &[("parts", "17")]),
            with(
                at("d-5", "size-measured"),
                &[("feature", "1"), ("reading", "7.982"), ("part", "17")]
            ),
            with(at("d-6", "stopped"), &[("why", "alarm"), ("block", "93")]),
        ]);
        for became in self.tell(&entries) {
            assert_eq!(became["became"], "recorded", "{became}");
        }
    }

    /// What became of entries, as a script tells them.
    pub(super) fn tell(&self, entries: &Value) -> Vec<Value> {
        let said = json!({ "token": self.token(), "entries": entries });
        let answer = self.post("/record", SCRIPT, &said.to_string());
        assert_eq!(answer.code, 200, "{} {}", answer.head, answer.body);
        let value: Value = serde_json::from_str(&answer.body).unwrap();
        value["answers"].as_array().unwrap().clone()
    }

    /// What a command of the log says about it, as JSON.
    pub(super) fn log(&self, arguments: &[&str]) -> Value {
        let output = Command::new(env!("CARGO_BIN_EXE_barwright"))
            .arg("log")
            .args(arguments)
            .args(["--json", "--log"])
            .arg(self.file("../shop.barlog"))
            .output()
            .unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        serde_json::from_slice(&output.stdout).unwrap()
    }
}

/// A server with a lathe at work that stands just now.
pub(super) fn at_work() -> Server {
    let server = Server::start();
    server.set_up();
    server.busy();
    server
}

fn count(server: &Server) -> usize {
    server.log(&["list", "--last", "1000"]).as_array().unwrap().len()
}

#[test]
fn a_log_is_begun_on_a_page() {
    let server = Server::start();
    let page = server.get("/lathe").body;
    assert!(page.contains("There is no log yet") && page.contains("Begin the log"), "{page}");
    assert_eq!(server.post("/log", FORM, "token=0").code, 403);
    assert!(!server.file("../shop.barlog").exists());
    server.set_up();
    assert!(server.get("/lathe").body.contains("Lathe 1"));
    let page = server.get("/lathe/Lathe%201").body;
    assert!(page.contains("The order is complete in 400 parts"), "{page}");
    let page = server.get("/lathe/Lathe%202").body;
    assert!(page.contains("no job recorded") && page.contains("It is set up for a job"), "{page}");
    assert_eq!(server.get(&format!("/lathe/{}", "x".repeat(101))).code, 404);
    let again = server.post("/log", FORM, &format!("token={}", server.token()));
    assert_eq!((again.code, count(&server)), (303, 2), "what was begun is not begun again");
}

#[test]
fn an_entry_counts_once_and_what_is_told_elsewhere_counts_too() {
    let server = Server::start();
    server.set_up();
    let bar = json!({ "id": "b-1", "event": "bar-loaded", "lathe": LATHE, "heat": "A 7712", "length": "1000" });
    let made = json!({ "id": "m-1", "event": "parts-made", "lathe": LATHE, "parts": 12, "at": 1_796_135_400_000_i64 });
    let became: Vec<Value> = server.tell(&json!([bar, made, made]));
    let words: Vec<&str> = became.iter().map(|it| it["became"].as_str().unwrap()).collect();
    assert_eq!(words, ["recorded", "recorded", "known"], "{became:?}");
    let again = server.tell(&json!([bar, made]));
    assert!(again.iter().all(|it| it["became"] == "known"), "{again:?}");
    let other = json!({ "id": "m-1", "event": "parts-made", "lathe": LATHE, "parts": 13, "at": 1_796_135_400_000_i64 });
    assert!(
        server.tell(&json!([other]))[0]["why"]
            .as_str()
            .unwrap()
            .contains("belongs to another event")
    );
    // Planned anew, a set-up may come out otherwise: told again, it is the same all the same.
    let set_up =
        json!({ "id": "s-1", "event": "set-up", "lathe": LATHE, "job": "pin", "plan": JOB });
    assert_eq!(server.tell(&json!([set_up]))[0]["became"], "known");
    let now = server.log(&["now", LATHE]);
    assert_eq!((&now[0]["bar"]["made"], &now[0]["bar"]["heat"]), (&json!(12), &json!("A 7712")));
    server.log(&["made", LATHE, "3"]);
    let page = server.get("/lathe/Lathe%201").body;
    assert!(page.contains("15 parts"), "what another program recorded is there: {page}");
}

#[test]
fn nonsense_is_refused_with_words_and_nothing_of_it_is_kept() {
    let server = Server::start();
    server.set_up();
    let before = count(&server);
    let cases = [
        (json!({ "event": "bar-loaded", "lathe": LATHE, "length": "-3" }), "cannot be -3"),
        (json!({ "event": "bar-loaded", "lathe": LATHE, "length": "1e9" }), "“length” 1e9"),
        (json!({ "event": "bar-loaded", "lathe": LATHE, "length": "999999" }), "it goes from"),
        (json!({ "event": "bar-loaded", "lathe": LATHE, "from": "R 99" }), "the rack has no R 99"),
        (
            json!({ "event": "parts-made", "lathe": LATHE, "parts": "many" }),
            "“parts” cannot be many",
        ),
        (json!({ "event": "parts-made", "lathe": LATHE }), "“parts” is missing"),
        (json!({ "event": "parts-made", "lathe": "Lathe 7", "parts": 1 }), "no lathe Lathe 7"),
        (json!({ "event": "stopped", "lathe": LATHE, "why": "bored" }), "“why” cannot be bored"),
        (
            json!({ "event": "offset-moved", "lathe": LATHE, "station": 1, "axis": "x", "by": "60" }),
            "goes from",
        ),
        (
            json!({ "event": "edge-changed", "lathe": LATHE, "station": 0, "why": "worn" }),
            "“station” cannot be 0",
        ),
        (
            json!({ "event": "size-measured", "lathe": LATHE, "feature": "1", "reading": "8,0,1" }),
            "“reading”",
        ),
        (
            json!({ "event": "set-up", "lathe": "L2", "job": "x", "plan": "../secret" }),
            "no job ../secret",
        ),
        (
            json!({ "event": "set-up", "lathe": "L2", "job": "x", "program": "/etc/passwd" }),
            "no program",
        ),
        (json!({ "event": "corrected", "of": "nothing" }), "no such entry"),
        (json!({ "event": "started", "lathe": "a\nb" }), "several lines"),
        (json!({ "event": "started", "lathe": LATHE, "at": "noon" }), "no time"),
        (json!({ "event": "exploded", "lathe": LATHE }), "nothing that can be recorded"),
        (json!({}), "nothing that can be recorded"),
    ];
    for (entry, words) in cases {
        let answer = &server.tell(&json!([entry]))[0];
        assert_eq!(answer["became"], "refused", "{entry}");
        assert!(answer["why"].as_str().unwrap().contains(words), "{entry}: {answer}");
        assert!(!answer["mend"].as_str().unwrap().is_empty(), "{entry}: what to do instead");
    }
    for body in ["", "{}", "[]", "{", "{\"entries\":[]}"] {
        assert_eq!(server.post("/record", SCRIPT, body).code, 403, "{body}");
    }
    let none = json!({ "token": server.token(), "entries": [] });
    assert_eq!(server.post("/record", SCRIPT, &none.to_string()).code, 422);
    let large = json!({ "token": server.token(), "entries": [{ "note": "x".repeat(70_000) }] });
    assert_eq!(server.post("/record", SCRIPT, &large.to_string()).code, 413);
    assert_eq!(count(&server), before);
}

#[test]
fn a_form_records_without_a_script() {
    let server = Server::start();
    server.set_up();
    let said = format!("token={}&event=started&id=f-1&lathe=Lathe+1&person=Ada", server.token());
    let page = format!("{FORM}Referer: http://{}/lathe/Lathe%201\r\n", server.host);
    for _ in 0..2 {
        let answer = server.post("/record", &page, &said);
        assert!(
            answer.code == 303 && answer.head.contains("location: /lathe/Lathe%201"),
            "{}",
            answer.head
        );
    }
    assert_eq!(count(&server), 3, "tapped twice, it counts once");
    let wrong = server.post("/record", &page, &said.replace("started", "exploded"));
    assert!(
        wrong.code == 422 && wrong.body.contains("nothing that can be recorded"),
        "{}",
        wrong.body
    );
    assert_eq!(server.post("/record", &page, "event=started&lathe=Lathe+1").code, 403);
    let device = format!(
        "token={}&person=&other=%3Cscript%3Ealert(1)%3C/script%3E&units=inch",
        server.token()
    );
    let answer = server.post("/device", &page, &device);
    assert!(answer.code == 303 && answer.head.contains("SameSite=Strict"), "{}", answer.head);
    let cookie =
        answer.head.split("set-cookie: ").nth(1).unwrap().split(';').next().unwrap().to_owned();
    let page = server.raw(
        format!("GET /lathe/Lathe%201 HTTP/1.1\r\nHost: {}\r\nCookie: {cookie}\r\nConnection: close\r\n\r\n", server.host).as_bytes(),
    );
    assert!(
        page.body.contains("Told by &lt;script&gt;") && !page.body.contains("<script>alert"),
        "{}",
        page.body
    );
    assert!(page.body.contains("lengths in inch"));
}

#[test]
fn the_shops_file_is_found_or_it_is_said_why_not() {
    let server = Server::start();
    server.set_up();
    let page = || server.get("/lathe/Lathe%201").body;
    assert!(page().contains("No names are offered: the folder has no shop.toml"));
    let demo = std::fs::read_to_string(crate::expect::root("demo/five-lathes/shop.toml")).unwrap();
    std::fs::write(server.file("shop.toml"), &demo).unwrap();
    let shop =
        model::files::Shop::read(&model::Source::new("shop", demo.as_bytes())).value.unwrap();
    let offered = |page: &str| page.contains(&format!("<option>{}</option>", shop.people[0].name));
    assert!(offered(&page()), "the only one below the folder");
    assert!(server.get("/lathe").body.contains(&shop.lathes[0].name), "its lathes can be begun");
    std::fs::create_dir(server.file("old")).unwrap();
    std::fs::write(server.file("old/shop.toml"), &demo).unwrap();
    assert!(page().contains("several shop.toml lie below the folder"), "nobody guesses which");
    std::fs::write(server.file("../shop.toml"), &demo).unwrap();
    assert!(offered(&page()), "that of the folder itself comes first");
}

#[test]
fn a_reset_leaves_the_count_unproven_until_it_is_read() {
    let server = Server::start();
    server.set_up();
    server.busy();
    let page = || server.get("/lathe/Lathe%201").body;
    assert!(page().contains("Only the gripper holds the bar."), "{}", page());
    server.tell(&json!([{ "id": "a-1", "event": "started", "lathe": LATHE }]));
    assert!(page().contains("It was reset at line 93"), "{}", page());
    server.tell(&json!([{ "id": "a-2", "event": "count-read", "lathe": LATHE, "parts": 18 }]));
    assert!(!page().contains("It was reset at line 93"));
    // A program that was changed since is told; a line that no cycle stops at proves nothing.
    let program = server.file("expected/O2080.nc");
    let text = std::fs::read_to_string(&program).unwrap();
    std::fs::write(&program, text.replace("G4 X0.7 ", "G4 X0.9 ")).unwrap();
    server.tell(&json!([{ "id": "a-3", "event": "stopped", "lathe": LATHE, "block": "94" }]));
    assert!(page().contains("The program has changed since the set-up."), "{}", page());
    server.tell(&json!([{ "id": "a-4", "event": "stopped", "lathe": LATHE, "block": "4000" }]));
    assert!(page().contains("No cycle of the program stops at line 4000."));
    std::fs::remove_file(&program).unwrap();
    assert!(page().contains("O2080.nc of the set-up is not in the folder"), "{}", page());
}

#[test]
fn a_slow_way_through_the_air_does_not_turn_the_order_around() {
    let server = Server::start();
    server.set_up();
    let tell = |sent: i64, behind: &str, entry: Value| {
        let said =
            json!({ "token": server.token(), "sent": sent, "behind": behind, "entries": [entry] });
        let answer = server.post("/record", SCRIPT, &said.to_string());
        assert!(answer.body.contains("recorded"), "{}", answer.body);
    };
    let made = || server.log(&["now", LATHE])[0]["bar"]["made"].clone();
    let tapped = 1_796_135_400_000_i64;
    let bar =
        |id: &str, at: i64| json!({ "id": id, "event": "bar-loaded", "lathe": LATHE, "at": at });
    let parts = |id: &str, at: i64| json!({ "id": id, "event": "parts-made", "lathe": LATHE, "parts": 3, "at": at });
    // The bar's entry was on its way for most of a minute: by its age alone it would stand behind the parts.
    tell(tapped, "", bar("b-1", tapped));
    tell(tapped + 60_000, "b-1", parts("m-1", tapped + 1));
    assert_eq!(made(), 3, "the parts are of this bar");
    // Parts that were tapped before a bar, and told after it, stay before it.
    tell(tapped + 90_000, "m-1", bar("b-2", tapped + 90_000));
    tell(tapped + 90_000, "b-2", parts("m-2", tapped + 80_000));
    assert_eq!(made(), 0, "they are of the bar before");
}
