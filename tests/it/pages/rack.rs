//! The rack as a page: what is put on, taken off and corrected is what the command line says lies there.

use super::browser::Browser;
use super::server::Server;
use serde_json::{Value, json};
use std::fs;

const ENTER: &str = "\u{e007}";

/// Bars and remnants on the rack.
pub(super) fn put(server: &Server) {
    let entries = json!([
        { "id": "p-1", "event": "put-on-rack", "item": "D12", "length": "3050", "count": 10, "material": "steel-12l14", "size": "12", "heat": "B 3391", "place": "arm 1" },
        { "id": "p-2", "event": "put-on-rack", "item": "R17", "length": "340", "kind": "remnant", "size": "12", "heat": "A 7712", "place": "shelf 3" },
        { "id": "p-3", "event": "put-on-rack", "item": "R18", "length": "120", "kind": "remnant", "heat": "A 7712" }
    ]);
    for became in server.tell(&entries) {
        assert_eq!(became["became"], "recorded", "{became}");
    }
}

#[test]
fn an_empty_rack_says_what_to_do_next() {
    let server = Server::start();
    assert!(server.get("/rack").body.contains("Begin the log"));
    server.set_up();
    let page = server.get("/rack").body;
    assert!(
        page.contains("Nothing that the log knows of") && page.contains("Put it on the rack"),
        "{page}"
    );
    assert!(server.get("/rack/labels").body.contains("Nothing lies on the rack"));
}

#[test]
fn what_is_put_on_lies_there_to_scale() {
    let server = Server::start();
    server.set_up();
    fs::copy(crate::expect::root("demo/week-48/shop.toml"), server.file("../shop.toml")).unwrap();
    put(&server);
    let page = server.get("/rack").body;
    assert!(page.contains("12 bars, 3 labels"), "{page}");
    assert!(page.contains("Bars: 10, 30.5 m together. Remnants: 2, 0.5 m together."), "{page}");
    assert!(page.contains("least useful remnant 250.000 mm"), "{page}");
    assert!(page.contains("remnant, shorter than is useful"), "{page}");
    // As long as they are to each other.
    let svg = server.get("/rack/table?of=rack.svg").body;
    let width = |title: &str| -> f64 {
        let shape = svg
            .split("<rect")
            .find(|one| one.contains(title))
            .unwrap_or_else(|| panic!("{title}: {svg}"));
        shape.split("width=\"").nth(1).unwrap().split('"').next().unwrap().parse().unwrap()
    };
    assert!((width("R17:") / width("D12:") - 340.0 / 3050.0).abs() < 1e-3);
    assert_eq!(
        svg.matches("<title>D12: 10 of").count(),
        5,
        "five of ten are drawn, the number says ten"
    );
    // The same as a table, for a spreadsheet.
    let rows = server.get("/rack/table?of=rack").body;
    let lies = server.log(&["rack"]);
    assert_eq!(rows.lines().count(), lies.as_array().unwrap().len() + 1);
    assert!(rows.contains("D12,stock,steel-12l14,12,3050,10,B 3391,arm 1\r\n"), "{rows}");
    assert!(rows.contains("R18,remnant,,,120,1,A 7712,\r\n"), "{rows}");
}

#[test]
fn bars_come_go_and_are_corrected_in_a_browser() {
    let server = Server::start();
    server.set_up();
    put(&server);
    let browser = Browser::open(1280, 1000);
    browser.go(&server.address("/rack"));
    browser.type_over("#put-item", "D16");
    browser.type_over("#put-length", &format!("2000{ENTER}"));
    browser.until_says("#lies .answer", "13 bars, 4 labels");
    browser.click("[id='of-R17']");
    browser.until("its blanks", "return !!document.querySelector(\"[id='R17-0-length']\")");
    browser.type_over("[id='R17-0-length']", &format!("345{ENTER}"));
    browser.until_says("#lies table", "345.000 mm");
    browser.click("[id='of-D12']");
    browser.until("its blanks", "return !!document.querySelector(\"[id='off-D12']\")");
    browser.type_over("[id='off-D12']", &format!("4{ENTER}"));
    browser.until_says("#lies .answer", "9 bars, 4 labels");
    let lies = server.log(&["rack"]);
    let of = |label: &str| -> Value {
        lies.as_array().unwrap().iter().find(|it| it["label"] == label).unwrap().clone()
    };
    assert_eq!(of("D12")["count"], 6);
    assert_eq!((&of("R17")["length_mm"], &of("R17")["heat"]), (&json!(345.0), &json!("A 7712")));
    // More than lie there cannot be taken; nothing is lost by trying.
    browser.go(&server.address("/rack?item=D12"));
    browser.type_over("[id='off-D12']", &format!("40{ENTER}"));
    browser.until_says("h1", "This was not recorded");
    assert_eq!(server.log(&["rack"]), lies);
}

