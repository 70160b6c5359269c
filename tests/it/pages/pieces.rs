//! What a page is sent of an answer: the pieces that differ, and with them it is the page that a full load gives.

use super::browser::Browser;
use super::server::{JOB, Server};
use serde_json::{Map, Value, json};
use std::fs;

const LENGTH: &str = "[id='job:bar.length']";
const ENTER: &str = "\u{e007}";

/// Every piece of the page of questions with its digest, and the page itself, loaded anew.
fn loaded(server: &Server) -> (Map<String, Value>, Map<String, Value>, String) {
    let told = server.get(&format!("/pieces/{JOB}?here=job")).body;
    let told: Value = serde_json::from_str(&told).unwrap();
    let of = |key: &str| told[key].as_object().unwrap().clone();
    (of("pieces"), of("digests"), server.get(&format!("/job/{JOB}")).body)
}

fn has(digests: &Map<String, Value>) -> String {
    let all = digests.iter().map(|(id, digest)| format!("{id}={}", digest.as_str().unwrap()));
    all.collect::<Vec<_>>().join(" ")
}

/// A page that holds what its digests say, with what it is sent, against one that is loaded anew; for figures that
/// change much, little and nothing.
#[test]
fn pieces_that_differ_are_sent_and_make_the_page_of_a_full_load() {
    let server = Server::start();
    let (mut held, mut digests, _) = loaded(&server);
    assert!(held.len() > 15, "{held:?}");
    for (file, key, value) in [
        ("job", "bar.length", "900"),
        ("job", "bar.length", "900"),
        ("job", "order.quantity", "399"),
        ("job", "order.due", "2026-12-24"),
        ("lathe", "spindle.bore", "44"),
        ("job", "bar.length", "1000"),
        ("job", "bar.length", "150"),
        ("job", "bar.length", "1000"),
    ] {
        for save in [false, true] {
            let wish = json!({ "file": file, "key": key, "value": value, "save": save, "here": "job", "has": has(&digests) });
            let told = server.say(&wish);
            let sent =
                told["pieces"].as_object().unwrap_or_else(|| panic!("{key} {value}: {told}"));
            let before = held.clone();
            held.extend(sent.clone());
            digests = told["digests"].as_object().unwrap().clone();
            for (id, html) in sent {
                assert_ne!(before[id], *html, "{id} is as it was: {key} {value}");
            }
        }
        let (whole, of_whole, page) = loaded(&server);
        assert_eq!((&held, &digests), (&whole, &of_whole), "{key} {value}");
        for (id, html) in &held {
            let digest = digests[id].as_str().unwrap();
            let place = format!(
                "<div data-piece=\"{id}\" data-digest=\"{digest}\">{}</div>",
                html.as_str().unwrap()
            );
            assert!(page.contains(&place), "{id} on the page after {key} {value}");
        }
    }
    // A page with few places is sent what it has a place for.
    let few = json!({ "file": "job", "key": "bar.length", "value": "800", "save": false, "has": "ruler= figures= nothing=0" });
    let told = server.say(&few);
    let ids = |of: &str| told[of].as_object().unwrap().keys().cloned().collect::<Vec<_>>();
    assert_eq!((ids("pieces"), ids("digests")), (ids("digests"), ids("pieces")));
    assert_eq!(ids("pieces"), ["ruler", "figures"]);
}

/// Pieces of this page that are otherwise than on one that is loaded anew.
const OTHERWISE: &str = "const asked = new XMLHttpRequest(); asked.open('GET', location.href, false); asked.send(); \
     const page = new DOMParser().parseFromString(asked.responseText, 'text/html'); \
     return [...page.querySelectorAll('[data-piece]')].filter((one) => { \
     const mine = document.querySelector(`[data-piece=\"${one.dataset.piece}\"]`).cloneNode(true); \
     for (const open of mine.querySelectorAll('details[open]')) open.removeAttribute('open'); \
     return mine.innerHTML !== one.innerHTML; }).map((one) => one.dataset.piece)";

#[test]
fn a_page_that_took_in_changes_of_its_own_and_of_others_is_that_of_a_full_load() {
    let (server, browser) = (Server::start(), Browser::open(1280, 900));
    let file = server.file("detent-pin.job.toml");
    browser.go(&server.address(&format!("/job/{JOB}")));
    browser.until_says("#many", "30 parts from each bar");
    let same = format!("return (() => {{ {OTHERWISE} }})().length === 0");
    assert_eq!(browser.run(OTHERWISE), json!([]), "before anything");
    // One working is open, the others are laid when nothing else is to be done.
    browser.click("#many-working > summary");
    for length in ["900", "8", "850", "84"] {
        browser.type_over(LENGTH, length);
    }
    // The disk changes while it is typed.
    let text = fs::read_to_string(&file).unwrap();
    fs::write(&file, text.replace("quantity = 400", "quantity = 350")).unwrap();
    browser.type_over(LENGTH, "840");
    browser.until_says("#many", "order of 350");
    browser.type_over(LENGTH, &format!("700{ENTER}"));
    browser.until_says("#many", "21 parts from each bar");
    browser.until("the page of a full load", &same);
    assert!(browser.text("#many-working").contains("700"), "{}", browser.text("#many-working"));
    // What is opened at once after a change is not of before it.
    browser.run(&format!(
        "const entry = document.querySelector(\"{LENGTH}\"); entry.value = '650'; \
         entry.dispatchEvent(new Event('change', {{ bubbles: true }}))"
    ));
    browser.until_says("#many", "19 parts from each bar");
    browser.run("document.querySelector('#load-working > summary').click()");
    assert_eq!(
        browser.run("return document.querySelector('[data-piece=load-known]').textContent.includes('19, 1 to an advance')"),
        true
    );
    browser.until("the page of a full load", &same);
}
