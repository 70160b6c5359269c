//! The page of gauged sizes: what it says is what the command line says of the same log, and a size that is entered
//! is judged at once.

use super::browser::Browser;
use super::server::Server;
use serde_json::{Value, json};

const ENTER: &str = "\u{e007}";
const RIGHT: &str = "\u{e014}";
/// The page of the feature that is gauged here.
pub(super) const OF: &str = "lathe=Lathe+1&job=pin&feature=3";

/// Sizes in micrometers above 7.9 mm, every fifth part, with limits as the drawing has them.
pub(super) fn gauged(server: &Server, um: &[i32]) {
    let mut entries =
        vec![json!({ "id": "b-1", "event": "bar-loaded", "lathe": "Lathe 1", "heat": "A 7712" })];
    for (index, um) in um.iter().enumerate() {
        entries.push(json!({ "id": format!("m-{index}"), "event": "parts-made", "lathe": "Lathe 1", "parts": 5 }));
        entries.push(json!({
            "id": format!("g-{index}"), "event": "size-measured", "lathe": "Lathe 1", "job": "pin", "feature": "3",
            "reading": format!("{:.3}", 7.9 + f64::from(*um) / 1000.0), "low": "7.959", "high": "8"
        }));
    }
    for became in server.tell(&Value::Array(entries)) {
        assert_eq!(became["became"], "recorded", "{became}");
    }
}

/// Scatter of a few micrometers about a middle, without a drift.
const STEADY: [i32; 22] =
    [80, 82, 79, 81, 78, 80, 83, 79, 80, 81, 79, 82, 80, 78, 81, 80, 79, 82, 80, 81, 79, 80];
/// The same with four micrometers from one to the next.
pub(super) const WORN: [i32; 10] = [62, 66, 69, 75, 78, 81, 86, 90, 93, 98];

#[test]
fn an_empty_page_says_what_to_do_next() {
    let server = Server::start();
    assert!(server.get("/sizes").body.contains("Begin the log"));
    server.set_up();
    let page = server.get("/sizes").body;
    assert!(page.contains("Gauge a part, and write its size below"), "{page}");
}

#[test]
fn the_page_says_what_the_command_line_says() {
    for sizes in [&STEADY[..], &WORN[..]] {
        let server = Server::start();
        server.set_up();
        gauged(&server, sizes);
        let said = server.log(&["sizes", "pin", "3"]);
        let feature = &said["features"][0];
        let page = server.get(&format!("/sizes?{OF}")).body;
        let drifts = feature["review"]["drifts"].as_bool().unwrap();
        assert_eq!(page.contains("It surely drifts"), drifts, "{feature}");
        assert_eq!(page.contains("As far as run rules see"), !drifts);
        assert_eq!(drifts, sizes.len() == WORN.len(), "one of both is steady");
        assert!(!page.contains("Nothing but chance"));
        // The picture is the one that the command draws, and the table has every reading.
        let picture = server.get(&format!("/sizes/table?{OF}&of=sizes.svg")).body;
        let file = server.file("drawn.svg");
        server.log(&["sizes", "pin", "3", "--picture", file.to_str().unwrap()]);
        assert_eq!(picture, std::fs::read_to_string(file).unwrap());
        let table = server.get(&format!("/sizes/table?{OF}&of=sizes")).body;
        assert_eq!(table.lines().count(), sizes.len() + 1, "{table}");
        for um in sizes {
            assert!(
                table.contains(&format!("{:.4} mm", 7.9 + f64::from(*um) / 1000.0)),
                "{um}: {table}"
            );
        }
        for of in ["", "of=x", "of=sizes&feature=9", "of=%3Cscript%3E"] {
            assert_eq!(server.get(&format!("/sizes/table?{of}")).code, 404, "{of}");
        }
    }
}

#[test]
fn sizes_are_charted_in_groups_and_the_chart_alone_is_another() {
    let server = Server::start();
    server.set_up();
    gauged(&server, &STEADY);
    let (one, five) =
        (server.get(&format!("/sizes?{OF}")), server.get(&format!("/sizes?{OF}&group=5")));
    assert!(one.body.contains("<option value=\"1\" selected>one size"), "{}", one.body);
    assert!(five.body.contains("<option value=\"5\" selected>the mean of 5"), "{}", five.body);
    assert!(
        five.body.contains("the means of 4 groups of 5")
            && five.body.contains("2 readings in no full group")
    );
    let picture = server.get(&format!("/sizes/table?{OF}&group=5&of=sizes.svg")).body;
    let file = server.file("groups.svg");
    server.log(&["sizes", "pin", "3", "--group", "5", "--picture", file.to_str().unwrap()]);
    assert_eq!(picture, std::fs::read_to_string(file).unwrap());
    // The links of the page lead to the files of this chart; how sizes lie is of single parts.
    assert!(five.body.contains(
        "/sizes/table?lathe=Lathe+1&amp;job=pin&amp;feature=3&amp;group=5&amp;of=sizes\""
    ));
    let table = server.get(&format!("/sizes/table?{OF}&group=5&of=sizes")).body;
    assert!(table.lines().count() == 5 && table.contains("5–25"), "{table}");
    let spread = |group: &str| server.get(&format!("/sizes/table?{OF}{group}&of=size-spread")).body;
    assert_eq!(spread("&group=5"), spread(""));
    // What is no group is one size each; too few for two groups are told.
    for odd in ["0", "26", "x"] {
        let page = server.get(&format!("/sizes?{OF}&group={odd}")).body;
        assert!(page.contains("<option value=\"1\" selected>"), "{odd}");
    }
    let few = server.get(&format!("/sizes?{OF}&group=20")).body;
    assert!(few.contains("2 full groups of 20 or more are needed"), "{few}");
}

