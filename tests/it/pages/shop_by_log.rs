//! The shop as its log tells it: what its page says, and the timetable that goes on from there.

use super::browser::Browser;
use super::server::Server;
use serde_json::json;
use std::fs;

/// Somebody is always there, so that the hour at which this runs is all one. The lathe's name is that of the log.
const SHOP: &str = r#"
units = "mm"
name = "Around the clock"
time_zone = "UTC"
[[hours]]
name = "always"
days = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
spans = ["00:00-24:00"]
[[person]]
name = "Ana"
hours = "always"
[[lathe]]
name = "Lathe 1"
job = "detent-pin/detent-pin.job.toml"
stands_in = 400
[[lathe]]
name = "Lathe 2"
runs = 600
stands_in = 300
"#;

#[test]
fn the_shop_goes_by_its_log_and_follows_it() {
    let (server, browser) = (Server::start(), Browser::open(1280, 900));
    fs::write(server.file("../shop.toml"), SHOP).unwrap();
    browser.go(&server.address("/shop"));
    browser.until_says("#lathe-1", "Runs until");
    browser.until_says("[data-piece=as-of]", "no log tells it");
    server.set_up();
    let tell = |id: &str, what: serde_json::Value| {
        let mut what = what;
        (what["id"], what["lathe"]) = (json!(id), json!("Lathe 1"));
        let became = server.tell(&json!([what]));
        assert_eq!(became[0]["became"], "recorded", "{became:?}");
    };
    tell("b", json!({ "event": "bar-loaded", "length": "1000" }));
    tell("r", json!({ "event": "started" }));
    // The page was open before there was a log.
    browser.until_says("[data-piece=as-of]", "the timetable goes on from there");
    browser.until_says("#lathe-1 .said", "Runs for");
    browser.until_says("#lathe-1 .said", "30 left in it");
    browser.until_says(
        "#unknown-asked",
        "Lathe 2: when it stands next: the log has nothing of this lathe",
    );
    assert_eq!(
        browser.run("return document.querySelector('#lathe-1 h3 a').getAttribute('href')"),
        "/lathe/Lathe%201"
    );
    tell("m", json!({ "event": "parts-made", "parts": 3 }));
    browser.until_says("#lathe-1 .said", "3 parts made of this bar, 27 left in it");
    // It stops in the middle of its bar: somebody goes there at once and loads none.
    tell("s", json!({ "event": "stopped", "why": "chips", "block": "34" }));
    browser.until_says("#lathe-1 .said", "chips are in the way, at block 34");
    browser.until_says("#next-asked .because", "It stands, ");
    let next = browser.text("#next-asked .said");
    assert!(next.contains("Ana goes to Lathe 1") && !next.contains("load a bar"), "{next}");
    // Another start knows nothing of the log.
    browser.go(&server.address("/shop?from=2026-12-01T06:00"));
    browser.until_says("[data-piece=as-of]", "begins at another time and goes by the shop file");
    // A lathe that is set up for another job than the shop file says is told.
    let other = fs::read_to_string(server.file("detent-pin.job.toml")).unwrap();
    fs::write(server.file("other.job.toml"), other).unwrap();
    fs::write(server.file("../shop.toml"), SHOP.replace("detent-pin.job", "other.job")).unwrap();
    browser.go(&server.address("/shop"));
    browser.until_says(
        "#unknown-asked",
        "it is set up for detent-pin.job.toml, and the shop file names other.job.toml",
    );
}
