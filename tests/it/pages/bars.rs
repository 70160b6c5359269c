//! Where the bars of a job are now, on its ruler: as the shop's log has it, and as it goes on.

use super::browser::Browser;
use super::server::{JOB, Server};
use serde_json::{Value, json};

fn tell(server: &Server, entries: &Value) {
    for became in server.tell(entries) {
        assert_eq!(became["became"], "recorded", "{became}");
    }
}

/// A figure of the first shape that these words lie before.
fn percent(page: &str, of: &str, key: &str) -> f64 {
    let shape = page.split('<').find(|shape| shape.contains(of)).unwrap_or_else(|| panic!("{of}"));
    let value = shape.split(&format!(" {key}=\"")).nth(1).unwrap().split('%').next().unwrap();
    value.parse().unwrap()
}

fn page(server: &Server) -> String {
    server.get(&format!("/job/{JOB}")).body
}

#[test]
fn the_ruler_shows_where_each_bar_is_and_what_is_not_known() {
    let server = Server::start();
    assert!(page(&server).contains("Where a bar is now is not known: there is no log."));
    server.post(
        "/log",
        "Content-Type: application/x-www-form-urlencoded\r\n",
        &format!("token={}", server.token()),
    );
    assert!(page(&server).contains("by the log no lathe is set up for this job"));
    server.set_up();
    let bare = page(&server);
    assert!(
        bare.contains("Lathe 1 is set up for this job. Where its bar is is not known"),
        "{bare}"
    );
    assert!(!bare.contains("class=\"now\""), "no mark where nothing is known");
    server.busy();
    let now = page(&server);
    // What the plan leaves of a bar of this length.
    let stub = now.split("<dt>Left</dt><dd>").nth(1).unwrap().split('<').next().unwrap();
    let said =
        format!("Lathe 1: 17 parts made of its bar, 13 parts left in it, then a stub of {stub}");
    assert!(now.contains(&said), "{said}");
    // The mark stands where what is left of the bar begins: a kerf before the parts behind it.
    let mark = percent(&now, "class=\"now\" x1", "x1");
    let (next, width) =
        (percent(&now, "data-part=\"18\"", "x"), percent(&now, "data-part=\"18\"", "width"));
    let of_mm = width / 28.0;
    assert!((mark - (next + width)).abs() < 2.0 * of_mm, "{mark} beside {next} and {width}");
    let passed = percent(&now, "data-part=\"17\"", "x");
    assert!(mark < passed, "the parts that are made lie to the right of it");
    // A second lathe on the same job, with another bar, of which little was recorded.
    let program = "detent-pin/expected/O2080.nc";
    tell(
        &server,
        &json!([
            { "id": "s-2", "event": "set-up", "lathe": "Lathe <2>", "job": "pin", "plan": JOB, "program": program },
            { "id": "b-2", "event": "bar-loaded", "lathe": "Lathe <2>", "length": "600" },
            { "id": "m-2", "event": "parts-made", "lathe": "Lathe <2>", "parts": 3 },
            { "id": "s-3", "event": "set-up", "lathe": "Lathe 3", "job": "pin", "plan": JOB },
            { "id": "m-3", "event": "parts-made", "lathe": "Lathe 3", "parts": 40 }
        ]),
    );
    let now = page(&server);
    assert!(now.contains("Lathe &lt;2&gt;: 3 parts made of its bar"), "{now}");
    assert!(
        now.contains("how long its stub will be is not known"),
        "a bar of 600 mm gives no 30 parts"
    );
    assert!(now.contains("It is 600.000 mm long, not as drawn."));
    assert!(now.contains("Nothing was recorded of the bar itself"));
    assert!(now.contains("That is more than a bar gives"));
    assert_eq!(now.matches("<text class=\"now\"").count(), 3, "each has its mark");
    // Another job's page knows nothing of it.
    tell(&server, &json!([{ "id": "s-4", "event": "set-up", "lathe": "Lathe 1", "job": "other" }]));
    assert!(!page(&server).contains("Lathe 1:"));
}

#[test]
fn the_mark_moves_while_the_page_is_open() {
    let (server, browser) = (Server::start(), Browser::open(1280, 900));
    server.set_up();
    server.busy();
    browser.go(&server.address(&format!("/job/{JOB}")));
    browser.until_says(".bars-now", "17 parts made");
    let at =
        || browser.run("return document.querySelector('line.now').getBoundingClientRect().left");
    let before = at().as_f64().unwrap();
    let shown = browser.run("const box = document.querySelector('line.now').getBoundingClientRect(); return box.height > 20");
    assert_eq!(shown, true);
    tell(&server, &json!([{ "id": "m-9", "event": "parts-made", "lathe": "Lathe 1", "parts": 5 }]));
    browser.until_says(".bars-now", "22 parts made");
    let moved = before - at().as_f64().unwrap();
    // Five pitches to the left, as wide as the ruler is drawn.
    let part = "return document.querySelector('[data-part=\"3\"]').getBoundingClientRect().left - document.querySelector('[data-part=\"8\"]').getBoundingClientRect().left";
    let five = browser.run(part).as_f64().unwrap();
    assert!((moved - five).abs() < 1.5, "{moved} beside {five}");
    // What is typed meanwhile stays a trial, and the mark goes along with the drawn bar.
    browser.type_over("[id='job:bar.length']", "900");
    browser.until_says("#many", "27 parts from each bar");
    browser.until_says(".bars-now", "22 parts made");
    server.log(&["made", "Lathe 1", "1"]);
    browser.until_says(".bars-now", "23 parts made");
    browser.until_says("#many", "27 parts from each bar");
}