#[test]
fn a_size_outside_its_limits_is_told_first() {
    let server = Server::start();
    server.set_up();
    gauged(&server, &[80, 81, 79, 80, 104]);
    let page = server.get("/sizes").body;
    assert!(page.contains("Part 25 is outside of its limits: 8.004 mm"), "{page}");
}

#[test]
fn a_size_is_entered_in_place_and_judged_at_once() {
    let server = Server::start();
    server.set_up();
    gauged(&server, &[80, 82, 79]);
    let browser = Browser::open(1280, 900);
    browser.go(&server.address(&format!("/sizes?{OF}")));
    browser.until_says("#chance .answer", "4 readings of one edge or more are needed");
    server.tell(&json!([{ "id": "m-9", "event": "parts-made", "lathe": "Lathe 1", "parts": 5 }]));
    browser.type_over("#reading", &format!("7,981{ENTER}"));
    browser.until_says("#chance .answer", "As far as run rules see");
    browser.until_says(".features", "4 readings");
    let last = server.log(&["sizes", "pin", "3"])["sizes"][3].clone();
    assert!(
        last.to_string().contains("7.981") && last.to_string().contains("7.959"),
        "with its limits: {last}"
    );
    // What somebody else records comes by itself.
    server.tell(&json!([
        { "id": "m-10", "event": "parts-made", "lathe": "Lathe 1", "parts": 5 },
        { "id": "g-10", "event": "size-measured", "lathe": "Lathe 1", "job": "pin", "feature": "3", "reading": "7.98", "low": "7.959", "high": "8" }
    ]));
    browser.until_says(".features", "5 readings");
    // By keyboard from reading to reading.
    browser.run("document.querySelector('.feature .chart svg').focus()");
    let mut said = Vec::new();
    for _ in 0..12 {
        browser.press(&[RIGHT]);
        said.push(browser.text(".feature .shape-says"));
    }
    for part in [5, 10, 15, 20, 25] {
        assert!(
            said.iter().any(|one| one.starts_with(&format!("part {part}:"))),
            "{part}: {said:?}"
        );
    }
    browser.type_over("#reading", &format!("many{ENTER}"));
    browser.until_says("h1", "This was not recorded");
}

#[test]
fn an_offset_move_is_told_recorded_and_reckoned_with() {
    let server = Server::start();
    server.set_up();
    server.tell(&json!([{ "id": "e-1", "event": "edge-changed", "lathe": "Lathe 1", "station": 1, "why": "planned" }]));
    gauged(&server, &WORN);
    let page = server.get(&format!("/sizes?{OF}")).body;
    assert!(
        page.contains("Move the size by -")
            && page.contains("The offset of station 1 was moved by"),
        "{page}"
    );
    let by = page.split("id=\"moved-by\"").nth(1).unwrap().split("value=\"").nth(1).unwrap();
    let by = by.split('"').next().unwrap();
    let form = format!(
        "token={}&event=offset-moved&id=o-9&lathe=Lathe+1&job=pin&station=1&axis=x&units=mm&by={by}",
        server.token()
    );
    let kind = "Content-Type: application/x-www-form-urlencoded\r\n";
    assert_eq!(server.post("/record", kind, &form).code, 303);
    let page = server.get(&format!("/sizes?{OF}")).body;
    assert!(
        !page.contains("Move the size by -"),
        "a move that no part was gauged after is not told twice"
    );
    // Two stations with edges or offsets of their own: somebody must say which turns it.
    server.tell(&json!([{ "id": "e-2", "event": "edge-changed", "lathe": "Lathe 1", "station": 3, "why": "worn" }]));
    let page = server.get(&format!("/sizes?{OF}")).body;
    assert!(
        page.contains("Turned by station") && page.contains("say which of them turns it"),
        "{page}"
    );
    let page = server.get(&format!("/sizes?{OF}&station=1")).body;
    assert!(page.contains("surely drifts"), "{page}");
}

#[test]
fn names_of_features_are_only_names() {
    let server = Server::start();
    server.set_up();
    let evil = "<script>alert('x')</script>&\"";
    let mut entries = Vec::new();
    for index in 0..5 {
        entries.push(json!({ "id": format!("m-{index}"), "event": "parts-made", "lathe": "Lathe 1", "parts": 1 }));
        entries.push(json!({ "id": format!("g-{index}"), "event": "size-measured", "lathe": "Lathe 1", "job": "pin",
            "feature": evil, "reading": format!("7.98{index}"), "low": "7.9", "high": "8.1" }));
    }
    server.tell(&Value::Array(entries));
    let of: String = form_urlencoded::Serializer::new(String::new())
        .append_pair("lathe", "Lathe 1")
        .append_pair("job", "pin")
        .append_pair("feature", evil)
        .finish();
    for path in
        ["/sizes".to_owned(), format!("/sizes?{of}"), format!("/sizes/table?{of}&of=sizes.svg")]
    {
        let page = server.get(&path).body;
        assert!(
            page.contains("&lt;script&gt;") && !page.contains("<script>alert"),
            "{path}: {page}"
        );
    }
}