#[test]
fn a_heat_number_leads_to_bars_and_parts() {
    let server = Server::start();
    server.set_up();
    put(&server);
    server.tell(&json!([
        { "id": "b-1", "event": "bar-loaded", "lathe": "Lathe 1", "from": "R17" },
        { "id": "m-1", "event": "parts-made", "lathe": "Lathe 1", "parts": 9 }
    ]));
    let page = server.get("/rack?heat=A+7712").body;
    assert!(page.contains("On the rack: 1 bar. In spindles: 1 bar, 9 parts."), "{page}");
    assert!(server.get("/rack?heat=Z+1").body.contains("Nothing of heat number Z 1 was recorded"));
    let evil = server.get("/rack?heat=%3Cscript%3Ealert(1)%3C/script%3E").body;
    assert!(evil.contains("&lt;script&gt;") && !evil.contains("<script>alert"));
}

#[test]
fn every_bar_has_a_label_whose_code_says_what_it_is() {
    let server = Server::start();
    server.set_up();
    put(&server);
    let page = server.get("/rack/labels").body;
    assert_eq!(page.matches("<img").count(), 1, "12 labels are one page of 24");
    let svg = server.get("/rack/table?of=labels.svg&page=1").body;
    assert_eq!(
        svg.matches("<title>D12; steel-12l14; 12.000 mm; 3050.000 mm; heat B 3391</title>").count(),
        10
    );
    assert_eq!(svg.matches("class=\"code\"").count(), 12, "{svg}");
    let one = server.get("/rack/table?of=labels.svg&page=1&item=R17").body;
    assert_eq!(one.matches("class=\"code\"").count(), 1);
    for odd in ["page=2", "page=0", "page=x&item=none", "item=none"] {
        assert_eq!(server.get(&format!("/rack/table?of=labels.svg&{odd}")).code, 404, "{odd}");
    }
    assert_eq!(server.get("/rack/table?of=secret").code, 404);
}

/// More than one page has room for: each stands on one page, and all of them on what is printed.
#[test]
fn a_full_rack_is_shown_by_pages_and_printed_whole() {
    let server = Server::start();
    server.set_up();
    let names: Vec<String> = (1..=130).map(|number| format!("L{number:03}")).collect();
    for chunk in names.chunks(50) {
        let entries: Vec<Value> = chunk
            .iter()
            .map(|name| json!({ "id": name, "event": "put-on-rack", "item": name, "length": "900", "count": 7 }))
            .collect();
        assert!(server.tell(&entries.into()).iter().all(|it| it["became"] == "recorded"));
    }
    let on = |path: &str| -> Vec<String> {
        let page = server.get(path).body;
        let rows = page.split("<th scope=\"row\">").skip(1);
        rows.map(|row| row.split('<').next().unwrap().to_owned()).collect()
    };
    let shown: Vec<String> = (1..=3).flat_map(|page| on(&format!("/rack?page={page}"))).collect();
    assert_eq!(shown, names);
    assert_eq!(on("/rack"), names[..60]);
    assert_eq!(on("/rack?page=99"), names[120..], "the last page, where there are fewer");
    assert_eq!(on("/rack/sheet"), names, "everything is on paper");
    let sheet = server.get("/rack/sheet").body;
    assert_eq!(sheet.matches("<img").count(), 3);
    for (page, labels) in [(1, &names[..60]), (3, &names[120..])] {
        let picture = server.get(&format!("/rack/table?of=rack.svg&page={page}")).body;
        let drawn = |name: &&String| picture.contains(&format!("<title>{name}: 7 of"));
        assert_eq!(
            names.iter().filter(drawn).collect::<Vec<_>>(),
            labels.iter().collect::<Vec<_>>()
        );
    }
    let page = server.get("/rack?page=2&item=L100").body;
    assert!(page.contains("id=\"off-L100\"") && !page.contains("id=\"off-L099\""), "{page}");
    assert!(page.contains("These are labels 61 to 120 of 130."));
}

#[test]
fn labels_and_places_are_only_names() {
    let server = Server::start();
    server.set_up();
    let evil = "<script>alert('x')</script>&\"";
    server.tell(&json!([{ "id": "p-9", "event": "put-on-rack", "item": evil, "length": "100", "place": evil, "heat": evil, "material": evil }]));
    for path in [
        "/rack",
        "/rack/labels",
        "/rack/sheet",
        "/rack/table?of=rack.svg",
        "/rack/table?of=labels.svg",
    ] {
        let page = server.get(path).body;
        assert!(!page.contains("<script>alert"), "{path}: {page}");
    }
    assert!(server.get("/rack").body.contains("&lt;script&gt;"));
    let formula = "=1+1";
    server
        .tell(&json!([{ "id": "p-8", "event": "put-on-rack", "item": formula, "length": "100" }]));
    assert!(
        server.get("/rack/table?of=rack").body.contains("\r\n =1+1,"),
        "no formula gets into a spreadsheet"
    );
}
